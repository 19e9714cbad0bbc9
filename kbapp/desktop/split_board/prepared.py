"""What the board shows of an outlook, made ready on the worker: rows and words, so that the window only paints."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from kbapp.desktop.split_board.flow_gates import Gate, gates_of
from kbapp.desktop.split_board.next_tests import NextRow, next_rows
from kbapp.desktop.split_board.rows import SectionRow, section_rows
from kbapp.desktop.split_board.small_lists import gap_rows, still_on_rows
from kbapp.desktop.widgets.title_lines import TitleLine
from kbapp.wording.board import conflict_words

if TYPE_CHECKING:
    from kbapp.app.board import BoardView, Outlook


@dataclass(frozen=True, slots=True, eq=False)
class Prepared:
    """Sections, gates, next tests, gaps and what is still on; without a map only the last."""

    outlook: "Outlook"
    sections: tuple[SectionRow, ...] = ()
    gates: tuple[Gate, ...] = ()
    tests: tuple[NextRow, ...] = ()
    gaps: tuple[TitleLine, ...] = ()
    still_on: tuple[TitleLine, ...] = ()
    conflict: str = ""


def prepare(view: "BoardView", outlook: "Outlook") -> Prepared:
    """Returns an outlook in rows and words."""
    left = still_on_rows(view.case, outlook.still_on)
    advice = outlook.advice
    if advice is None:
        return Prepared(outlook, still_on=left)
    return Prepared(
        outlook, section_rows(advice), gates_of(advice), next_rows(advice, view.currency), gap_rows(advice), left,
        conflict_words(advice),
    )  # fmt: skip
