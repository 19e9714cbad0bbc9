"""The documents inside a proved pack, read one at a time."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any, Final

from pydantic import ValidationError

from kbapp.packs import bag
from kbapp.packs.archive import Archive
from kbapp.packs.entry import ENTRY_FORMAT, Lineage
from kbapp.packs.faults import PackFaults
from kbapp.packs.verifying import Bag, read_payload
from kbapp.records.case import Case
from kbapp.records.case_document import check_case, digest
from kbapp.records.fault import Fault
from kbapp.records.json_text import read_json
from kbapp.records.map_document import map_digest, read_map
from kbapp.records.section_map import SectionMap
from kbapp.records.validation import faults_of, format_fault, not_an_object

_FIELDS: Final = ("format", "case", "lineage")


@dataclass(frozen=True, slots=True)
class ReadEntry:
    """A case of a pack with its lineage, or what keeps it from being read; ``newer`` says the format is too new."""

    case_id: str
    case: Case | None = None
    lineage: Lineage | None = None
    faults: tuple[Fault, ...] = ()
    newer: bool = False


def read_entry(archive: Archive, found: Bag, path: str) -> ReadEntry:
    """Returns the case at a path of the payload."""
    case_id = path.removeprefix(bag.CASES).removesuffix(".json")
    text = read_json(read_payload(archive, found, path))
    if text.value is None:
        return ReadEntry(case_id, faults=text.faults)
    return _entry(case_id, text.value, found)


def _entry(case_id: str, value: Any, found: Bag) -> ReadEntry:
    if not isinstance(value, dict):
        return ReadEntry(case_id, faults=(not_an_object(value),))
    version = format_fault(value, ENTRY_FORMAT)
    if version:
        return ReadEntry(case_id, faults=(version,), newer=version.code == "format_newer")
    faults = [Fault(name, "field_unknown", name) for name in value if name not in _FIELDS]
    faults += [Fault(name, "field_missing") for name in _FIELDS if name not in value]
    if faults:
        return ReadEntry(case_id, faults=tuple(faults))
    checked = check_case(value["case"])
    if any(fault.code == "format_newer" for fault in checked.faults):
        return ReadEntry(case_id, faults=checked.faults, newer=True)
    lineage, wrong = _lineage(value["lineage"])
    faults = [*(replace(fault, path=f"case.{fault.path}".rstrip(".")) for fault in checked.faults), *wrong]
    if checked.value and lineage:
        faults += _pack_faults(case_id, checked.value, lineage, found)
    return ReadEntry(case_id, None if faults else checked.value, lineage, tuple(faults))


def _lineage(value: Any) -> tuple[Lineage | None, list[Fault]]:
    try:
        return Lineage.model_validate(value), []
    except ValidationError as error:
        return None, [replace(fault, path=f"lineage.{fault.path}".rstrip(".")) for fault in faults_of(error)]


def _pack_faults(case_id: str, case: Case, lineage: Lineage, found: Bag) -> Iterator[Fault]:
    if case.id != case_id:
        yield Fault("case.id", "pack_case_id", case.id, case_id)
    if not case.number:
        yield Fault("case.number", "field_missing")
    if case.shop is None:
        yield Fault("case.shop", "field_missing")
    if case.vehicle_ref:
        yield Fault("case.vehicle_ref", "pack_case_private", case.vehicle_ref)
    if digest(case) != lineage.digest:
        yield Fault("lineage.digest", "pack_lineage_wrong", lineage.digest, digest(case))
    for n, attachment in enumerate(case.attachments):
        if bag.file_path(attachment.sha256) not in found.digests:
            yield Fault(f"case.attachments.{n}", "pack_attachment_missing", attachment.sha256)


def read_entries(archive: Archive, found: Bag) -> Iterator[ReadEntry]:
    """Yields every case of a pack, one at a time."""
    for path in found.paths(bag.CASES):
        yield read_entry(archive, found, path)


def read_maps(archive: Archive, found: Bag) -> tuple[tuple[SectionMap, ...], tuple[Fault, ...]]:
    """Returns the section maps of a pack, and the faults of those that cannot be taken."""
    maps: list[SectionMap] = []
    faults: list[Fault] = []
    for path in found.paths(bag.MAPS):
        checked = read_map(read_payload(archive, found, path))
        faults += [replace(fault, path=f"{path} {fault.path}".strip()) for fault in checked.faults]
        if checked.value and bag.map_path(map_digest(checked.value)) != path:
            faults.append(Fault(path, "pack_lineage_wrong", path, map_digest(checked.value)))
        elif checked.value:
            maps.append(checked.value)
    return tuple(maps), tuple(faults)


def check_files(found: Bag, wanted: set[str]) -> None:
    """Refuses files that lie under another name than their digest, or that no case of the pack names.

    Raises:
        PackFaults: every such file.
    """
    faults = []
    for path in found.paths(bag.FILES):
        sha256 = path.removeprefix(bag.FILES)
        if found.digests[path] != sha256:
            faults.append(Fault(path, "pack_file_altered"))
        elif sha256 not in wanted:
            faults.append(Fault(path, "pack_file_unused"))
    if faults:
        raise PackFaults(faults)
