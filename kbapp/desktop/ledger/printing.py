"""A sheet on paper: its words, chart and table as one document, as PDF or to a printer."""

from html import escape
from pathlib import Path

from PySide6.QtCore import QMarginsF, QUrl
from PySide6.QtGui import QImage, QPageLayout, QTextDocument
from PySide6.QtPrintSupport import QPrinter

from kbapp.desktop.theme.look import Look
from kbapp.errors import EnvironmentFault
from kbapp.i18n import _
from kbapp.wording.sheet import Sheet

_CHART = "chart"
_STYLE = """
body { font-family: 'Atkinson Hyperlegible Next'; font-size: 9pt; }
h1 { font-family: 'Zilla Slab'; font-size: 16pt; margin: 0 0 4pt 0; }
p { margin: 0 0 3pt 0; }
th { text-align: left; font-size: 8pt; padding: 3pt 8pt 3pt 0; }
td { font-size: 8pt; padding: 2pt 8pt 2pt 0; }
"""


def sheet_html(sheet: Sheet, basis: tuple[str, ...], *, chart: bool) -> str:
    """Returns a sheet as an HTML page; every text is escaped."""
    notes = "".join(f"<p>{escape(note)}</p>" for note in (sheet.about, *sheet.notes, *basis) if note)
    picture = f'<p><img src="{_CHART}" width="640"></p>' if chart else ""
    heads = "".join(f"<th>{escape(column.head)}</th>" for column in sheet.columns)
    sides = ["right" if column.figures else "left" for column in sheet.columns]
    rows = "".join(
        "<tr>"
        + "".join(f'<td align="{s}">{escape(cell.text)}</td>' for s, cell in zip(sides, row, strict=True))
        + "</tr>"
        for row in sheet.rows
    )
    table = f"<table><thead><tr>{heads}</tr></thead>{rows}</table>" if sheet.rows else f"<p>{escape(sheet.empty)}</p>"
    return f"<h1>{escape(sheet.title)}</h1>{notes}{picture}{table}"


def document_of(sheet: Sheet, basis: tuple[str, ...], chart: QImage | None) -> QTextDocument:
    """Returns the document to print."""
    document = QTextDocument()
    document.setDefaultStyleSheet(_STYLE)
    document.setDefaultFont(Look("light", "desk").font("small"))
    if chart is not None:
        document.addResource(QTextDocument.ResourceType.ImageResource, QUrl(_CHART), chart)
    document.setHtml(sheet_html(sheet, basis, chart=chart is not None))
    return document


def new_printer() -> QPrinter:
    """Returns a printer set to paper laid across, with margins."""
    printer = QPrinter(QPrinter.PrinterMode.ScreenResolution)
    printer.setPageOrientation(QPageLayout.Orientation.Landscape)
    printer.setPageMargins(QMarginsF(14, 14, 14, 14), QPageLayout.Unit.Millimeter)
    printer.setCreator("Provebook")
    return printer


def write_pdf(path: Path, document: QTextDocument, title: str) -> None:
    """Writes a document as PDF.

    Raises:
        EnvironmentFault: ``file_not_written``.
    """
    printer = new_printer()
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(path))
    printer.setDocName(title)
    if not path.parent.is_dir():
        raise EnvironmentFault("file_not_written", path=str(path), why=_("there is no such folder"))
    document.print_(printer)
    if not path.is_file():
        raise EnvironmentFault("file_not_written", path=str(path), why=_("the folder cannot be written to"))
