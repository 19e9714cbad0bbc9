"""One question of the ledger on the page: words, chart and table over the same figures; CSV, PDF, print."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtGui import QImage, QResizeEvent
from PySide6.QtWidgets import QFileDialog, QVBoxLayout, QWidget

from kbapp.desktop.ledger.band import Band
from kbapp.desktop.ledger.chart_data import Chart
from kbapp.desktop.ledger.sheet_table import SheetTable
from kbapp.desktop.presenter import NotePlace
from kbapp.desktop.reading.page_scroll import PageScroll
from kbapp.desktop.theme.look import Look
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.labels import TextLabel
from kbapp.desktop.widgets.note import Note
from kbapp.desktop.widgets.paper import Paper
from kbapp.desktop.widgets.themed import Themed
from kbapp.errors import EnvironmentFault, KbError
from kbapp.i18n import _
from kbapp.wording.sheet import Sheet, csv_table

if TYPE_CHECKING:
    from kbapp.desktop.ledger.chart_view import ChartView

BOTH_FROM = 29
"""In a page at least so many ruled lines high, chart and table stand one above the other."""
CHART_LINES = 9
NOTE_LINES = (3, 5)
"""How many lines of words stand above a chart alone, and above chart and table; the rest can be scrolled to."""


class SheetPage(QWidget, Themed):
    """Shows one sheet.

    ``opened`` is sent with a row, ``written`` with the path of a file, ``failed`` with an error of writing one.
    """

    opened = Signal(int)
    failed = Signal(object)
    written = Signal(object)

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.sheet: Sheet | None = None
        self.chart: Chart | None = None
        self.basis: tuple[str, ...] = ()
        self.head = SectionHead(theme, "")
        self.notes = NotePlace(theme)
        self.words = TextLabel(theme, "", "small", "ink2", wrap=True)
        self.words_page = PageScroll(theme, _("What stands behind these figures"))
        self.words_page.add(self.words)
        self.words_page.column.addStretch()
        self.chart_place = QWidget()
        self.table = SheetTable(theme)
        self.table.opened.connect(self.opened)
        self.chart_view: ChartView | None = None
        self.face_button = Button(theme, _("Show the chart"), "plain", "ledger")
        self.csv_button = Button(theme, _("Save CSV"), "plain", "copy")
        self.pdf_button = Button(theme, _("Save PDF"), "plain", "note")
        self.print_button = Button(theme, _("Print"), "quiet")
        self.foot = Band(theme, (self.face_button, self.csv_button, self.pdf_button, self.print_button))
        self._chart_face = True
        self._lay_out()
        self._connect()
        self.bind(theme)

    def _lay_out(self) -> None:
        self._chart_column = QVBoxLayout(self.chart_place)
        self._chart_column.setContentsMargins(0, 0, 0, 0)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for widget in (self.head, self.notes, self.words_page, self.chart_place):
            column.addWidget(widget)
        column.addWidget(self.table)
        column.addWidget(Paper(self.table.theme), 1)
        column.addWidget(self.foot)

    def _connect(self) -> None:
        self.face_button.clicked.connect(self._turn)
        self.csv_button.clicked.connect(lambda: self._save(_("Save as CSV"), "csv", self.save_csv))
        self.pdf_button.clicked.connect(lambda: self._save(_("Save as PDF"), "pdf", self.save_pdf))
        self.print_button.clicked.connect(self.print_sheet)

    def show_sheet(self, sheet: Sheet, chart: Chart | None = None, basis: tuple[str, ...] = ()) -> None:
        """Shows a sheet with its chart; ``basis``: what stands behind every figure (the head of the screen says the
        first two sentences of it).
        """
        self.sheet, self.basis = sheet, basis
        self.chart = chart if chart is not None and not chart.empty else None
        self._chart_face = self.chart is not None
        self.head.set_text(sheet.title, "")
        self.words.setText("\n".join(filter(None, (sheet.about, " ".join((*sheet.notes, *basis[2:]))))))
        self.notes.put(None if sheet.rows else Note(self.theme, "info", "plain", sheet.empty))
        self.table.show_sheet(sheet)
        self._draw()
        self._arrange()

    def say(self, note: Note | None) -> None:
        """Shows a note above the figures."""
        self.notes.put(note)

    def relook(self) -> None:
        """Draws the chart anew in the look in force."""
        pad = self.look.metrics.pad
        self.words.setContentsMargins(pad + 2, 4, pad, 4)
        if self.sheet is not None:
            self._draw()
            self._arrange()

    # -- chart and table

    def _draw(self) -> None:
        if self.chart_view is not None:
            self._chart_column.removeWidget(self.chart_view)
            self.chart_view.hide()
            self.chart_view.deleteLater()
            self.chart_view = None
        if self.chart is not None:
            self.chart_view = _chart_view(self.look, self.chart)
            self._chart_column.addWidget(self.chart_view)

    def _turn(self) -> None:
        self._chart_face = not self._chart_face
        self._arrange()

    def _arrange(self) -> None:
        pitch = self.look.metrics.pitch
        rows = self.sheet is not None and bool(self.sheet.rows)
        both = self.height() >= BOTH_FROM * pitch
        face = both or self._chart_face or not rows
        words = self.words.heightForWidth(max(self.width() - 24, 100)) + 2
        room = self.height() - self.head.height() - self.foot.height()
        chart = self.chart is not None
        self.words_page.setVisible(face)
        line = round(self.look.measure(self.look.font("small")).lineSpacing())
        most = line * NOTE_LINES[both] + 6 if both or chart else max(1, room)
        self.words_page.setFixedHeight(min(words, most))
        self.chart_place.setVisible(chart and face)
        if both:
            self.chart_place.setFixedHeight(CHART_LINES * pitch)
        else:
            self.chart_place.setMinimumHeight(0)
            self.chart_place.setMaximumHeight(16_777_215)
        shown = rows and (both or not self._chart_face)
        self.table.setVisible(shown)
        if shown:
            taken = (self.words_page, self.chart_place, self.notes)
            self.table.setFixedHeight(
                self.table.whole_height(room - sum(w.height() for w in taken if not w.isHidden()))
            )
        self.face_button.setVisible(rows and not both)
        words_face = _("Show the chart") if chart else _("What counts")
        self.face_button.setText(_("Show the table") if self._chart_face else words_face)
        self.foot.fit()
        for button in (self.csv_button, self.pdf_button, self.print_button):
            button.setEnabled(rows)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Chooses between both and one of chart and table."""
        super().resizeEvent(event)
        self._arrange()

    # -- taking it along

    def _save(self, title: str, ending: str, write: Callable[[Path], None]) -> None:
        if self.sheet is None:
            return
        name = f"provebook-{self.sheet.key}.{ending}"
        chosen, _kind = QFileDialog.getSaveFileName(self, title, name, f"{ending.upper()} (*.{ending})")
        if not chosen:
            return
        try:
            write(Path(chosen))
        except KbError as error:
            self.failed.emit(error)
        else:
            self.written.emit(Path(chosen))

    def save_csv(self, path: Path) -> None:
        """Writes the figures of the table as CSV, unrounded.

        Raises:
            EnvironmentFault: ``file_not_written``.
        """
        assert self.sheet is not None
        try:
            path.write_text(csv_table(self.sheet), encoding="utf-8-sig", newline="")
        except OSError as error:
            raise EnvironmentFault("file_not_written", path=str(path), why=error.strerror or str(error)) from None

    def save_pdf(self, path: Path) -> None:
        """Writes words, chart and table as PDF.

        Raises:
            EnvironmentFault: ``file_not_written``.
        """
        from kbapp.desktop.ledger.printing import document_of, write_pdf

        assert self.sheet is not None
        write_pdf(path, document_of(self.sheet, self.basis, self.chart_image()), self.sheet.title)

    def print_sheet(self) -> None:
        """Asks for a printer and prints words, chart and table."""
        from PySide6.QtPrintSupport import QPrintDialog

        from kbapp.desktop.ledger.printing import document_of, new_printer

        if self.sheet is None:
            return
        printer = new_printer()
        dialog = QPrintDialog(printer, self)
        if dialog.exec():
            document_of(self.sheet, self.basis, self.chart_image()).print_(printer)

    def chart_image(self) -> QImage | None:
        """Returns the chart as it stands on paper: light, whatever the screen shows."""
        if self.chart is None:
            return None
        view = _chart_view(Look("light", "desk"), self.chart)
        view.resize(900, 300)
        image = view.grab().toImage()
        view.deleteLater()
        return image


def _chart_view(look: Look, chart: Chart) -> "ChartView":
    # the library behind it is slow to load: only who looks at a chart waits for it
    from kbapp.desktop.ledger.chart_view import ChartView

    return ChartView(look, chart)
