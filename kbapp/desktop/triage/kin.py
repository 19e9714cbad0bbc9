"""Cases like this call, found while it is being written."""

from PySide6.QtCore import QObject, QTimer, Signal

from kbapp.desktop.open_book import OpenBook
from kbapp.desktop.tasks import Latest, Tasks
from kbapp.desktop.widgets.title_lines import TitleLine
from kbapp.i18n import _
from kbapp.lookup.question import Answer, Hit, Question
from kbapp.wording.terms import term

KIN_MS = 350
KIN = 4


def kin_line(hit: Hit) -> TitleLine:
    """Returns a case found as a line: number and concern, below them state and cause."""
    concern = " ".join(hit.concern.split())
    cause = " ".join(hit.cause.split()) or _("not found yet")
    remark = _("{state}. Cause: {cause}").format(state=term("state", hit.state), cause=cause)
    return TitleLine(hit.number or hit.id, f"{hit.number}  {concern}"[:200], remark[:300], "look")


class Kin(QObject):
    """``found`` is sent with lines a moment after the question changed."""

    found = Signal(object)
    failed = Signal(object)

    def __init__(self, book: OpenBook, tasks: Tasks, parent: QObject) -> None:
        super().__init__(parent)
        self._book = book
        self._question = Question()
        self._latest = Latest(tasks, self)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(KIN_MS)
        self._timer.timeout.connect(self._ask)

    def ask(self, question: Question) -> None:
        """Asks another question in a moment; one without words finds nothing."""
        if question != self._question:
            self._question = question
            self._timer.start()

    def stop(self) -> None:
        """Drops what is under way."""
        self._timer.stop()
        self._latest.cancel()
        self._question = Question()

    def _ask(self) -> None:
        question = self._question
        if not question.text or self._book.state != "open":
            self.found.emit(())
            return
        self._latest.ask(
            self._book.bound(lambda session, control: session.look(question, control.stopped)),
            self._show,
            self.failed.emit,
        )

    def _show(self, answer: Answer) -> None:
        self.found.emit(tuple(kin_line(hit) for hit in answer.hits[:KIN]))
