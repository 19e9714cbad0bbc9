"""The screens there are. A new one is one entry here: its key, icon, names, help page and how it is built."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp.desktop.context import Context
from kbapp.desktop.presenter import NotePlace
from kbapp.desktop.widgets.heads import PageHead
from kbapp.i18n import N_


class Screen(QWidget):
    """A page of the window: its head, room for a note, and a body; subclasses fill the body."""

    def __init__(self, context: Context, title: str, remark: str = "") -> None:
        super().__init__()
        self.context = context
        self.head = PageHead(context.theme, title, remark)
        self.notes = NotePlace(context.theme)
        self.body = QVBoxLayout(self)
        self.body.setContentsMargins(0, 0, 0, 0)
        self.body.setSpacing(0)
        self.body.addWidget(self.head)
        self.body.addWidget(self.notes)
        self.setAccessibleName(title)

    def arrive(self, value: object) -> None:
        """Takes what another screen hands over; called whenever the screen is shown."""

    def first(self) -> QWidget:
        """Returns the control that has the focus when the screen is shown."""
        return self

    def panes(self) -> tuple[QWidget, ...]:
        """Returns the panes that F6 goes through, in order."""
        return (self.first(),)

    def keep(self) -> dict[str, object]:
        """Returns what the window remembers about the screen (plain values)."""
        return {}

    def restore(self, kept: dict[str, object]) -> None:
        """Takes what was remembered; anything unknown is ignored."""

    def gone(self) -> None:
        """Told when another screen is shown."""

    def say_kept(self, what: Literal["recorded", "draft"]) -> None:
        """Says in the head that something was recorded or kept as a draft, and when."""
        self.head.kept.say(what)

    def closing(self) -> None:
        """Brings into safety what is written; called before the window closes."""

    def leave(self) -> bool:
        """Leaves a panel that is open and returns whether there was one (Escape)."""
        return False

    def undo(self) -> bool:
        """Takes the last step on the screen's case back, and returns whether it has one in hand."""
        return False

    def redo(self) -> bool:
        """Does the last undone step again, and returns whether the screen has a case in hand."""
        return False


@dataclass(frozen=True, slots=True)
class ScreenEntry:
    """A screen of the thumb index. ``help_page`` is a file of docs/."""

    key: str
    icon: str
    name: str
    short: str
    help_page: str
    build: Callable[[Context], Screen]


def _bench(context: Context) -> Screen:
    from kbapp.desktop.bench.screen import BenchScreen

    return BenchScreen(context)


def _look_first(context: Context) -> Screen:
    from kbapp.desktop.look_first.screen import LookFirst

    return LookFirst(context)


def _triage(context: Context) -> Screen:
    from kbapp.desktop.triage.screen import TriageScreen

    return TriageScreen(context)


def _jot(context: Context) -> Screen:
    from kbapp.desktop.jot.screen import JotScreen

    return JotScreen(context)


def _ledger(context: Context) -> Screen:
    from kbapp.desktop.ledger.screen import LedgerScreen

    return LedgerScreen(context)


def _split_board(context: Context) -> Screen:
    from kbapp.desktop.split_board.screen import SplitBoard

    return SplitBoard(context)


def _kit(context: Context) -> Screen:
    from kbapp.desktop.kit.screen import KitScreen

    return KitScreen(context)


def _crate(context: Context) -> Screen:
    from kbapp.desktop.crate.screen import CrateScreen

    return CrateScreen(context)


def _lead_check(context: Context) -> Screen:
    from kbapp.desktop.lead_check.screen import LeadCheckScreen

    return LeadCheckScreen(context)


def _map_drafting(context: Context) -> Screen:
    from kbapp.desktop.map_drafting.screen import MapDrafting

    return MapDrafting(context)


def all_screens() -> tuple[ScreenEntry, ...]:
    """Returns the screens in the order of the thumb index; their names are untranslated."""
    return (
        ScreenEntry("bench", "bench", N_("The Bench"), N_("Bench"), "bench.md", _bench),
        ScreenEntry("look", "look", N_("Look First"), N_("Look"), "look-first.md", _look_first),
        ScreenEntry("split", "split", N_("Split Board"), N_("Split"), "split-board.md", _split_board),
        ScreenEntry("triage", "phone", N_("Start a concern"), N_("Start"), "triage.md", _triage),
        ScreenEntry("jot", "jot", N_("Jot"), N_("Jot"), "jot.md", _jot),
        ScreenEntry("crate", "crate", N_("Case Crate"), N_("Crate"), "crate.md", _crate),
        ScreenEntry("lead", "seal", N_("Lead Check"), N_("Lead"), "lead-check.md", _lead_check),
        ScreenEntry("ledger", "ledger", N_("Swap Ledger"), N_("Ledger"), "ledger.md", _ledger),
        ScreenEntry("kit", "kit", N_("Kit List"), N_("Kit"), "kit.md", _kit),
        ScreenEntry("map", "map", N_("Map Drafting"), N_("Maps"), "map-drafting.md", _map_drafting),
    )


def has_screen(key: str) -> bool:
    """Returns whether the thumb index has a screen."""
    return any(entry.key == key for entry in all_screens())
