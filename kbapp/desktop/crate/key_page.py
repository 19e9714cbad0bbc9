"""The shop's own key: its fingerprint to read out, a passphrase, backup, restore, a new one in place of a lost one."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFileDialog, QVBoxLayout, QWidget

from kbapp.desktop.context import Context
from kbapp.desktop.crate.long_work import LongWork, Progress
from kbapp.desktop.crate.passphrase import secret_field
from kbapp.desktop.forms.field_grid import FieldGrid
from kbapp.desktop.presenter import NotePlace
from kbapp.desktop.reading.page_scroll import PageScroll
from kbapp.desktop.tasks import Latest
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.flow_row import FlowRow
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.note import Note
from kbapp.desktop.widgets.paper import Paper
from kbapp.errors import KbError
from kbapp.i18n import _
from kbapp.wording.crate import groups_aloud

if TYPE_CHECKING:
    from kbapp.app.crate import Crate
    from kbapp.app.session import Session


@dataclass(frozen=True, slots=True)
class KeyState:
    """What is known of the key: its fingerprint (blank: none yet) and whether it is sealed."""

    fingerprint: str
    sealed: bool


def _state(crate: "Crate") -> KeyState:
    if not crate.shop_key.fingerprint:
        return KeyState("", sealed=False)
    key = crate.shop_key.own()
    return KeyState(key.fingerprint, key.needs_passphrase)


class KeyPage(QWidget):
    """Every step is a button; what it needs is asked for on the page."""

    def __init__(self, context: Context, notes: NotePlace) -> None:
        super().__init__()
        theme = context.theme
        self._context, self._notes = context, notes
        self._work = LongWork(context, notes, self)
        self._reading = Latest(context.tasks, self)
        self.state = KeyState("", sealed=False)
        self.page = PageScroll(theme, _("The shop's key"))
        self.shown = NotePlace(theme)
        self.make_button = Button(theme, _("Make the key"), "primary", "plus")
        self.old_box, self.old = secret_field(theme, _("Passphrase it has now"))
        self.new_box, self.new = secret_field(theme, _("New passphrase"))
        self.again_box, self.again = secret_field(theme, _("New passphrase once more"))
        self.protect_button = Button(theme, _("Protect with the new passphrase"), "plain", "seal")
        self.open_button = Button(theme, _("Take the passphrase off"), "plain")
        self.backup_button = Button(theme, _("Back up"), "plain", "copy")
        self.restore_button = Button(theme, _("Restore from a backup"), "plain", "folder")
        self.renew_button = Button(theme, _("Make a new key in place of a lost one"), "danger", "redo")
        self._lay_out()
        for button, press in (
            (self.make_button, self.make), (self.protect_button, self.protect), (self.open_button, self.take_off),
            (self.backup_button, self._choose_backup), (self.restore_button, self._choose_restore),
            (self.renew_button, self._ask_renew),
        ):  # fmt: skip
            button.clicked.connect(press)
        self.again.returnPressed.connect(self.protect)
        self._work.busy_changed.connect(self._show_state)
        self._show_state()

    def _row(self, *buttons: Button) -> Paper:
        paper = Paper(self._context.theme)
        row = FlowRow(8, paper)
        row.setContentsMargins(11, 6, 11, 10)
        for button in buttons:
            row.addWidget(button)
        return paper

    def _lay_out(self) -> None:
        theme, page = self._context.theme, self.page
        page.add(SectionHead(theme, _("Fingerprint"), _("eight groups of five figures, to be read out by phone")))
        page.add(self.shown)
        page.add(self._row(self.make_button))
        page.add(SectionHead(theme, _("Passphrase"), _("asked for whenever a pack is written")))
        page.add(FieldGrid(theme, [self.new_box, self.again_box, self.old_box], most=3))
        page.add(self._row(self.protect_button, self.open_button))
        page.add(SectionHead(theme, _("Backup"), _("a second PC restores it; the shop is to sign with one key")))
        page.add(self._row(self.backup_button, self.restore_button))
        page.add(SectionHead(theme, _("Lost"), _("shops that trust yours are told that it changed")))
        page.add(self._row(self.renew_button))
        page.column.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.page)

    # -- showing

    def arrive(self) -> None:
        """Reads how the key stands."""

        def work(session: "Session", _control: object) -> KeyState:
            return _state(session.crate())

        self._reading.ask(self._context.book.bound(work), self._show, self._failed)

    def _failed(self, error: Exception) -> None:
        self._context.presenter.show(error, self._notes)
        if isinstance(error, KbError) and error.code == "key_elsewhere":
            self.shown.put(
                Note(self._context.theme, "guard", "caution", _("The key is not on this PC"),
                     _("Restore its backup here, or make a new one if it is lost."))
            )  # fmt: skip
            self.restore_button.setFocus()

    def _show(self, state: KeyState) -> None:
        self.state = state
        theme = self._context.theme
        if not state.fingerprint:
            note = Note(
                theme, "info", "plain", _("The shop has no key yet"), _("It is made at the first pack, or now.")
            )
        else:
            sealed = (
                _("Protected by a passphrase.") if state.sealed else _("Readable by you alone, without a passphrase.")
            )
            note = Note(theme, "seal", "good", _("Fingerprint {figures}").format(figures=state.fingerprint), sealed)
            note.setAccessibleDescription(
                _("Figure by figure: {figures}").format(figures=groups_aloud(state.fingerprint))
            )
        self.shown.put(note)
        self._show_state()

    def _show_state(self) -> None:
        has, busy = bool(self.state.fingerprint), self._work.busy
        self.make_button.setVisible(not has)
        self.old_box.setVisible(self.state.sealed)
        self.open_button.setVisible(self.state.sealed)
        for button in (self.make_button, self.restore_button, self.renew_button):
            button.setEnabled(not busy)
        for button in (self.protect_button, self.open_button, self.backup_button):
            button.setEnabled(has and not busy)

    # -- steps

    def _step(self, words: str, work: "Callable[[Crate], object]", said: str) -> None:
        if self._work.busy:
            return

        def job(crate: "Crate", _progress: Progress) -> KeyState:
            work(crate)
            return _state(crate)

        def done(state: KeyState) -> None:
            for edit in (self.old, self.new, self.again):
                edit.clear()
            self.again_box.say("")
            self._show(state)
            self._say(Note(self._context.theme, "tick", "good", said, "", [self._close()]))

        self._work.run(words, "change", job, done)

    def _close(self) -> Button:
        close = Button(self._context.theme, _("Close this note"), "quiet")
        close.clicked.connect(lambda: self._notes.put(None))
        return close

    def _say(self, note: Note) -> None:
        self._notes.put(note)

    def make(self) -> None:
        """Makes the shop's key."""
        self._step(_("Making the key"), lambda crate: crate.shop_key.own(), _("The shop has a key now. Back it up."))

    def protect(self) -> None:
        """Seals the key under the new passphrase."""
        new, old = self.new.text(), self.old.text()
        if not new or new != self.again.text():
            wrong = _("Write the same passphrase twice.") if new else _("Write a passphrase first.")
            self.again_box.say(wrong, "danger")
            self.new.setFocus()
            return
        self._step(
            _("Protecting the key"), lambda crate: crate.shop_key.protect(new, lambda: old),
            _("The key is protected. Without the passphrase nobody can sign, you neither."),
        )  # fmt: skip

    def take_off(self) -> None:
        """Opens the key for good."""
        old = self.old.text()
        self._step(
            _("Opening the key"), lambda crate: crate.shop_key.protect("", lambda: old),
            _("The key needs no passphrase any more."),
        )  # fmt: skip

    def _choose_backup(self) -> None:
        dialog = QFileDialog(self, _("Back the key up"), "shop-key.json", _("Keys (*.json)"))
        dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        dialog.setDefaultSuffix("json")
        dialog.setOption(QFileDialog.Option.DontConfirmOverwrite)
        dialog.fileSelected.connect(lambda name: self.backup(Path(name)))
        dialog.finished.connect(lambda _result: dialog.deleteLater())
        dialog.open()

    def backup(self, path: Path) -> None:
        """Writes the key into a file, sealed as it is kept here."""
        said = _("The key is backed up as {name}. Keep it where nobody else reads it.").format(name=path.name)
        self._step(_("Backing the key up"), lambda crate: crate.shop_key.backup(path), said)

    def _choose_restore(self) -> None:
        dialog = QFileDialog(self, _("Restore from a backup"), "", _("Keys (*.json)"))
        dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
        dialog.fileSelected.connect(lambda name: self.restore(Path(name)))
        dialog.finished.connect(lambda _result: dialog.deleteLater())
        dialog.open()

    def restore(self, path: Path, *, replace: bool = False) -> None:
        """Takes the key from a backup; another key than the shop signs with only after a question."""
        if self._work.busy:
            return

        def job(crate: "Crate", _progress: Progress) -> KeyState:
            crate.shop_key.restore(path, replace=replace)
            return _state(crate)

        def done(state: KeyState) -> None:
            self._show(state)
            self._say(Note(self._context.theme, "tick", "good", _("The key is restored."), "", [self._close()]))

        def failed(error: Exception) -> None:
            if isinstance(error, KbError) and error.code == "key_differs":
                self._ask_replace(path)
            else:
                self._context.presenter.show(error, self._notes)

        self._work.run(_("Restoring the key"), "change", job, done, failed)

    def _ask_replace(self, path: Path) -> None:
        go = Button(self._context.theme, _("Sign with the key of the file"), "danger")
        go.clicked.connect(lambda: self.restore(path, replace=True))
        self._say(
            Note(
                self._context.theme, "guard", "caution", _("The shop signs with another key by now."),
                _("Shops that trust yours would be told that it changed. Take the key of the file all the same?"),
                [self._stay(), go],
            )
        )  # fmt: skip

    def _ask_renew(self) -> None:
        go = Button(self._context.theme, _("Make a new key"), "danger")
        go.clicked.connect(self.renew)
        stay = self._stay()
        self._say(
            Note(
                self._context.theme, "guard", "caution", _("The key you have is lost by this."),
                _("Every shop that trusts it is told that it changed, and refuses your packs until it called you."),
                [stay, go],
            )
        )  # fmt: skip
        stay.setFocus()

    def _stay(self) -> Button:
        stay = Button(self._context.theme, _("Leave it as it is"), "plain")
        stay.clicked.connect(lambda: self._notes.put(None))
        return stay

    def renew(self) -> None:
        """Makes a new key in place of a lost one."""
        said = _("The shop has a new key. Back it up, and call the shops that trusted the old one.")
        self._step(_("Making a new key"), lambda crate: crate.shop_key.renew(), said)

    # -- for the screen

    @property
    def idle(self) -> bool:
        """Whether nothing is under way."""
        return not self._work.busy

    def first(self) -> QWidget:
        """Returns what has the keyboard first."""
        return self.backup_button if self.backup_button.isEnabled() else self.make_button

    def panes(self) -> tuple[QWidget, ...]:
        """Returns where F6 goes."""
        return (self.page, self.first())

    def leave(self) -> bool:
        """Has nothing to leave."""
        return False

    def record(self) -> None:
        """Protects the key where a passphrase was written."""
        if self.new.text():
            self.protect()
