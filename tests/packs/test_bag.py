import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.packs.bag import (
    BagInfo,
    case_path,
    file_path,
    info_text,
    is_payload_path,
    manifest_text,
    map_path,
    read_info,
    read_manifest,
)

SHA = "a" * 64


@settings(max_examples=30)
@given(
    st.dictionaries(
        st.from_regex(r"data/[a-z0-9]{1,9}(/[a-z ]{1,5}[a-z])?", fullmatch=True),
        st.binary(min_size=32, max_size=32).map(bytes.hex),
    )
)
def test_a_manifest_comes_back(digests: dict[str, str]) -> None:
    text = manifest_text(digests)
    assert read_manifest(text, "m").unwrap() == digests
    assert text.splitlines() == sorted(text.splitlines(), key=lambda line: line[66:])


def test_info_comes_back_and_has_no_date() -> None:
    info = BagInfo("Weir Lane Diagnostics", "Brakes, spring", 1234, 5)
    text = info_text(info)
    assert read_info(text).unwrap() == info
    assert (
        text
        == b"External-Description: Brakes, spring\nPayload-Oxum: 1234.5\nSource-Organization: Weir Lane Diagnostics\n"
    )


def test_unknown_labels_and_folded_lines_are_passed_over() -> None:
    text = b"Contact-Name: PB\nExternal-Description: a\n  long one\nPayload-Oxum: 1.1\n"
    assert read_info(text).unwrap().files == 1


@pytest.mark.parametrize(
    "line",
    [
        f"{SHA} *data/x",
        f"{SHA}  data/a%2fb",
        f"{SHA[:-1]}  data/x",
        f"{SHA}data/x",
        f"{SHA}  ",
        "",
        "x",
        f"{SHA}  data/x\r",
        f"\ufeff{SHA}  x",
    ],
)
def test_lines_that_are_no_digest_and_path(line: str) -> None:
    assert read_manifest(f"{line}\n".encode(), "m").faults


def test_a_cut_doubled_or_foreign_manifest_is_refused() -> None:
    line = f"{SHA}  data/x\n".encode()
    assert {fault.code for fault in read_manifest(line + line, "m").faults} == {"pack_manifest_twice"}
    assert read_manifest(line[:-1], "m").faults[0].code == "pack_line_cut"
    assert read_manifest(b"\xff\n", "m").faults[0].code == "json_not_utf8"
    assert read_manifest(line.upper().replace(b"DATA/X", b"data/x"), "m").unwrap() == {"data/x": SHA}


@pytest.mark.parametrize(
    "text",
    [
        b"",
        b"A: b\n",
        b"Payload-Oxum: 1\n",
        b"Payload-Oxum: -1.2\n",
        "Payload-Oxum: \u0661.\u0661\n".encode(),
        b"nonsense\n",
    ],
)
def test_info_without_a_sound_oxum(text: bytes) -> None:
    assert read_info(text).faults


def test_payload_paths() -> None:
    case_id = "3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10"
    assert all(map(is_payload_path, (case_path(case_id), map_path(SHA), file_path(SHA))))
    for path in (
        case_path(case_id.upper()),
        "data/cases/x.json",
        "data/x",
        "data/files/" + "A" * 64,
        file_path(SHA) + ".jpg",
        "cases/x",
    ):
        assert not is_payload_path(path)
