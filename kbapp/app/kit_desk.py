"""The Kit List in hand: every kit word of the maps beside the shop's own, each change kept at once and taken back."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from kbapp.app.kit import KitLine, ShopKit, Standing
from kbapp.app.testable import kit_words
from kbapp.errors import InputError
from kbapp.records.base import clean_text
from kbapp.records.section_map import SectionMap

_LONGEST = 120


@dataclass(frozen=True, slots=True)
class KitRow:
    """A line of the list. ``own``: no map names it; ``maps``: how many maps do."""

    line: KitLine
    maps: int

    @property
    def own(self) -> bool:
        """Whether it is a line of the shop's own."""
        return self.maps == 0


def due_of(text: str) -> str:
    """Returns a calibration day as it is kept; blank: none.

    Raises:
        InputError: ``kit_due_wrong``.
    """
    text = text.strip()
    try:
        return date.fromisoformat(text).isoformat() if text else ""
    except ValueError:
        raise InputError("kit_due_wrong", found=text) from None


class KitDesk:
    """Changes to the kit. Called from one thread at a time."""

    def __init__(self, kit: ShopKit) -> None:
        self._kit = kit
        self._done: list[tuple[KitLine, KitLine]] = []
        self._undone: list[tuple[KitLine, KitLine]] = []

    def rows(self, maps: Iterable[SectionMap]) -> tuple[KitRow, ...]:
        """Returns every line by name: kit the maps name, and the shop's own."""
        counts = kit_words(maps)
        known = {name.casefold(): line for name, line in self._kit.lines().items()}
        rows = [KitRow(known.pop(name.casefold(), KitLine(name)), count) for name, count in counts.items()]
        rows += [KitRow(line, 0) for line in known.values()]
        return tuple(sorted(rows, key=lambda row: row.line.name.casefold()))

    def line(self, name: str) -> KitLine:
        """Returns what is known of one piece of kit."""
        return self._kit.lines().get(name, KitLine(name))

    def stand(self, name: str, standing: Standing | None, family: str = "") -> None:
        """Says how a piece of kit stands, for one family of vehicles or for all."""
        before = self.line(name)
        if not family:
            self._put(before, replace(before, standing=standing))
            return
        families = {known: value for known, value in before.families.items() if known.casefold() != family.casefold()}
        if standing is not None:
            families[clean_text(family, lines=False)] = standing
        self._put(before, replace(before, families=families))

    def due(self, name: str, day: str) -> None:
        """Says when the calibration of a piece of kit is due.

        Raises:
            InputError: ``kit_due_wrong``.
        """
        before = self.line(name)
        self._put(before, replace(before, due=due_of(day)))

    def add(self, name: str) -> str:
        """Adds a line of the shop's own, as something it has, and returns its name.

        Raises:
            InputError: ``kit_name_wrong``.
        """
        cleaned = clean_text(name, lines=False)
        if not 0 < len(cleaned) <= _LONGEST:
            raise InputError("kit_name_wrong", most=_LONGEST)
        before = self.line(cleaned)
        self._put(before, replace(before, standing="have"))
        return cleaned

    def forget(self, name: str) -> None:
        """Takes everything about a piece of kit away."""
        self._put(self.line(name), KitLine(name))

    def _put(self, before: KitLine, after: KitLine) -> None:
        if before != after:
            self._kit.put(after)
            self._done.append((before, after))
            self._undone.clear()

    @property
    def can_undo(self) -> bool:
        """Whether a step can be taken back."""
        return bool(self._done)

    @property
    def can_redo(self) -> bool:
        """Whether an undone step can be done again."""
        return bool(self._undone)

    def undo(self) -> str:
        """Takes the last step back and returns which kit it was about, blank where there is none."""
        if not self._done:
            return ""
        step = self._done.pop()
        self._kit.put(step[0])
        self._undone.append(step)
        return step[0].name

    def redo(self) -> str:
        """Does the last undone step again and returns which kit it was about, blank where there is none."""
        if not self._undone:
            return ""
        step = self._undone.pop()
        self._kit.put(step[1])
        self._done.append(step)
        return step[1].name
