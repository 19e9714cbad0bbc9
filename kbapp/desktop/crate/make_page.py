"""Makes a pack: choose, look through every removal, write exactly what was looked through."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from kbapp.desktop.context import Context
from kbapp.desktop.crate.choosing import Choosing
from kbapp.desktop.crate.long_work import LongWork, Progress
from kbapp.desktop.crate.passphrase import secret_field
from kbapp.desktop.crate.review_page import ReviewPage
from kbapp.desktop.presenter import NotePlace
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.flow_row import FlowRow
from kbapp.desktop.widgets.labels import TextLabel
from kbapp.desktop.widgets.note import Note
from kbapp.desktop.widgets.paper import Paper
from kbapp.errors import KbError
from kbapp.i18n import _
from kbapp.wording.crate import cases_words

if TYPE_CHECKING:
    from kbapp.app.crate import Crate, Made, Review, Selection
    from kbapp.app.views import ChangeSet

Asked: TypeAlias = "tuple[Selection, str]"
Found: TypeAlias = "tuple[Review, bool]"


class MakePage(QWidget):
    """``made`` is sent after a pack was written."""

    made = Signal()

    def __init__(self, context: Context, notes: NotePlace) -> None:
        super().__init__()
        theme = context.theme
        self._context, self._notes = context, notes
        self._work = LongWork(context, notes, self)
        self._reviewed: Asked | None = None
        self._stale = ""
        self.choosing = Choosing(context, notes)
        self.review = ReviewPage(theme)
        self.pages = QStackedWidget()
        self.pages.addWidget(self.choosing)
        self.pages.addWidget(self.review)
        self.back_button = Button(theme, _("Back to the cases"), "plain", "left")
        self.review_button = Button(theme, _("Look through the removals"), "primary", "look")
        self.write_button = Button(theme, _("Write the pack"), "primary", "tick")
        self.reason = TextLabel(theme, "", "small", "ink2", wrap=True)
        self.secret_box, self.secret = secret_field(theme, _("Passphrase of the shop's key"))
        self.secret_box.hide()
        self._lay_out()
        self._connect()
        self._show_state()

    def _lay_out(self) -> None:
        theme = self._context.theme
        foot = Paper(theme)
        column = QVBoxLayout(foot)
        column.setContentsMargins(8, 6, 8, 6)
        column.setSpacing(4)
        buttons = QWidget()
        row = FlowRow(8, buttons)
        row.setContentsMargins(3, 3, 3, 3)
        for button in (self.back_button, self.review_button, self.write_button):
            row.addWidget(button)
        line = QHBoxLayout()
        line.addWidget(self.secret_box)
        line.addStretch(1)
        column.addLayout(line)
        column.addWidget(buttons)
        column.addWidget(self.reason)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(self.pages, 1)
        whole.addWidget(foot)

    def _connect(self) -> None:
        self.choosing.changed.connect(self._changed)
        self.review.kept_changed.connect(self._work_out_again)
        self.back_button.clicked.connect(self.leave)
        self.review_button.clicked.connect(self.look_through)
        self.write_button.clicked.connect(self._choose_file)
        self.secret.returnPressed.connect(self._choose_file)
        self._work.busy_changed.connect(self._show_state)

    # -- what may be done now

    def _changed(self) -> None:
        if self._reviewed is not None and self._asked() != self._reviewed:
            self._stale = _("Cases or title changed since you looked through the removals. Look through them again.")
        elif self._reviewed is not None:
            self._stale = ""
        self._show_state()

    def book_changed(self, _changes: "ChangeSet") -> None:
        """Asks for another look where a case of the review may have changed."""
        if self._reviewed is not None:
            self._reviewed = None
            self._stale = _("The book changed since you looked through the removals. Look through them again.")
            self._show_state()

    def _asked(self) -> Asked:
        return self.choosing.selection(), self.choosing.title.text().strip()

    def why_not(self) -> str:
        """Returns why the pack cannot be written now; blank when it can."""
        if self._work.busy:
            return _("Wait until the work above is done.")
        if self._stale:
            return self._stale
        if not self.choosing.ticked:
            return _("No case is ticked.")
        if self._reviewed is None:
            return _("Look through the removals first: nothing is written that you did not see.")
        return ""

    def _show_state(self) -> None:
        why = self.why_not()
        looking = self.pages.currentWidget() is self.review
        self.write_button.setEnabled(not why)
        self.review_button.setEnabled(not self._work.busy and bool(self.choosing.ticked))
        self.review_button.setVisible(not looking or bool(why))
        self.back_button.setVisible(looking)
        self.reason.setText(why or _("Exactly what you looked through is written, then read back and searched again."))
        self.write_button.setAccessibleDescription(why)

    # -- reviewing

    def look_through(self) -> None:
        """Works out what would leave the book, and shows it."""
        if self.choosing.ticked and not self._work.busy:
            self._ask_review(self._show_review)

    def _work_out_again(self) -> None:
        if not self._work.busy:
            self._ask_review(self._show_again)

    def _ask_review(self, done: "Callable[[Review], None]") -> None:
        asked, kept = self._asked(), self.review.kept
        self._reviewed = None

        def work(crate: "Crate", progress: Progress) -> Found:
            return crate.review(*asked, kept, progress), crate.shop_key.own().needs_passphrase

        def found(result: Found) -> None:
            self._reviewed, self._stale = asked, ""
            self.secret_box.setVisible(result[1])
            done(result[0])
            self._show_state()

        self._work.run(_("Blanking the cases"), "read", work, found)

    def _show_review(self, review: "Review") -> None:
        self.review.show_review(review)
        self.pages.setCurrentWidget(self.review)
        self.review.list.setFocus()

    def _show_again(self, review: "Review") -> None:
        if not self.review.show_kept(review):
            self._notes.put(
                Note(self._context.theme, "info", "caution", _("The book changed meanwhile"),
                     _("The list shows what would go now. Look through it again."))
            )  # fmt: skip
        if self.review.behind:
            self._work_out_again()

    # -- writing

    def _choose_file(self) -> None:
        if self.why_not():
            return
        dialog = QFileDialog(self, _("Write the pack"), "provebook-pack.zip", _("Packs (*.zip)"))
        dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        dialog.setDefaultSuffix("zip")
        dialog.setOption(QFileDialog.Option.DontConfirmOverwrite)  # nothing is ever written over another file
        dialog.fileSelected.connect(lambda name: self.write(Path(name)))
        dialog.finished.connect(lambda _result: dialog.deleteLater())
        dialog.open()

    def write(self, path: Path) -> None:
        """Writes the pack that was looked through."""
        review, asked = self.review.review, self._reviewed
        if self.why_not() or review is None or asked is None:
            return
        selection, title = asked
        kept, secret = self.review.kept, self.secret.text()

        def work(crate: "Crate", progress: Progress) -> "Made":
            return crate.make(path, selection, review.digest, title, kept, lambda: secret, progress)

        self._work.run(_("Writing the pack"), "change", work, self._written, self._failed)

    def _failed(self, error: Exception) -> None:
        if isinstance(error, KbError) and error.code == "pack_plan_changed":
            self._reviewed = None
            self._stale = _("Something changed since you looked through the removals. Look through them again.")
        self._context.presenter.show(error, self._notes)
        self._show_state()
        if isinstance(error, KbError) and error.code == "key_passphrase_wrong":
            self.secret_box.show()
            self.secret.setFocus()
            self.secret.selectAll()

    def _written(self, made: "Made") -> None:
        self.secret.clear()
        self._reviewed = None
        self.review.forget()
        self.pages.setCurrentWidget(self.choosing)
        close = Button(self._context.theme, _("Close this note"), "quiet")
        close.clicked.connect(lambda: self._notes.put(None))
        fact = _("Wrote {cases} to {name}, read it back and found nothing personal in it.").format(
            cases=cases_words(made.cases), name=made.path.name
        )
        hint = _("In {folder}. Digest {digest}. Fingerprint to read out: {fingerprint}").format(
            folder=made.path.parent, digest=made.pack_id, fingerprint=made.fingerprint
        )
        self._notes.put(Note(self._context.theme, "tick", "good", fact, hint, [close]))
        close.setFocus()
        self._show_state()
        self.made.emit()

    # -- for the screen

    def arrive(self) -> None:
        """Reads the cases."""
        self.choosing.read()

    @property
    def idle(self) -> bool:
        """Whether nothing is under way."""
        return not self._work.busy

    def first(self) -> QWidget:
        """Returns what has the keyboard first."""
        return self.review.list if self.pages.currentWidget() is self.review else self.choosing.list

    def panes(self) -> tuple[QWidget, ...]:
        """Returns where F6 goes."""
        if self.pages.currentWidget() is self.review:
            return (self.review.list, self.write_button if self.write_button.isEnabled() else self.back_button)
        return (self.choosing.state, self.choosing.list, self.review_button)

    def leave(self) -> bool:
        """Goes back from the review to the cases."""
        if self.pages.currentWidget() is not self.review:
            return False
        self.pages.setCurrentWidget(self.choosing)
        self.choosing.list.setFocus()
        self._show_state()
        return True

    def record(self) -> None:
        """Does what comes next: look through, then write."""
        if self.write_button.isEnabled() and self.pages.currentWidget() is self.review:
            self._choose_file()
        else:
            self.look_through()
