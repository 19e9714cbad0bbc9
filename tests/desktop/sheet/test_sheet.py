"""The Hand-Back Sheet on paper: what stands in the PDF, and that the preview draws the same."""

import io
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtTest import QTest

from kbapp.app.sheet import sheet_facts
from kbapp.desktop.sheet.drawing import draw_page, page_layout, pdf_bytes, write_pdf
from kbapp.desktop.sheet.layout import SIZES, Paper, Stroke, Word, font_of, lay_out
from kbapp.desktop.sheet.printing import print_pages
from kbapp.desktop.sheet.screen import SheetScreen
from kbapp.desktop.theme.theme import Theme
from kbapp.errors import EnvironmentFault
from kbapp.records.case import Case
from kbapp.records.private import PrivateDetails
from kbapp.store.book import Book, open_book
from kbapp.wording.hand_back import SheetText, sheet_text
from tests.app.proof_cases import book_with, repaired
from tests.desktop.conftest import Start

SIGN = {"by": "MH", "role": "lead", "at": "2026-06-05T08:10:00+02:00", "result": "proved"}
PRIVATE = PrivateDetails(customer="Ada Quillon", plate="WL-AB 123", phone="0171 2345678", order_number="A-77")


def _book(folder: Path, case: Case) -> Book:
    book_with(folder, case)
    book = open_book(folder)
    book.set_private(case.id, PRIVATE)
    return book


def _words(data: bytes) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(data)).pages]


@pytest.fixture
def proved(tmp_path: Path, theme: Theme) -> SheetText:
    with _book(tmp_path / "book", repaired(state="proved", sign_off=SIGN, number="P-1")) as book:
        return sheet_text(sheet_facts(book, "P-1", "customer"))


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_pdf_holds_every_word_of_the_layout_in_its_order(proved: SheetText, paper: Paper) -> None:
    pages = lay_out(proved, paper)
    data = pdf_bytes(pages, proved.title)
    read = PdfReader(io.BytesIO(data))
    assert len(read.pages) == len(pages)
    for page, found in zip(pages, _words(data), strict=True):
        at = 0
        for word in page.words():
            at = found.index(" ".join(word.split()), 0)
            assert at >= 0
    size = (SIZES[paper][0] / 10, SIZES[paper][1] / 10)
    assert (float(read.pages[0].mediabox.width), float(read.pages[0].mediabox.height)) == pytest.approx(size, abs=0.6)
    assert read.metadata is not None
    assert read.metadata.title == proved.title
    fonts = {font for page in read.pages for font in page["/Resources"]["/Font"]}  # type: ignore[index]
    assert fonts, "text stays text"


def test_a_proved_sheet_says_so_and_an_interim_one_across_every_page(tmp_path: Path, proved: SheetText) -> None:
    text = " ".join(_words(pdf_bytes(lay_out(proved, "a4"), "x")))
    for said in (
        "Proved: the cause was found", "Ada Quillon", "WL-AB 123", "What is proved", "Water pump impeller slips",
        "What was done", "Before 104 105 °C", "After 92 93 °C", "-12 °C", "What was not tested", "Come back if",
    ):  # fmt: skip
        assert said in text, said
    assert "INTERIM" not in text
    long = repaired(retest=[], number="P-2", lesson="word " * 900)
    with _book(tmp_path / "two", long) as book:
        interim = sheet_text(sheet_facts(book, "P-2", "shop"))
    pages = _words(pdf_bytes(lay_out(interim, "letter"), "x"))
    assert len(pages) > 2
    assert all("INTERIM" in page for page in pages)
    assert "not proved. No retest" in pages[0]
    assert "What is known so far, not proved" in pages[0]


def test_nothing_lies_outside_the_paper_or_on_top_of_the_foot(proved: SheetText) -> None:
    for paper, (width, height) in SIZES.items():
        for page in lay_out(proved, paper):
            for item in page.items:
                if isinstance(item, Word):
                    from PySide6.QtGui import QFontMetricsF

                    right = item.x + QFontMetricsF(font_of(item.face)).horizontalAdvance(item.text)
                    assert 0 <= item.x < right <= width
                    assert 0 < item.y < height
                elif isinstance(item, Stroke):
                    assert 0 <= min(item.x1, item.x2) <= max(item.x1, item.x2) <= width


def test_only_greys_are_drawn(proved: SheetText) -> None:
    page = lay_out(proved, "a4")[0]
    image = QImage(page.width // 6, page.height // 6, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    painter = QPainter(image)
    painter.scale(1 / 6, 1 / 6)
    draw_page(painter, page)
    painter.end()
    grey = image.convertToFormat(QImage.Format.Format_Grayscale8).convertToFormat(QImage.Format.Format_RGB32)
    colours = {image.pixel(x, y) for x in range(0, image.width(), 3) for y in range(0, image.height(), 3)}
    assert len(colours) > 4
    assert all(((c >> 16) & 255) == ((c >> 8) & 255) == (c & 255) for c in colours)
    assert grey == image


def test_a_printer_gets_the_same_pages(proved: SheetText, tmp_path: Path) -> None:
    pages = lay_out(proved, "a4")
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "printed.pdf"))
    printer.setPageLayout(page_layout(pages[0]))
    printer.setFullPage(True)
    print_pages(printer, pages)
    assert _words((tmp_path / "printed.pdf").read_bytes()) == _words(pdf_bytes(pages, "x"))


def test_a_sheet_that_cannot_be_written_leaves_nothing(proved: SheetText, tmp_path: Path) -> None:
    pages = lay_out(proved, "a4")
    with pytest.raises(EnvironmentFault) as refused:
        write_pdf(pages, "x", tmp_path / "nowhere" / "sheet.pdf")
    assert refused.value.code == "sheet_not_written"
    write_pdf(pages, "x", tmp_path / "sheet.pdf")
    assert [path.name for path in tmp_path.iterdir() if path.suffix in (".pdf", ".part")] == ["sheet.pdf"]


def test_the_screen_shows_and_saves_what_is_printed(start: Start, tmp_path: Path) -> None:
    case = repaired(state="proved", sign_off=SIGN, number="P-1")
    with _book(tmp_path / "book", case):
        pass
    running = start(str(tmp_path / "book"), screen="sheet")
    running.window.go("sheet", case.id)
    running.rest()
    page = running.screen(SheetScreen, "sheet")
    assert "Ada Quillon" in page.preview.accessibleDescription()
    assert page.private.said() == "with name, plate and order"
    QTest.mouseClick(page.audience.buttons["shop"], Qt.MouseButton.LeftButton)
    running.rest()
    assert "Ada Quillon" not in page.preview.accessibleDescription()
    QTest.mouseClick(page.paper.buttons["letter"], Qt.MouseButton.LeftButton)
    assert page.pages[0].width == SIZES["letter"][0]
    out = tmp_path / "out.pdf"
    page.path.setText(str(out))
    running.activate()
    page.path.setFocus()
    running.press(Qt.Key.Key_S, Qt.KeyboardModifier.ControlModifier)
    running.rest()
    assert page.notes.note is not None
    assert "Saved" in page.notes.note.text()
    on_screen = [word for view in page.preview.views for word in view.page.words()]
    in_file = " ".join(_words(out.read_bytes()))
    assert [word for word in on_screen if " ".join(word.split()) not in in_file] == []
    page.path.setText(str(tmp_path / "no" / "out.pdf"))
    page.save()
    running.rest()
    assert "cannot be written" in page.notes.note.text()
