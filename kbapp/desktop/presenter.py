"""The one place that shows errors: expected ones as a sentence on the page, our own faults as a report to copy."""

import platform
import traceback
from collections.abc import Callable

import PySide6
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp import __version__
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.note import Note
from kbapp.errors import Cancelled, KbError
from kbapp.i18n import _
from kbapp.wording import sentence


def report(error: BaseException) -> str:
    """Returns what helps to find a fault of ours: versions, system and traceback; no case text is looked up."""
    lines = (
        f"Provebook {__version__}, Python {platform.python_version()}, PySide6 {PySide6.__version__}",
        platform.platform(),
        "",
        "".join(traceback.format_exception(error)),
    )
    return "\n".join(lines)


class NotePlace(QWidget):
    """Room on a page for one note at a time; empty, it takes no room at all."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._note: Note | None = None
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        self._box = box
        self.hide()

    @property
    def note(self) -> Note | None:
        """The note shown, if any."""
        return self._note

    def put(self, note: Note | None) -> None:
        """Shows a note instead of the one before, or none."""
        if self._note is not None:
            self._box.removeWidget(self._note)
            self._note.hide()
            self._note.deleteLater()
        self._note = note
        if note is not None:
            self._box.addWidget(note)
        self.setVisible(note is not None)


class Presenter:
    """Shows errors in the note place of a screen."""

    def __init__(self, theme: Theme) -> None:
        self._theme = theme

    def show(self, error: BaseException, place: NotePlace, again: Callable[[], object] | None = None) -> None:
        """Shows an error where the user is; what they typed stays. ``again`` offers to try once more."""
        if isinstance(error, Cancelled):
            return
        buttons = [self._again_button(place, again)] if again else []
        buttons.append(self._close_button(place))
        make = self._expected if isinstance(error, KbError) else self._own_fault
        place.put(make(error, buttons))

    def _again_button(self, place: NotePlace, again: Callable[[], object]) -> Button:
        button = Button(self._theme, _("Try again"), "plain")

        def press() -> None:
            place.put(None)
            again()

        button.clicked.connect(press)
        return button

    def _close_button(self, place: NotePlace) -> Button:
        button = Button(self._theme, _("Close this note"), "quiet")
        button.clicked.connect(lambda: place.put(None))
        return button

    def _expected(self, error: BaseException, buttons: list[Button]) -> Note:
        words = sentence(error) if isinstance(error, KbError) else ""
        fact, _sep, rest = words.partition("\n")
        return Note(self._theme, "guard", "danger", fact, rest, buttons)

    def _own_fault(self, error: BaseException, buttons: list[Button]) -> Note:
        text = report(error)
        copy = Button(self._theme, _("Copy the report"), "plain", "copy")
        copy.clicked.connect(lambda: QGuiApplication.clipboard().setText(text))
        fact = _("Provebook itself made a mistake. Nothing was half-written.")
        hint = _(
            "What you typed is still here. Please pass the report on: it names versions and the place in the program."
        )
        return Note(self._theme, "guard", "danger", fact, hint, [copy, *buttons])
