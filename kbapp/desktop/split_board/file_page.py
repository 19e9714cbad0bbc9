"""The files of a line, shown inside the program: pictures as they are, others by name; each can be saved as a copy."""

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QImage, QImageReader, QPainter, QPaintEvent
from PySide6.QtWidgets import QFileDialog, QVBoxLayout, QWidget

from kbapp.desktop.open_book import OpenBook
from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.split_board.button_row import ButtonRow
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.themed import Themed
from kbapp.i18n import _
from kbapp.records.case import Attachment

if TYPE_CHECKING:
    from kbapp.app.session import Session

_LARGEST_SIDE = 6000


class Picture(QWidget, Themed):
    """A picture as large as there is room."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.image = QImage()
        self.words = ""
        self.bind(theme)

    def sizeHint(self) -> QSize:
        """Returns a size that pushes nothing."""
        return QSize(200, 200)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paints the picture, or what there is instead."""
        painter = QPainter(self)
        ink = Ink(painter, self.look)
        ink.fill(0, 0, self.width(), self.height(), "page")
        if self.image.isNull():
            pad, tall = self.look.metrics.pad, self.look.pitches(2)
            font = self.look.font("body")
            ink.text(pad + 2, 0, self.words, font, "ink2", height=tall, room=self.width() - 2 * pad)
        else:
            kept = self.image.scaled(
                self.size(), Qt.AspectRatioMode.KeepAspectRatio, Qt.TransformationMode.SmoothTransformation
            )
            painter.drawImage((self.width() - kept.width()) // 2, (self.height() - kept.height()) // 2, kept)
        painter.end()


def read_picture(data: bytes) -> QImage:
    """Returns the picture in a file's bytes, or an empty one where it is none or far too large."""
    from PySide6.QtCore import QBuffer, QByteArray

    raw = QByteArray(data)
    buffer = QBuffer(raw)
    reader = QImageReader(buffer)
    reader.setAutoTransform(True)
    size = reader.size()
    if not size.isValid() or max(size.width(), size.height()) > _LARGEST_SIDE:
        return QImage()
    return reader.read()


class FilePage(QWidget):
    """``closed`` is sent when the board is to come back."""

    closed = Signal()
    failed = Signal(object)

    def __init__(self, theme: Theme, book: OpenBook) -> None:
        super().__init__()
        self._book = book
        self._files: tuple[Attachment, ...] = ()
        self._place = 0
        self.head = SectionHead(theme, _("Files"))
        self.picture = Picture(theme)
        self.next_button = Button(theme, _("Next file"), "plain", "right")
        self.save_button = Button(theme, _("Save a copy"), "plain", "folder")
        self.close_button = Button(theme, _("Back to the board"), "quiet", "left")
        foot = ButtonRow(theme, (self.next_button, self.save_button, self.close_button), "band")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.head)
        column.addWidget(self.picture, 1)
        column.addWidget(foot)
        self.close_button.clicked.connect(self.closed)
        self.next_button.clicked.connect(lambda: self._show((self._place + 1) % len(self._files)))
        self.save_button.clicked.connect(self._ask_where)

    def show_files(self, files: tuple[Attachment, ...]) -> None:
        """Shows the first of some files."""
        self._files = files
        self.next_button.setVisible(len(files) > 1)
        self._show(0)

    def _show(self, place: int) -> None:
        self._place = place
        file = self._files[place]
        self.head.set_text(file.name, _("{n} of {of}").format(n=place + 1, of=len(self._files)))

        def read(session: "Session") -> QImage:
            return read_picture(session.read_file(file.sha256))

        def done(image: QImage) -> None:
            if self._files and self._files[self._place] == file:
                self.picture.image = image
                self.picture.words = _("No picture. Save a copy to open it with another program.")
                self.picture.setAccessibleName(file.name)
                self.picture.update()

        self._book.run("read", self, lambda session, _control: read(session), done, self.failed.emit)

    def _ask_where(self) -> None:
        file = self._files[self._place]
        dialog = QFileDialog(self, _("Save a copy"), Path(file.name).name)
        dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        dialog.fileSelected.connect(lambda name: self.save(file, Path(name)))
        dialog.finished.connect(lambda _result: dialog.deleteLater())
        dialog.open()

    def save(self, file: Attachment, target: Path) -> None:
        """Writes a copy of a file."""
        self._book.run(
            "read", self, lambda session, _control: target.write_bytes(session.read_file(file.sha256)), None,
            self.failed.emit,
        )  # fmt: skip
