"""Reads a written pack back and searches it again: success is what the file holds, not what was meant to go in."""

from collections.abc import Callable, Collection, Iterable
from pathlib import Path

from kbapp.errors import InputError
from kbapp.packs import bag
from kbapp.packs.archive import open_archive
from kbapp.packs.blank.blanking import blank_case, blank_map
from kbapp.packs.blank.removal import Kind
from kbapp.packs.contents import check_files, read_entries, read_maps
from kbapp.packs.faults import PackFaults
from kbapp.packs.limits import LIMITS, Limits
from kbapp.packs.verifying import Bag, Progress, read_payload, verify
from kbapp.records.case import Case
from kbapp.records.fault import Fault
from kbapp.records.private import PrivateDetails

RecordsOf = Callable[[str], Iterable[PrivateDetails]]
Sign = tuple[str, Kind, str]


def scan_pack(
    path: Path,
    records_of: RecordsOf,
    kept: Callable[[str], Collection[Sign]],
    progress: Progress,
    known: Collection[str] = (),
    limits: Limits = LIMITS,
) -> Bag:
    """Returns the proved bag of a written pack in which blanking finds nothing but what the user kept.

    ``records_of`` gives the private records that concern a case, ``kept`` the signs of the removals kept in it,
    ``known`` the names that are no people's.

    Raises:
        PackFaults: the file is not sound.
        InputError: ``pack_still_holds``, something personal is left; its place is named.
    """
    with open_archive(path, limits) as archive:
        found = verify(archive, path.name)

        def read_file(sha256: str) -> bytes:
            return read_payload(archive, found, bag.file_path(sha256))

        wanted: set[str] = set()
        paths = len(found.paths(bag.CASES))
        for done, entry in enumerate(read_entries(archive, found)):
            progress(done, paths)
            if entry.case is None:
                raise PackFaults(entry.faults, path.name)
            wanted |= {attachment.sha256 for attachment in entry.case.attachments}
            _refuse_left(entry.case, records_of(entry.case_id), read_file, kept(entry.case_id), known)
        check_files(found, wanted)
        maps, faults = read_maps(archive, found)
        if faults:
            raise PackFaults(faults, path.name)
        for section_map in maps:
            left = [one for one in blank_map(section_map)[1] if one.sign not in kept(one.case)]
            _refuse([(f"{one.case} {one.path}", one.kind) for one in left])
    return found


def _refuse_left(
    case: Case,
    records: Iterable[PrivateDetails],
    read_file: Callable[[str], bytes],
    kept: Collection[Sign],
    known: Collection[str],
) -> None:
    if case.shop is None:
        raise PackFaults([Fault("case.shop", "field_missing")])
    found = blank_case(case, records, read_file, case.shop, known=known).removals
    left = [one for one in found if not _was_kept(one.sign, kept)]
    _refuse([(f"{case.number} {one.path}", one.kind) for one in left])


def _was_kept(sign: Sign, kept: Collection[Sign]) -> bool:
    """Whether something found was kept: its place may have another number where lines before it stayed at home."""
    if sign in kept:
        return True
    return sign[0].startswith("attachments.") and any(sign[1:] == other[1:] for other in kept)


def _refuse(left: list[tuple[str, str]]) -> None:
    if left:
        raise InputError("pack_still_holds", where=left[0][0], kind=left[0][1], count=len(left))
