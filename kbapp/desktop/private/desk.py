"""The private record of the case in hand: read, kept, erased; a VIN found in the words of a case moved into it."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from kbapp.desktop.open_book import OpenBook
from kbapp.records.private import PrivateDetails

if TYPE_CHECKING:
    from collections.abc import Callable

    from kbapp.app.session import Session


class PrivateDesk(QObject):
    """``shown`` with details to show, ``kept`` with those that were kept, ``erased`` when they are gone."""

    shown = Signal(object)
    kept = Signal(object)
    erased = Signal()
    failed = Signal(object)

    def __init__(self, book: OpenBook, parent: QObject) -> None:
        super().__init__(parent)
        self._book = book

    def read(self, case_id: str) -> None:
        """Reads the record of a case."""
        self._book.run(
            "read", self, lambda session, _control: session.private(case_id), self.shown.emit, self.failed.emit
        )  # fmt: skip

    def keep(self, case_id: str, details: PrivateDetails) -> None:
        """Keeps details in place of those before."""
        self._book.change(
            self, lambda session: session.set_private(case_id, details), lambda _c: self.kept.emit(details),
            self.failed.emit,
        )  # fmt: skip

    def erase(self, case_id: str) -> None:
        """Erases the record."""
        self._book.change(
            self, lambda session: session.erase_private(case_id), lambda _c: self.erased.emit(), self.failed.emit
        )  # fmt: skip

    def keep_vin(self, case_id: str, vin: str, done: "Callable[[], object]") -> None:
        """Keeps a VIN where the record has none; then ``done``."""

        def work(session: "Session") -> None:
            details = session.private(case_id)
            if not details.vin:
                session.set_private(case_id, details.model_copy(update={"vin": vin}))

        def ended(_none: None) -> None:
            done()

        self._book.run("change", self, lambda session, _control: work(session), ended, self.failed.emit)
