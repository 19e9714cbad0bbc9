"""Packs made and read, and the keys of other shops: a pack read is undone here, a key pinned or revoked."""

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp.app.views import ChangeSet
from kbapp.desktop.context import Context
from kbapp.desktop.crate.long_work import LongWork, Progress
from kbapp.desktop.crate.row_list import RowList
from kbapp.desktop.crate.rows import Row, history_rows
from kbapp.desktop.presenter import NotePlace
from kbapp.desktop.tasks import Latest
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.flow_row import FlowRow
from kbapp.desktop.widgets.labels import TextLabel
from kbapp.desktop.widgets.note import Note
from kbapp.desktop.widgets.paper import Paper
from kbapp.i18n import _
from kbapp.wording.crate import cases_words

if TYPE_CHECKING:
    from kbapp.app.crate import Crate, UndonePack
    from kbapp.app.session import Session


class HistoryPage(QWidget):
    """Read anew whenever it is shown."""

    def __init__(self, context: Context, notes: NotePlace) -> None:
        super().__init__()
        theme = context.theme
        self._context, self._notes = context, notes
        self._work = LongWork(context, notes, self)
        self._reading = Latest(context.tasks, self)
        self.empty = NotePlace(theme)
        self.list = RowList(theme, _("Packs and keys"))
        self.undo_button = Button(theme, _("Undo this pack"), "plain", "undo")
        self.pin_button = Button(theme, _("Pin this key"), "plain", "seal")
        self.revoke_button = Button(theme, _("Revoke this key"), "danger", "unable")
        self.reason = TextLabel(theme, "", "small", "ink2", wrap=True)
        foot = Paper(theme)
        inner = QVBoxLayout(foot)
        inner.setContentsMargins(8, 6, 8, 6)
        inner.setSpacing(4)
        buttons = QWidget()
        row = FlowRow(8, buttons)
        row.setContentsMargins(3, 3, 3, 3)
        for button in (self.undo_button, self.pin_button, self.revoke_button):
            row.addWidget(button)
        inner.addWidget(buttons)
        inner.addWidget(self.reason)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.empty)
        column.addWidget(self.list, 1)
        column.addWidget(foot)
        self.undo_button.clicked.connect(self.undo)
        self.pin_button.clicked.connect(lambda: self._judge(pin=True))
        self.revoke_button.clicked.connect(lambda: self._judge(pin=False))
        self.list.picked.connect(lambda _row: self._show_state())
        self._work.busy_changed.connect(self._show_state)
        self._show_state()

    def arrive(self) -> None:
        """Reads what happened."""

        def work(session: "Session", _control: object) -> tuple[Row, ...]:
            crate = session.crate()
            return history_rows(*crate.history(), crate.trusted.keys())

        self._reading.ask(
            self._context.book.bound(work), self._show, lambda error: self._context.presenter.show(error, self._notes)
        )

    def _show(self, rows: tuple[Row, ...]) -> None:
        self.list.show_rows(rows)
        hint = _("What leaves this book and what comes in is listed here.")
        self.empty.put(
            None if rows else Note(self._context.theme, "clock", "plain", _("No pack was made or read yet"), hint)
        )
        self._show_state()

    @property
    def _chosen(self) -> tuple[str, str]:
        row = self.list.current
        kind, _colon, name = (row.key if row is not None else "").partition(":")
        return kind, name

    def _show_state(self) -> None:
        kind, row = self._chosen[0], self.list.current
        undone = row is not None and row.mark is not None
        self.undo_button.setEnabled(kind == "read" and not undone and not self._work.busy)
        for button in (self.pin_button, self.revoke_button):
            button.setEnabled(kind == "key" and not self._work.busy)
        reasons = {
            "read": _("This pack is undone already.") if undone
            else _("Takes its cases back as one, except those somebody changed since."),
            "made": _("What left the shop cannot be called back: withdraw the case, and the next pack says so."),
            "key": _("Pin a key after you compared its figures by phone."),
        }  # fmt: skip
        self.reason.setText(reasons.get(kind, _("Choose a line.")))

    def undo(self) -> None:
        """Takes back what the chosen pack brought."""
        kind, name = self._chosen
        if kind != "read" or not self.undo_button.isEnabled():
            return

        def work(crate: "Crate", _progress: Progress) -> "tuple[ChangeSet, UndonePack]":
            undone = crate.undo(name)
            return ChangeSet(0, (*undone.removed, *undone.set_back)), undone

        self._work.change(_("Undoing the pack"), work, self._undone)

    def _undone(self, undone: "UndonePack") -> None:
        close = Button(self._context.theme, _("Close this note"), "quiet")
        close.clicked.connect(lambda: self._notes.put(None))
        facts = [_("Taken out of view: {cases}.").format(cases=cases_words(len(undone.removed)))]
        if undone.set_back:
            facts.append(_("Set back to the version before: {cases}.").format(cases=cases_words(len(undone.set_back))))
        if undone.kept:
            facts.append(
                _("Kept, because they were changed since: {cases}.").format(cases=cases_words(len(undone.kept)))
            )
        self._notes.put(Note(self._context.theme, "tick", "good", _("The pack is undone."), " ".join(facts), [close]))
        self.arrive()

    def _judge(self, *, pin: bool) -> None:
        kind, name = self._chosen
        if kind != "key" or self._work.busy:
            return

        def work(crate: "Crate", _progress: Progress) -> None:
            (crate.trusted.pin if pin else crate.trusted.revoke)(name)

        self._work.run(_("Noting the key"), "change", work, lambda _none: self.arrive())

    @property
    def idle(self) -> bool:
        """Whether nothing is under way."""
        return not self._work.busy

    def first(self) -> QWidget:
        """Returns the list."""
        return self.list

    def panes(self) -> tuple[QWidget, ...]:
        """Returns where F6 goes."""
        return (self.list, self.undo_button) if self.undo_button.isEnabled() else (self.list,)

    def leave(self) -> bool:
        """Has nothing to leave."""
        return False

    def record(self) -> None:
        """Undoes the chosen pack only by its button: nothing here is confirmed by a key of its own."""
