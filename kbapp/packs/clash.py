"""Settles a clash of two versions of a case, field by field; what nobody chose stays as it is here."""

from collections.abc import Collection
from typing import Any, Final

from pydantic import ValidationError

from kbapp.errors import InputError
from kbapp.packs.blank.coarse import coarse_plain
from kbapp.records.case import Case
from kbapp.records.consistency import consistency_faults
from kbapp.records.fault import DocumentFaults
from kbapp.records.merge import Difference, differences
from kbapp.records.merge_shape import KEYS, Path, keyed

EVERYTHING: Final = "*"
"""Chosen in place of a field: the whole of the other version."""
# Of the book, not of the case: the other side's are never taken.
_STAYS: Final = ("vehicle_ref", "number", "shop", "id", "format")


def clash_fields(mine: Case, theirs: Case) -> tuple[Difference, ...]:
    """Returns the fields in which two versions differ, as ``before`` (here) and ``after`` (in the pack).

    Dates and distances that blanking alone made coarser are no difference.
    """
    here, there = (Case.model_validate(coarse_plain(one.plain())) for one in (mine, theirs))
    found = differences(here, there)
    return tuple(one for one in found if one.path.partition(".")[0] not in _STAYS)


def settle(mine: Case, theirs: Case, take: Collection[str]) -> Case:
    """Returns ``mine`` with the chosen fields of ``theirs`` (paths as in ``clash_fields``, or ``*`` for all of them).

    Raises:
        InputError: ``clash_field_unknown``.
        DocumentFaults: the choice makes a case that contradicts itself.
    """
    known = {one.path for one in clash_fields(mine, theirs)}
    wanted = known if EVERYTHING in take else set(take)
    if wanted - known:
        fields = ", ".join(sorted(known)) or "-"
        raise InputError("clash_field_unknown", field=sorted(wanted - known)[0], fields=fields)
    picked = _pick((), mine.plain(), theirs.plain(), wanted)
    try:
        case = Case.model_validate(picked)
    except ValidationError:
        raise InputError("clash_unsound", number=mine.number) from None
    faults = consistency_faults(case)
    if faults:
        raise DocumentFaults(faults, mine.number)
    return case


def _pick(path: Path, mine: Any, theirs: Any, wanted: Collection[str]) -> Any:
    if mine == theirs:
        return mine
    if ".".join(path) in wanted:
        return theirs
    if path in KEYS and any(one.startswith(".".join(path) + ".") for one in wanted):
        lines = _fields(path, keyed(path, mine), keyed(path, theirs), wanted)
        return [line for line in lines.values() if line is not None]
    if isinstance(mine, dict) and isinstance(theirs, dict):
        return _fields(path, mine, theirs, wanted)
    return mine


def _fields(path: Path, mine: dict[str, Any], theirs: dict[str, Any], wanted: Collection[str]) -> dict[str, Any]:
    picked = {
        name: _pick((*path, name), mine.get(name), theirs.get(name), wanted) for name in dict.fromkeys([*mine, *theirs])
    }
    return {name: value for name, value in picked.items() if value is not None}
