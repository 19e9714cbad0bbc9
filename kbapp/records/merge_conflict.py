"""The conflicts of a merge that no single field shows: signatures, references to removed lines, circles."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from kbapp.records.case import Case
from kbapp.records.consistency import consistency_faults

_VOUCHED_FOR: Final = ("state", "cause", "correction", "retest")


@dataclass(frozen=True, slots=True)
class Conflict:
    """One field that two saves changed differently from the revision both started at (None where it is absent)."""

    path: str
    base: Any
    mine: Any
    theirs: Any


@dataclass(frozen=True, slots=True)
class Sides:
    """The plain documents of a merge."""

    base: dict[str, Any]
    mine: dict[str, Any]
    theirs: dict[str, Any]

    def at(self, path: str) -> Conflict:
        """Returns the conflict at a field of the case, or of a line named by its id (``timeline.e3.supersedes``)."""
        return Conflict(path, _at(self.base, path), _at(self.mine, path), _at(self.theirs, path))


def _at(document: Any, path: str) -> Any:
    if not isinstance(document, dict):
        return None
    field, _, rest = path.partition(".")
    value = document.get(field)
    if isinstance(value, list) and rest:
        line, _, inner = rest.rpartition(".")
        found = _line(value, rest) or _line(value, line)
        return found if found is None or found["id"] == rest else found.get(inner)
    return _at(value, rest) if rest else value


def _line(lines: list[dict[str, Any]], name: str) -> dict[str, Any] | None:
    return next((line for line in lines if line.get("id") == name), None)


def signature_conflicts(sides: Sides) -> tuple[Conflict, ...]:
    """Returns a conflict where one side signed (or sent back) while the other changed what the signature vouches for.

    Lines added to the timeline are no change of what was signed; lines changed or removed are.
    """
    for one, other in ((sides.mine, sides.theirs), (sides.theirs, sides.mine)):
        signed = one.get("sign_off") != sides.base.get("sign_off")
        if signed and other.get("sign_off") == sides.base.get("sign_off") and _vouched_changed(sides.base, one, other):
            return (sides.at("sign_off"),)
    return ()


def _vouched_changed(base: dict[str, Any], signed: dict[str, Any], other: dict[str, Any]) -> bool:
    if any(other.get(field) not in (base.get(field), signed.get(field)) for field in _VOUCHED_FOR):
        return True
    lines = {line["id"]: line for line in other.get("timeline", ())}
    return any(lines.get(line["id"]) != line for line in base.get("timeline", ()))


def contradiction_conflicts(case: Case, sides: Sides) -> tuple[Conflict, ...]:
    """Returns a conflict for every contradiction of a merged case whose sides were sound."""
    return tuple({conflict.path: conflict for conflict in _contradictions(case, sides)}.values())


def _contradictions(case: Case, sides: Sides) -> Iterator[Conflict]:
    for fault in consistency_faults(case):
        field, place, name = (*fault.path.split("."), "", "")[:3]
        if field == "links":
            yield sides.at("links")
            continue
        line = getattr(case, field)[int(place)]
        if fault.code != "entry_unknown":
            yield sides.at(f"{field}.{line.id}.{name}")
            continue
        removed = getattr(line, name)
        yield sides.at(f"{_home(sides.base, removed)}.{removed}")


def _home(base: dict[str, Any], line_id: str) -> str:
    return "retest" if _line(base.get("retest", []), line_id) else "timeline"
