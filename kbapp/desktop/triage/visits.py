"""Earlier visits of the vehicle that calls: found by plate, VIN or phone as soon as one of them is written."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from kbapp.desktop.open_book import OpenBook
from kbapp.desktop.tasks import Latest, Tasks
from kbapp.desktop.widgets.note import Note
from kbapp.i18n import _, ngettext
from kbapp.wording.case_words import moment_words

if TYPE_CHECKING:
    from kbapp.app.bench import Visit
    from kbapp.app.session import Session
    from kbapp.desktop.theme.theme import Theme
    from kbapp.desktop.widgets.buttons import Button


class Visits(QObject):
    """``found`` is sent with the visits, the latest first; empty where there are none."""

    found = Signal(object)
    failed = Signal(object)

    def __init__(self, book: OpenBook, tasks: Tasks, parent: QObject) -> None:
        super().__init__(parent)
        self._book, self._wanted = book, ""
        self._latest = Latest(tasks, self)

    def look(self, wanted: str) -> None:
        """Looks for visits by what was written."""
        if wanted == self._wanted or self._book.state != "open":
            return
        self._wanted = wanted
        if not wanted.strip():
            self.found.emit(())
            return

        def work(session: "Session") -> "tuple[Visit, ...]":
            return session.bench().find(wanted)

        self._latest.ask(self._book.bound(lambda session, _control: work(session)), self.found.emit, self.failed.emit)

    def forget(self) -> None:
        """Starts anew."""
        self._latest.cancel()
        self._wanted = ""


def visits_note(theme: "Theme", visits: "tuple[Visit, ...]", buttons: "list[Button]") -> Note:
    """Returns the note that says what is known of the vehicle."""
    row = visits[0].row
    fact = ngettext("Seen before, {n} visit", "Seen before, {n} visits", len(visits)).format(n=len(visits))
    vehicle = " ".join(filter(None, (row.make, row.family, row.generation, row.engine)))
    concern = " ".join(row.concern.split())[:90]
    words = _("Last {when}: {number}, {vehicle}. {concern}")
    hint = words.format(when=moment_words(row.opened), number=row.number, vehicle=vehicle, concern=concern)
    return Note(theme, "back", "info", fact, hint, buttons)
