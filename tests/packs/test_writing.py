import io
import zipfile

from kbapp.packs.entry import Signer
from kbapp.packs.signing import public_key_of
from kbapp.packs.spool import Spool
from kbapp.packs.writing import pack_id, tag_files, write_bag
from tests.packs.forge import SEED
from tests.packs.world import WEIR_LANE

SIGNER = Signer(format="provebook-pack/1", shop=WEIR_LANE, public_key=public_key_of(SEED).hex())
FILES = {"data/files/" + "b" * 64: b"two", "data/cases/3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10.json": b"{}"}


def written(order: list[str]) -> bytes:
    out = io.BytesIO()
    with Spool() as spool:
        for path in order:
            spool.add(path, FILES[path])
        write_bag(out, spool, tag_files(spool, SIGNER, "Brakes"), SEED)
    return out.getvalue()


def test_the_same_input_gives_the_same_bytes() -> None:
    assert written(list(FILES)) == written(list(reversed(FILES)))


def test_entries_are_sorted_stored_and_dated_alike() -> None:
    with zipfile.ZipFile(io.BytesIO(written(list(FILES)))) as archive:
        entries = archive.infolist()
    names = [one.filename for one in entries]
    assert names == sorted(names)
    assert {name.split("/")[0] for name in names} == {"provebook-pack"}
    assert {one.date_time for one in entries} == {(1980, 1, 1, 0, 0, 0)}
    assert {one.compress_type for one in entries} == {zipfile.ZIP_STORED}
    assert {one.external_attr >> 16 for one in entries} == {0o100644}


def test_no_tag_file_has_a_carriage_return_or_a_date() -> None:
    with Spool() as spool:
        spool.add("data/files/" + "b" * 64, b"two")
        tags = tag_files(spool, SIGNER, "Brakes")
    for data in tags.values():
        assert b"\r" not in data
        assert data.endswith(b"\n")
    assert set(tags) == {"bagit.txt", "bag-info.txt", "manifest-sha256.txt", "signer.json", "tagmanifest-sha256.txt"}
    assert b"Bagging-Date" not in tags["bag-info.txt"]
    assert len(pack_id(tags)) == 64
