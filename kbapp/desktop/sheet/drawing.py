"""Draws the pages of a sheet with a painter: the same strokes on the screen, on a printer and in a PDF."""

import os
from pathlib import Path
from typing import Final

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QLineF, QMarginsF, QPointF, QSizeF
from PySide6.QtGui import QColor, QPageLayout, QPageSize, QPainter, QPdfWriter, QPen

from kbapp.desktop.sheet.layout import UNITS, Dot, Page, Stroke, Tone, Word, font_of
from kbapp.errors import EnvironmentFault

_TONES: Final[dict[Tone, str]] = {"ink": "#000000", "grey": "#4A4A4A", "pale": "#DADADA"}
"""Paper knows no theme: black and two greys, told apart on any printer."""
PAPER: Final = QColor(255, 255, 255)
"""What a page is drawn on."""


def draw_page(painter: QPainter, page: Page) -> None:
    """Draws a page; the painter's units are those of the page."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for item in page.items:
        if isinstance(item, Word):
            painter.setFont(font_of(item.face))
            painter.setPen(QColor(_TONES[item.tone]))
            painter.drawText(QPointF(item.x, item.y), item.text)
        elif isinstance(item, Stroke):
            painter.setPen(QPen(QColor(_TONES[item.tone]), item.thick))
            painter.drawLine(QLineF(item.x1, item.y1, item.x2, item.y2))
        else:
            _dot(painter, item)


def _dot(painter: QPainter, dot: Dot) -> None:
    painter.setPen(QPen(QColor(_TONES["ink"]), 10))
    painter.setBrush(QColor(_TONES["ink"]) if dot.full else PAPER)
    painter.drawEllipse(QPointF(dot.x, dot.y), dot.radius, dot.radius)


def pdf_bytes(pages: tuple[Page, ...], title: str) -> bytes:
    """Returns the pages as a PDF; text stays text."""
    data = QByteArray()
    buffer = QBuffer(data)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setTitle(title)
    writer.setCreator("Provebook")
    writer.setResolution(UNITS)
    writer.setPageLayout(page_layout(pages[0]))
    painter = QPainter(writer)
    for n, page in enumerate(pages):
        if n:
            writer.newPage()
        draw_page(painter, page)
    painter.end()
    buffer.close()
    return bytes(data.data())


def page_layout(page: Page) -> QPageLayout:
    """Returns the paper of a page, without margins of the device's own."""
    size = QPageSize(QSizeF(page.width / UNITS, page.height / UNITS), QPageSize.Unit.Inch, "",
                     QPageSize.SizeMatchPolicy.FuzzyMatch)  # fmt: skip
    return QPageLayout(size, QPageLayout.Orientation.Portrait, QMarginsF(0, 0, 0, 0))


def write_pdf(pages: tuple[Page, ...], title: str, out: Path) -> None:
    """Writes the pages to a file, whole or not at all; a file of that name is replaced.

    Raises:
        EnvironmentFault: ``sheet_not_written``.
    """
    data = pdf_bytes(pages, title)
    aside = out.with_name(out.name + ".part")
    try:
        with aside.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        aside.replace(out)
    except OSError as error:
        aside.unlink(missing_ok=True)
        raise EnvironmentFault("sheet_not_written", path=str(out), why=error.strerror or str(error)) from None
