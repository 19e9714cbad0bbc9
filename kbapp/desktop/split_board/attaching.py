"""Photos, waveforms and documents of a case: chosen, pasted or dropped, kept in the book beside the line they show."""

from collections.abc import Callable
from pathlib import Path
from typing import Final

from PySide6.QtCore import QBuffer, QEvent, QIODevice, QMimeData, QObject, Qt, Signal
from PySide6.QtGui import QDropEvent, QGuiApplication, QImage, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QApplication, QFileDialog, QLineEdit, QTextEdit, QWidget

from kbapp.desktop.attachments.intake import Taken, take_in
from kbapp.desktop.attachments.offer import codes_note
from kbapp.desktop.open_book import OpenBook
from kbapp.desktop.split_board.desk import BoardDesk
from kbapp.desktop.theme.theme import Theme
from kbapp.i18n import _

LARGEST: Final = 64 * 1024 * 1024
"""Bytes of one file, as in an exchange pack."""


class Attaching(QObject):
    """``refused`` is sent with a sentence, ``failed`` with an error, ``offered`` with a note (or None) about codes."""

    refused = Signal(str)
    offered = Signal(object)
    failed = Signal(object)

    def __init__(self, theme: Theme, book: OpenBook, desk: BoardDesk, window: QWidget, line: Callable[[], str]) -> None:
        super().__init__(window)
        self._theme, self._book, self._desk, self._window, self._line = theme, book, desk, window, line
        window.setAcceptDrops(True)
        window.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Takes what is dropped on the board or pasted outside a field, while a case is in hand."""
        if self._desk.view is None:
            return False
        if isinstance(event, QDropEvent) and event.type() in (QEvent.Type.DragEnter, QEvent.Type.Drop):
            data = event.mimeData()
            taken = self.take(data) if event.type() == QEvent.Type.Drop else self.takes(data)
            if taken:
                event.setDropAction(Qt.DropAction.CopyAction)
                event.accept()
            return taken
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            pasting = event.matches(QKeySequence.StandardKey.Paste)
            return pasting and not isinstance(QApplication.focusWidget(), (QLineEdit, QTextEdit)) and self.paste()
        return False

    def choose(self) -> None:
        """Lets the user choose files."""
        dialog = QFileDialog(self._window, _("Attach files to the case"))
        dialog.setFileMode(QFileDialog.FileMode.ExistingFiles)
        dialog.filesSelected.connect(lambda names: self.take_paths([Path(name) for name in names]))
        dialog.finished.connect(lambda _result: dialog.deleteLater())
        dialog.open()

    def paste(self) -> bool:
        """Takes what the clipboard holds; returns whether there was a file or a picture in it."""
        return self.take(QGuiApplication.clipboard().mimeData())

    def take(self, data: QMimeData) -> bool:
        """Takes files or a picture, and returns whether there were any."""
        paths = [Path(url.toLocalFile()) for url in data.urls() if url.isLocalFile()]
        if paths:
            self.take_paths(paths)
            return True
        image = data.imageData() if data.hasImage() else None
        if isinstance(image, QImage) and not image.isNull():
            self._keep(_("Picture") + ".png", _png(image))
            return True
        return False

    @staticmethod
    def takes(data: QMimeData) -> bool:
        """Returns whether there is something to take."""
        return data.hasImage() or any(url.isLocalFile() for url in data.urls())

    def take_paths(self, paths: list[Path]) -> None:
        """Keeps files of this PC."""
        for path in paths:
            try:
                fits = path.is_file() and path.stat().st_size <= LARGEST
            except OSError:
                fits = False
            if fits:
                self._keep(path.name, path)
            else:
                self.refused.emit(
                    _("{name} cannot be attached: it is no file, or larger than 64 MiB.").format(name=path.name)
                )

    def _keep(self, name: str, source: Path | bytes) -> None:
        line, case_id = self._line(), self._desk.case_id

        def done(taken: Taken) -> None:
            if self._desk.case_id != case_id:
                return
            self._desk.step(
                lambda work: work.attach(taken.name, taken.sha256, taken.size, taken.media_type, line, taken.original)
            )
            if taken.codes:
                self._offer(taken)

        self._book.run("change", self, lambda session, _control: take_in(session, name, source), done, self.failed.emit)

    def _offer(self, taken: Taken) -> None:
        """Offers the codes of a scan report; nothing is taken over unasked."""

        def take_over() -> None:
            self.offered.emit(None)
            self._desk.step(lambda work: work.add_codes(taken.codes))

        note = codes_note(self._theme, taken.name, taken.codes, take_over, lambda: self.offered.emit(None))
        self.offered.emit(note)


def _png(image: QImage) -> bytes:
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    image.save(buffer, "PNG")  # type: ignore[call-overload]
    return bytes(buffer.data().data())
