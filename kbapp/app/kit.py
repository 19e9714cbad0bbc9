"""What the shop can do: tools and scan functions it has, can borrow or lacks, kept on the shelf of its book."""

import json
from collections.abc import Mapping
from typing import Final, Literal, cast, get_args

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


class ShopKit:
    """The kit of one open book. Every method may be called from any thread."""

    def __init__(self, book: Book, author: str) -> None:
        self._book, self._author = book, author

    def read(self) -> Mapping[str, Standing]:
        """Returns what is known of each piece of kit; a document that cannot be read tells nothing."""
        found = self._book.shelved(KIT_SHELF, KIT_KEY)
        try:
            kit = json.loads(found.document)["kit"] if found is not None else {}
        except (ValueError, KeyError, TypeError):
            return {}
        if not isinstance(kit, dict):
            return {}
        return {name: cast("Standing", value) for name, value in kit.items() if value in get_args(Standing)}

    def keep(self, kit: Mapping[str, Standing]) -> None:
        """Keeps what is known of the kit in place of what was known before."""
        document = json.dumps({"kit": dict(sorted(kit.items()))}, ensure_ascii=False) if kit else ""
        self._book.put_shelved(KIT_SHELF, KIT_KEY, document, self._author)

    def tick(self, ticked: frozenset[str]) -> None:
        """Keeps which of the common kit is here; the rest of it counts as missing, other kit stays as it was.

        With nothing ticked nothing is known: no test is ruled out for want of a tick.
        """
        others = {name: value for name, value in self.read().items() if name not in COMMON_KIT}
        known: dict[str, Standing] = {name: "have" if name in ticked else "missing" for name in COMMON_KIT}
        self.keep({**others, **known} if ticked else others)

    def missing(self) -> frozenset[str]:
        """Returns the kit the shop lacks."""
        return frozenset(name for name, value in self.read().items() if value == "missing")
