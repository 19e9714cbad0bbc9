"""The tag files of a bag (BagIt 1.0, RFC 8493) as text: declaration, manifests, information."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from kbapp.records.fault import Checked, Fault, shorten

TOP: Final = "provebook-pack"
"""The one folder of the packs written here; a reader takes any name."""
DECLARATION: Final = "bagit.txt"
DECLARED: Final = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
INFO: Final = "bag-info.txt"
MANIFEST: Final = "manifest-sha256.txt"
TAG_MANIFEST: Final = "tagmanifest-sha256.txt"
SIGNER: Final = "signer.json"
SIGNATURE: Final = "signature.ed25519"
TAGGED: Final = (INFO, DECLARATION, MANIFEST, SIGNER)
"""The tag files that the tag manifest lists."""

CASES: Final = "data/cases/"
MAPS: Final = "data/maps/"
FILES: Final = "data/files/"

_LINE: Final = re.compile(r"([0-9a-fA-F]{64})[ \t]+(\S.*)")
_LABEL: Final = re.compile(r"([A-Za-z][A-Za-z0-9-]*):[ \t]*(.*)")
_UUID: Final = "[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}"
_PAYLOAD: Final = re.compile(rf"data/(?:cases/{_UUID}\.json|maps/[0-9a-f]{{64}}\.json|files/[0-9a-f]{{64}})")


@dataclass(frozen=True, slots=True)
class BagInfo:
    """What ``bag-info.txt`` says: who made the bag, what for, how many bytes and files its payload has."""

    organization: str = ""
    title: str = ""
    size: int = 0
    files: int = 0


def is_payload_path(path: str) -> bool:
    """Returns whether a path is one a case, map or file of a pack may have."""
    return bool(_PAYLOAD.fullmatch(path))


def case_path(case_id: str) -> str:
    """Returns where a case lies in the bag."""
    return f"{CASES}{case_id}.json"


def map_path(digest: str) -> str:
    """Returns where a map lies in the bag: named by the digest of its canonical JSON."""
    return f"{MAPS}{digest}.json"


def file_path(sha256: str) -> str:
    """Returns where a file lies in the bag: named by the digest of its bytes."""
    return f"{FILES}{sha256}"


def manifest_text(digests: Mapping[str, str]) -> bytes:
    """Returns a manifest: ``digest  path``, sorted by path, one a line."""
    return "".join(f"{digests[path]}  {path}\n" for path in sorted(digests)).encode()


def read_manifest(data: bytes, where: str) -> Checked[dict[str, str]]:
    """Returns digests by path. ``*`` before a path, percent escapes and lines that say nothing are refused."""
    faults: list[Fault] = []
    out: dict[str, str] = {}
    for n, line in enumerate(_lines(data, where, faults), 1):
        match = _LINE.fullmatch(line)
        if not match or "%" in line or match[2].startswith("*"):
            faults.append(Fault(f"{where}:{n}", "pack_manifest_line", shorten(line)))
        elif match[2] in out:
            faults.append(Fault(f"{where}:{n}", "pack_manifest_twice", shorten(match[2])))
        else:
            out[match[2]] = match[1].lower()
    return Checked(None if faults else out, tuple(faults))


def info_text(info: BagInfo) -> bytes:
    """Returns ``bag-info.txt``: no date, so that the same payload gives the same bytes."""
    lines = [
        ("External-Description", info.title),
        ("Payload-Oxum", f"{info.size}.{info.files}"),
        ("Source-Organization", info.organization),
    ]
    return "".join(f"{label}: {text}\n" for label, text in lines if text).encode()


def read_info(data: bytes) -> Checked[BagInfo]:
    """Returns what ``bag-info.txt`` says; labels not known here are passed over, ``Payload-Oxum`` must be there."""
    faults: list[Fault] = []
    found: dict[str, str] = {}
    for n, line in enumerate(_lines(data, INFO, faults), 1):
        match = _LABEL.fullmatch(line)
        if match:
            found[match[1].lower()] = match[2].strip()
        elif not line.startswith((" ", "\t")):
            faults.append(Fault(f"{INFO}:{n}", "pack_info_line", shorten(line)))
    oxum = re.fullmatch(r"([0-9]{1,15})\.([0-9]{1,9})", found.get("payload-oxum", ""), re.ASCII)
    if not oxum:
        return Checked(None, (*faults, Fault(INFO, "pack_oxum", shorten(found.get("payload-oxum", "")))))
    info = BagInfo(
        found.get("source-organization", ""), found.get("external-description", ""), int(oxum[1]), int(oxum[2])
    )
    return Checked(None if faults else info, tuple(faults))


def _lines(data: bytes, where: str, faults: list[Fault]) -> Iterable[str]:
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        faults.append(Fault(where, "json_not_utf8", str(error.start)))
        return ()
    if text and not text.endswith("\n"):
        faults.append(Fault(where, "pack_line_cut"))
    if "\r" in text:
        faults.append(Fault(where, "pack_line_end"))
    return text.split("\n")[:-1]
