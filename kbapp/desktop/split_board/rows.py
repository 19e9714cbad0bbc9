"""What advice says about sections, as the rows that the flow and the table beside it both show."""

from collections.abc import Iterator
from dataclasses import dataclass

from kbapp.desktop.split_board.section_node import NodeFace
from kbapp.desktop.theme.tokens import SectionState
from kbapp.i18n import _
from kbapp.isolation.advice import Advice
from kbapp.isolation.results import Result
from kbapp.records.section_map import NOT_ON_MAP
from kbapp.wording.board import numbers, part_share_words
from kbapp.wording.map_names import MapNames, percent
from kbapp.wording.terms import term

FOLD_BELOW = 0.05


@dataclass(frozen=True, slots=True)
class SectionRow:
    """A section: share, state, the lines for and against it, and what lies inside it."""

    section: str
    name: str
    state: SectionState
    share: float
    lines_for: tuple[int, ...] = ()
    lines_against: tuple[int, ...] = ()
    inside: tuple[str, ...] = ()
    untested: bool = False

    @property
    def evidence(self) -> str:
        """Which lines bear on it, in words."""
        parts = []
        if self.lines_for:
            parts.append(_("for: {lines}").format(lines=numbers(self.lines_for)))
        if self.lines_against:
            parts.append(_("against: {lines}").format(lines=numbers(self.lines_against)))
        if not parts:
            parts.append(_("always kept") if self.section == NOT_ON_MAP else _("no result"))
        return ", ".join(parts)

    def spoken(self) -> str:
        """Returns the row as it is read aloud."""
        said = _("{section}: {state}, share {share}, {evidence}").format(
            section=self.name, state=term("section_state", self.state), share=percent(self.share),
            evidence=self.evidence,
        )  # fmt: skip
        return ". ".join((said, *self.inside))


@dataclass(frozen=True, slots=True)
class FoldedRow:
    """The line that stands for sections of little share."""

    count: int
    untested: int

    def spoken(self) -> str:
        """Returns the row as it is read aloud."""
        from kbapp.wording.board import folded_words

        return folded_words(self.count, self.untested)


PossibleRow = SectionRow | FoldedRow


def line_numbers(advice: Advice) -> dict[str, int]:
    """Returns the number of every line of the timeline by its id."""
    return {entry.id: n for n, entry in enumerate(advice.case.timeline, 1)}


def section_rows(advice: Advice) -> tuple[SectionRow, ...]:
    """Returns the sections, the largest share first."""
    view, names, lines = advice.picture, MapNames(advice.section_map), line_numbers(advice)
    inside = {item.section: item for item in advice.pinpoint}
    rows = []
    for n, section in enumerate(view.model.hypotheses):
        parts = inside[section].parts if section in inside else ()
        words = tuple(part_share_words(names.section(part.name), part.share) for part in parts)
        speaking = {side: _lines(view.evidence.results, section, side, lines) for side in ("for", "against")}
        rows.append(SectionRow(
            section, names.section(section), view.states[n], float(view.shares[n]), speaking["for"],
            speaking["against"], words,
        ))  # fmt: skip
    return tuple(sorted(rows, key=lambda row: -row.share))


def _lines(results: tuple[Result, ...], section: str, side: str, lines: dict[str, int]) -> tuple[int, ...]:
    def touching() -> Iterator[int]:
        for result in results:
            touch = result.touch(section)
            if touch is not None and touch.direction == side:
                yield from (lines[entry] for entry in result.entries if entry in lines)

    return tuple(sorted(set(touching())))


def folded(rows: tuple[SectionRow, ...], *, fold: bool) -> tuple[PossibleRow, ...]:
    """Returns the rows, those under 5 % as one line where ``fold`` is set and there is more than one."""
    small = [row for row in rows if row.share < FOLD_BELOW]
    if not fold or len(small) < 2:
        return rows
    kept = tuple(row for row in rows if row.share >= FOLD_BELOW)
    return (*kept, FoldedRow(len(small), sum(row.state == "untested" for row in small)))


def faces(rows: tuple[SectionRow, ...]) -> dict[str, NodeFace]:
    """Returns the same sections as the nodes of the flow show them."""
    return {row.section: NodeFace(row.section, row.name, row.state, row.share) for row in rows}
