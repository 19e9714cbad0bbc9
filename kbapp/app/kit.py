"""What the shop can do: tools and scan functions it has, can borrow or lacks, kept on the shelf of its book."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any, Final, Literal, cast, get_args

from kbapp.store.book import Book

KIT_SHELF: Final = "kit"
KIT_KEY: Final = "shop"
Standing = Literal["have", "borrow", "missing"]
COMMON_KIT: Final = (
    "multimeter", "oscilloscope", "current clamp (low current)", "current clamp (starting current)", "battery tester",
    "load lamp", "fused jumper", "scan tool: live data", "scan tool: hold valve command", "smoke machine",
    "fuel pressure gauge set", "compression tester", "cylinder leakage tester", "cooling system pressure tester",
    "combustion gas tester", "temperature gun", "vacuum gauge", "brake pressure gauge set", "line plug set",
    "pedal force gauge", "dial gauge", "borescope", "insulation tester", "air conditioning service station",
)  # fmt: skip
"""What the first run asks after: the kit the shipped maps name most, beside plain hand tools."""


@dataclass(frozen=True, slots=True)
class KitLine:
    """One piece of kit. ``standing`` None: nothing is known of it, no test is ruled out.

    ``families``: where it differs on a family of vehicles (a scan function that one maker's modules refuse);
    ``due``: the day its calibration is due, ISO 8601, blank where it needs none.
    """

    name: str
    standing: Standing | None = None
    families: Mapping[str, Standing] = field(default_factory=dict)
    due: str = ""

    @property
    def empty(self) -> bool:
        """Whether it says nothing."""
        return self.standing is None and not self.families and not self.due

    def on(self, family: str) -> Standing | None:
        """Returns how it stands for a vehicle of a family."""
        folded = family.casefold()
        return next((s for name, s in self.families.items() if name.casefold() == folded), self.standing)

    def days_left(self, today: date) -> int | None:
        """Returns the days until its calibration is due (below 0: since), None where it needs none."""
        return (date.fromisoformat(self.due) - today).days if self.due else None


class ShopKit:
    """The kit of one open book. Every method may be called from any thread."""

    def __init__(self, book: Book, author: str) -> None:
        self._book, self._author = book, author

    def read(self) -> Mapping[str, Standing]:
        """Returns what is known of each piece of kit; a document that cannot be read tells nothing."""
        return {name: line.standing for name, line in self.lines().items() if line.standing is not None}

    def lines(self) -> Mapping[str, KitLine]:
        """Returns everything that is known, by name; a document that cannot be read tells nothing."""
        found = self._book.shelved(KIT_SHELF, KIT_KEY)
        try:
            document = json.loads(found.document) if found is not None else {}
        except ValueError:
            return {}
        if not isinstance(document, dict):
            return {}
        kit, more = _object(document.get("kit")), _object(document.get("more"))
        lines = (_line(name, kit.get(name), _object(more.get(name))) for name in sorted({*kit, *more}))
        return {line.name: line for line in lines if not line.empty}

    def keep(self, kit: Mapping[str, Standing]) -> None:
        """Keeps how the kit stands in place of what was known before; families and calibration stay as they were."""
        known = self.lines()
        lines = [replace(line, standing=None) for name, line in known.items() if name not in kit]
        lines += [replace(known.get(name, KitLine(name)), standing=standing) for name, standing in kit.items()]
        self._write(lines)

    def put(self, line: KitLine) -> None:
        """Keeps one piece of kit as it is now; an empty one is forgotten."""
        self._write([*(other for other in self.lines().values() if other.name != line.name), line])

    def _write(self, lines: list[KitLine]) -> None:
        ordered = sorted((line for line in lines if not line.empty), key=lambda line: line.name)
        kit = {line.name: line.standing for line in ordered if line.standing is not None}
        more = {line.name: _more(line) for line in ordered if line.families or line.due}
        document = {"kit": kit} | ({"more": more} if more else {})
        text = json.dumps(document, ensure_ascii=False) if ordered else ""
        self._book.put_shelved(KIT_SHELF, KIT_KEY, text, self._author)

    def tick(self, ticked: frozenset[str]) -> None:
        """Keeps which of the common kit is here; the rest of it counts as missing, other kit stays as it was.

        With nothing ticked nothing is known: no test is ruled out for want of a tick.
        """
        others = {name: value for name, value in self.read().items() if name not in COMMON_KIT}
        known: dict[str, Standing] = {name: "have" if name in ticked else "missing" for name in COMMON_KIT}
        self.keep({**others, **known} if ticked else others)

    def missing(self, family: str = "") -> frozenset[str]:
        """Returns the kit the shop lacks for a vehicle of a family."""
        return frozenset(name for name, line in self.lines().items() if line.on(family) == "missing")


def _object(value: object) -> dict[str, Any]:
    return value if isinstance(value, dict) else {}


def standing_of(value: object) -> Standing | None:
    """Returns how something stands, None for anything that is no standing."""
    return cast("Standing", value) if value in get_args(Standing) else None


def _line(name: str, standing: object, more: Mapping[str, Any]) -> KitLine:
    families = {
        str(family): known
        for family, value in _object(more.get("families")).items()
        if (known := standing_of(value)) is not None
    }
    return KitLine(name, standing_of(standing), families, _day(more.get("due")))


def _day(value: object) -> str:
    try:
        return date.fromisoformat(str(value or "")).isoformat()
    except ValueError:
        return ""


def _more(line: KitLine) -> dict[str, Any]:
    families = {"families": dict(sorted(line.families.items()))} if line.families else {}
    return families | ({"due": line.due} if line.due else {})
