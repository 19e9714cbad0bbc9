"""Jot: five free lines that become a case at once, to be structured later."""

import re
import uuid
from dataclasses import dataclass

from kbapp.errors import InputError
from kbapp.records.base import clean_text
from kbapp.records.case import CASE_FORMAT, Case, Concern, Correction, Odometer, Shop, Vehicle
from kbapp.records.moment import instant_now
from kbapp.records.timeline import FindingEntry, NoteEntry, TimelineEntry

_YEAR = re.compile(r"\b(19[5-9]\d|20\d\d)\b")
_ODOMETER = re.compile(r"\b(\d{1,3}(?:[ .,]\d{3})+|\d{4,7})\s*(km|mi|miles|kms)\b", re.IGNORECASE)
_LIMITS = {"concern": 20_000, "vehicle": 300, "tried": 20_000, "split": 20_000, "fixed": 20_000}


@dataclass(frozen=True, slots=True)
class Jot:
    """The five lines: what is wrong, on what, what was tried, what split it, what fixed it."""

    concern: str
    vehicle: str = ""
    tried: str = ""
    split: str = ""
    fixed: str = ""

    @classmethod
    def from_text(cls, text: str) -> "Jot":
        """Returns the jot in a text: a line each, in order (`` | `` may stand for a break); more join the last."""
        lines = [line.strip() for line in re.split(r"\n|\s\|\s", text.strip())]
        concern, vehicle, tried, split = [*lines, "", "", ""][:4]
        return cls(concern, vehicle, tried, split, fixed="\n".join(line for line in lines[4:] if line))


def vehicle_from_line(line: str, known: "KnownVehicles | None" = None) -> Vehicle | None:
    """Returns the vehicle in a free line: model year and odometer by their form, make, family and engine where the book
    knows the word; what is left stands as the family, so that nothing typed is lost."""
    rest = " ".join(line.split())
    if not rest:
        return None
    odometer = _ODOMETER.search(rest)
    if odometer:
        rest = (rest[: odometer.start()] + rest[odometer.end() :]).strip(" ,;")
    year = _YEAR.search(rest)
    if year:
        rest = (rest[: year.start()] + rest[year.end() :]).strip(" ,;")
    found, rest = (known or KnownVehicles()).take(" ".join(rest.split()))
    family = found.get("family", "")
    if rest:
        family = f"{family} {rest}".strip()
    return Vehicle(
        make=found.get("make", "")[:120],
        family=family[:500],
        engine=found.get("engine", ""),
        model_year=int(year[1]) if year else None,
        odometer=_odometer(odometer) if odometer else None,
    )


def year_in(text: str) -> int | None:
    """Returns the first model year in a text, or None."""
    year = _YEAR.search(text)
    return int(year[1]) if year else None


def odometer_in(text: str) -> Odometer | None:
    """Returns the first distance driven in a text, or None."""
    found = _ODOMETER.search(text)
    return _odometer(found) if found else None


def _odometer(match: "re.Match[str]") -> Odometer:
    return Odometer(value=float(re.sub(r"\D", "", match[1])), unit="mi" if match[2].lower().startswith("mi") else "km")


@dataclass(frozen=True, slots=True)
class KnownVehicles:
    """The makes, families and engines a book already holds, for recognising them in free words."""

    makes: tuple[str, ...] = ()
    families: tuple[str, ...] = ()
    engines: tuple[str, ...] = ()

    def take(self, text: str) -> tuple[dict[str, str], str]:
        """Returns the fields found in a text, longest names first, and the words that are left."""
        found: dict[str, str] = {}
        for field, names in (("make", self.makes), ("family", self.families), ("engine", self.engines)):
            for name in sorted(filter(None, names), key=len, reverse=True):
                match = re.search(rf"(?<!\w){re.escape(name)}(?!\w)", text, re.IGNORECASE)
                if match:
                    found[field] = name
                    text = " ".join((text[: match.start()] + " " + text[match.end() :]).split()).strip(" ,;")
                    break
        return found, text


def case_from_jot(jot: Jot, shop: Shop, author: str, known: KnownVehicles | None = None) -> Case:
    """Returns a new case: open, or repaired (not yet proved) when it says what fixed it.

    Raises:
        InputError: the concern is blank.
    """
    lines = {name: clean_text(getattr(jot, name)) for name in ("concern", "vehicle", "tried", "split", "fixed")}
    if not lines["concern"]:
        raise InputError("jot_without_concern")
    _check_lengths(lines)
    now = instant_now()
    timeline: list[TimelineEntry] = []
    if lines["tried"]:
        timeline.append(NoteEntry(id="e1", kind="note", at=now, by=author, source="reported", text=lines["tried"]))
    if lines["split"]:
        timeline.append(FindingEntry(id="e2", kind="finding", at=now, by=author, text=lines["split"]))
    return Case(
        format=CASE_FORMAT,
        id=str(uuid.uuid4()),
        shop=shop,
        state="repaired" if lines["fixed"] else "open",
        opened=now,
        vehicle=vehicle_from_line(lines["vehicle"], known),
        concern=Concern(text=lines["concern"]),
        timeline=tuple(timeline),
        correction=Correction(text=lines["fixed"]) if lines["fixed"] else None,
    )


def _check_lengths(lines: dict[str, str]) -> None:
    for name, limit in _LIMITS.items():
        if len(lines[name]) > limit:
            raise InputError("jot_line_too_long", line=name, found=len(lines[name]), limit=limit)
