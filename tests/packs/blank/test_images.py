"""Pictures leave with their pixels and nothing else. Pillow writes the samples and reads them back."""

import io

import pytest
from PIL import Image, PngImagePlugin

from kbapp.errors import InputError
from kbapp.packs.blank.images import hidden_parts, is_picture, remade

SECRET = b"Tolland 27 Ferry Steps"


def picture(mode: str = "RGB") -> Image.Image:
    image = Image.new(mode, (40, 20))
    for x in range(40):
        image.putpixel((x, x % 20), 200 if mode in ("L", "P", "1") else (200, x * 5, 30, 255)[: len(image.getbands())])
    return image


def saved(image: Image.Image, kind: str, **options: object) -> bytes:
    out = io.BytesIO()
    image.save(out, kind, **options)
    return out.getvalue()


def jpeg_with_everything() -> bytes:
    exif = Image.Exif()
    exif[0x010E] = SECRET.decode()
    exif[0x0112] = 6  # turned a quarter
    exif.get_ifd(0x8825)[1] = "N"
    xmp = b'<x:xmpmeta xmlns:x="adobe:ns:meta/">' + SECRET + b"</x:xmpmeta>"
    data = saved(picture(), "JPEG", exif=exif, comment=SECRET, xmp=xmp, icc_profile=SECRET)
    return data + SECRET


def png_with_everything() -> bytes:
    info = PngImagePlugin.PngInfo()
    info.add_text("Author", SECRET.decode())
    info.add_itxt("XML:com.adobe.xmp", SECRET.decode())
    info.add_text("Comment", SECRET.decode(), zip=True)
    exif = Image.Exif()
    exif[0x010E] = SECRET.decode()
    return saved(picture("RGBA"), "PNG", pnginfo=info, exif=exif, icc_profile=SECRET) + SECRET


def test_all_that_a_jpeg_hides_goes() -> None:
    data = jpeg_with_everything()
    assert set(hidden_parts(data)) >= {"EXIF", "XMP", "comment", "colour profile", "data after the end"}
    made = remade(data)
    assert SECRET not in made.data
    assert hidden_parts(made.data) == ()
    with Image.open(io.BytesIO(made.data)) as opened:
        assert opened.size == (20, 40)  # turned the way it was shown
        assert not opened.getexif()
        assert "comment" not in opened.info


def test_saving_again_alone_would_keep_the_comment() -> None:
    """Why pixels are copied: a picture opened and saved keeps its comment block."""
    with Image.open(io.BytesIO(jpeg_with_everything())) as opened:
        assert SECRET in saved(opened, "JPEG")


def test_all_that_a_png_hides_goes_and_its_pixels_stay() -> None:
    data = png_with_everything()
    assert set(hidden_parts(data)) >= {"EXIF", "XMP", "text", "colour profile", "data after the end"}
    made = remade(data)
    assert SECRET not in made.data
    assert hidden_parts(made.data) == ()
    with Image.open(io.BytesIO(data)) as one, Image.open(io.BytesIO(made.data)) as other:
        assert one.tobytes() == other.tobytes()


def test_a_thumbnail_and_other_segments_go() -> None:
    plain = saved(picture(), "JPEG")
    thumbnail = b"\xff\xd8\xff\xe0\x00\x13JFIF\x00\x01\x01\x00\x00\x01\x00\x01\x01\x01abc" + plain[20:]
    assert hidden_parts(thumbnail) == ("thumbnail",)
    for marker, name in ((0xE1, "APP1"), (0xED, "IPTC"), (0xEB, "APP11"), (0xFE, "comment")):
        data = plain[:2] + bytes([0xFF, marker, 0, 4]) + b"xy" + plain[2:]
        assert hidden_parts(data) == (name,)
        assert hidden_parts(remade(data).data) == ()


@pytest.mark.parametrize(
    ("kind", "mode"),
    [
        ("GIF", "P"),
        ("BMP", "RGB"),
        ("TIFF", "RGB"),
        ("WEBP", "RGB"),
        ("PNG", "P"),
        ("PNG", "1"),
        ("PNG", "L"),
        ("JPEG", "L"),
    ],
)
def test_other_pictures_become_plain_ones(kind: str, mode: str) -> None:
    data = saved(picture(mode), kind)
    assert is_picture(data)
    made = remade(data)
    assert made.media_type in ("image/png", "image/jpeg")
    assert hidden_parts(made.data) == ()
    with Image.open(io.BytesIO(made.data)) as opened:
        assert opened.size == (40, 20)


@pytest.mark.parametrize(
    "data",
    [b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"GIF89a", saved(picture(), "JPEG")[:200], saved(picture(), "PNG")[:60]],
)
def test_damaged_pictures_are_refused_with_a_reason(data: bytes) -> None:
    assert hidden_parts(data)
    with pytest.raises(InputError, match="picture_unreadable"):
        remade(data)


def test_a_picture_too_large_to_unpack_is_refused() -> None:
    large = saved(Image.new("1", (20_000, 6_000)), "PNG")
    with pytest.raises(InputError, match="picture_unreadable"):
        remade(large)


def test_the_same_picture_gives_the_same_bytes() -> None:
    assert remade(jpeg_with_everything()).data == remade(jpeg_with_everything()).data
