"""Prints the pages of a sheet on a printer the system knows."""

from PySide6.QtGui import QPainter
from PySide6.QtPrintSupport import QPrinter

from kbapp.desktop.sheet.drawing import draw_page
from kbapp.desktop.sheet.layout import UNITS, Page


def print_pages(printer: QPrinter, pages: tuple[Page, ...]) -> None:
    """Prints the pages at their size on paper; the printer draws the whole page, without margins of its own."""
    painter = QPainter(printer)
    zoom = printer.resolution() / UNITS
    painter.scale(zoom, zoom)
    for n, page in enumerate(pages):
        if n:
            printer.newPage()
        draw_page(painter, page)
    painter.end()
