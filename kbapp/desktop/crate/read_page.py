"""Reads a pack: who signed it, what it would do, clashes settled field by field, then all of it at once."""

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFileDialog, QStackedWidget, QVBoxLayout, QWidget

from kbapp.app.views import ChangeSet
from kbapp.desktop.context import Context
from kbapp.desktop.crate.clash_page import ClashPage
from kbapp.desktop.crate.long_work import LongWork, Progress
from kbapp.desktop.crate.row_list import RowList
from kbapp.desktop.crate.rows import plan_rows
from kbapp.desktop.presenter import NotePlace
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.flow_row import FlowRow
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.labels import TextLabel
from kbapp.desktop.widgets.note import Note, Tone
from kbapp.desktop.widgets.paper import Paper
from kbapp.errors import KbError
from kbapp.i18n import _
from kbapp.wording import fault_sentence, faults_in
from kbapp.wording.crate import cases_words, groups_aloud, refused_words
from kbapp.wording.packs import pack_term

if TYPE_CHECKING:
    from kbapp.app.crate import Clash, Crate, ReadDone, ReadPlan

_TONES: dict[str, Tone] = {
    "own": "good", "trusted": "good", "unknown": "caution", "changed": "danger", "revoked": "danger",
}  # fmt: skip


class ReadPage(QWidget):
    """``read_done`` is sent after a pack came in, ``pinned`` after a key was trusted or revoked."""

    read_done = Signal()
    pinned = Signal()

    def __init__(self, context: Context, notes: NotePlace) -> None:
        super().__init__()
        theme = context.theme
        self._context, self._notes = context, notes
        self._work = LongWork(context, notes, self)
        self.path: Path | None = None
        self.plan: ReadPlan | None = None
        self.choices: dict[str, frozenset[str]] = {}
        self.trust = NotePlace(theme)
        self.head = SectionHead(theme, _("What reading it would do"))
        self.list = RowList(theme, _("Cases of the pack"))
        self.empty = NotePlace(theme)
        self.clash = ClashPage(theme)
        self.choose_button = Button(theme, _("Choose a pack"), "plain", "folder")
        self.clash_button = Button(theme, _("See both versions"), "plain", "compare")
        self.read_button = Button(theme, _("Read the pack"), "primary", "tick")
        self.reason = TextLabel(theme, "", "small", "ink2", wrap=True)
        self.pages = QStackedWidget()
        self._lay_out()
        self._connect()
        self._show()

    def _lay_out(self) -> None:
        theme = self._context.theme
        planned = QWidget()
        inner = QVBoxLayout(planned)
        inner.setContentsMargins(0, 0, 0, 0)
        inner.setSpacing(0)
        for widget in (self.trust, self.head, self.empty):
            inner.addWidget(widget)
        inner.addWidget(self.list, 1)
        self.pages.addWidget(planned)
        self.pages.addWidget(self.clash)
        foot = Paper(theme)
        column = QVBoxLayout(foot)
        column.setContentsMargins(8, 6, 8, 6)
        column.setSpacing(4)
        buttons = QWidget()
        row = FlowRow(8, buttons)
        row.setContentsMargins(3, 3, 3, 3)
        for button in (self.choose_button, self.clash_button, self.read_button):
            row.addWidget(button)
        column.addWidget(buttons)
        column.addWidget(self.reason)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(self.pages, 1)
        whole.addWidget(foot)

    def _connect(self) -> None:
        self.choose_button.clicked.connect(self.choose)
        self.clash_button.clicked.connect(lambda: self._open_clash(self.list.currentIndex().row()))
        self.read_button.clicked.connect(self.read)
        self.list.opened.connect(self._open_clash)
        self.list.picked.connect(lambda _row: self._show_state())
        self.clash.settled.connect(self._settle)
        self.clash.left.connect(self.leave)
        self._work.busy_changed.connect(self._show_state)

    # -- the plan

    def choose(self) -> None:
        """Lets the user choose a pack."""
        dialog = QFileDialog(self, _("Choose a pack"), "", _("Packs (*.zip)"))
        dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
        dialog.fileSelected.connect(lambda name: self.look_into(Path(name)))
        dialog.finished.connect(lambda _result: dialog.deleteLater())
        dialog.open()

    def look_into(self, path: Path) -> None:
        """Proves a pack and shows what reading it would do; nothing is written."""
        if self._work.busy:
            return
        self.forget()
        self.path = path
        self._ask_plan()

    def _ask_plan(self) -> None:
        path = self.path
        if path is None:
            return

        def work(crate: "Crate", progress: Progress) -> "ReadPlan":
            return crate.plan(path, progress)

        self._work.run(_("Proving {name}").format(name=path.name), "read", work, self._planned, self._refused)

    def forget(self) -> None:
        """Starts anew."""
        self.path, self.plan, self.choices = None, None, {}
        self.list.lines.replace(())
        self.pages.setCurrentIndex(0)
        self._show()

    def _refused(self, error: Exception) -> None:
        faults = faults_in(error) if isinstance(error, KbError) else ()
        if not faults or self.path is None:
            self._context.presenter.show(error, self._notes)
        else:
            close = Button(self._context.theme, _("Close this note"), "quiet")
            close.clicked.connect(lambda: self._notes.put(None))
            fact = refused_words(self.path.name, len(faults))
            self._notes.put(Note(self._context.theme, "guard", "danger", fact, fault_sentence(faults[0]), [close]))
        self.forget()

    def _planned(self, plan: "ReadPlan") -> None:
        self.plan = plan
        self._show()
        self.list.setFocus()

    def _show(self) -> None:
        plan = self.plan
        self.trust.put(self._trust_note(plan) if plan else None)
        self.head.setVisible(plan is not None)
        if plan is None:
            hint = _("Choose a file, or drop one here. First comes a plan; nothing is written until you say so.")
            self.empty.put(Note(self._context.theme, "folder", "plain", _("No pack is open"), hint))
        else:
            self.empty.put(None)
            title = ". ".join(filter(None, (plan.title, plan.file)))
            self.head.set_text(_("What reading it would do"), title)
            self.list.show_rows(plan_rows(plan, self.choices))
        self._show_state()

    # -- trust

    def _trust_note(self, plan: "ReadPlan") -> Note:
        theme, trust = self._context.theme, plan.trust
        shop = trust.shop or trust.shop_id
        fact = pack_term("trust", trust.state).format(shop=shop)
        hint = _("{shop}, fingerprint {fingerprint}").format(shop=shop, fingerprint=trust.fingerprint)
        if trust.state == "changed":
            hint += "\n" + _("Known before: {others}").format(others="; ".join(trust.others) or _("your own key"))
        buttons = []
        if trust.state not in ("own", "trusted"):
            pin = Button(theme, _("The figures agree: pin this key"), "plain", "seal")
            pin.clicked.connect(lambda: self._judge_key(pin=True))
            buttons.append(pin)
        if trust.state not in ("own", "revoked"):
            revoke = Button(theme, _("Revoke this key"), "danger", "unable")
            revoke.clicked.connect(lambda: self._judge_key(pin=False))
            buttons.append(revoke)
        note = Note(theme, "seal" if trust.may_be_read else "guard", _TONES[trust.state], fact, hint, buttons)
        note.setAccessibleDescription(_("Fingerprint: {figures}").format(figures=groups_aloud(trust.fingerprint)))
        return note

    def _judge_key(self, *, pin: bool) -> None:
        if self.plan is None or self._work.busy:
            return
        fingerprint = self.plan.trust.fingerprint

        def work(crate: "Crate", _progress: Progress) -> None:
            (crate.trusted.pin if pin else crate.trusted.revoke)(fingerprint)

        def done(_none: None) -> None:
            self.pinned.emit()
            self._ask_plan()

        self._work.run(_("Noting the key"), "change", work, done)

    # -- clashes

    def _clash_at(self, place: int) -> str:
        rows = self.list.lines.rows
        if self.plan is None or not 0 <= place < len(rows):
            return ""
        clashes = {item.case_id for item in self.plan.items if item.verdict == "clash"}
        return rows[place].key if rows[place].key in clashes else ""

    def _open_clash(self, place: int) -> None:
        case_id, path = self._clash_at(place), self.path
        if not case_id or path is None or self._work.busy:
            return

        def work(crate: "Crate", _progress: Progress) -> "Clash":
            return crate.clash(path, case_id)

        def done(clash: "Clash") -> None:
            self.clash.show_clash(case_id, clash, self.choices.get(case_id, frozenset()))
            self.pages.setCurrentWidget(self.clash)
            self.clash.list.setFocus()
            self._show_state()

        self._work.run(_("Laying both versions side by side"), "read", work, done)

    def _settle(self, case_id: str, taken: frozenset[str]) -> None:
        self.choices[case_id] = taken
        if not taken:
            del self.choices[case_id]
        if self.plan is not None:
            self.list.show_rows(plan_rows(self.plan, self.choices))

    # -- reading

    def why_not(self) -> str:
        """Returns why the pack cannot be read now; blank when it can."""
        if self._work.busy:
            return _("Wait until the work above is done.")
        if self.plan is None:
            return _("Choose a pack first.")
        if not self.plan.trust.may_be_read:
            return _("Its key is not to be trusted: nothing is read until you compared the figures and pinned it.")
        takes = self.plan.count("new") + self.plan.count("revised") + len(self.choices)
        if not takes and not self.plan.maps:
            return _("There is nothing in it to take.")
        return ""

    def _show_state(self) -> None:
        why = self.why_not()
        self.read_button.setEnabled(not why)
        self.read_button.setAccessibleDescription(why)
        self.choose_button.setEnabled(not self._work.busy)
        on_clash = bool(self._clash_at(self.list.currentIndex().row())) and self.pages.currentIndex() == 0
        self.clash_button.setVisible(on_clash)
        self.reason.setText(why or _("All of it comes in as one, and can be undone as one."))

    def read(self) -> None:
        """Reads the pack as one import."""
        path, choices = self.path, dict(self.choices)
        if self.why_not() or path is None:
            return

        def work(crate: "Crate", progress: Progress) -> "tuple[ChangeSet, ReadDone]":
            done = crate.read(path, choices, progress)
            return ChangeSet(done.change, done.cases), done

        self._work.change(_("Reading {name}").format(name=path.name), work, self._read)

    def _read(self, done: "ReadDone") -> None:
        theme = self._context.theme
        buttons = []
        if done.cases:
            show = Button(theme, _("Read the first case"), "plain", "look")
            show.clicked.connect(lambda: self._context.go("look", done.cases[0]))
            buttons.append(show)
        close = Button(theme, _("Close this note"), "quiet")
        close.clicked.connect(lambda: self._notes.put(None))
        fact = _("Took in {cases}.").format(cases=cases_words(len(done.cases)))
        hint = _("They count as from outside until your lead accepts them. History undoes the pack as one.")
        self._notes.put(Note(theme, "tick", "good", fact, hint, [*buttons, close]))
        self.forget()
        (buttons or [close])[0].setFocus()
        self.read_done.emit()

    # -- for the screen

    @property
    def idle(self) -> bool:
        """Whether nothing is under way."""
        return not self._work.busy

    def first(self) -> QWidget:
        """Returns what has the keyboard first."""
        if self.pages.currentWidget() is self.clash:
            return self.clash.list
        return self.list if self.plan is not None else self.choose_button

    def panes(self) -> tuple[QWidget, ...]:
        """Returns where F6 goes."""
        last = self.read_button if self.read_button.isEnabled() else self.choose_button
        return (self.first(), last) if self.first() is not last else (last,)

    def leave(self) -> bool:
        """Goes back from the two versions to the plan."""
        if self.pages.currentWidget() is not self.clash:
            return False
        self.pages.setCurrentIndex(0)
        self.list.setFocus()
        self._show_state()
        return True

    def record(self) -> None:
        """Reads the pack, or chooses one."""
        if self.plan is None:
            self.choose()
        else:
            self.read()
