"""The Hand-Back Sheet of a case: for whom, on what paper, seen as it will be printed, printed or kept as PDF."""

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QStandardPaths
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QWidget

from kbapp.app.views import ChangeSet
from kbapp.desktop.context import Context
from kbapp.desktop.forms.field_grid import FieldGrid
from kbapp.desktop.forms.labelled import Labelled
from kbapp.desktop.keys import action
from kbapp.desktop.screens import Screen
from kbapp.desktop.sheet.drawing import page_layout, write_pdf
from kbapp.desktop.sheet.layout import Page, lay_out
from kbapp.desktop.sheet.preview import Preview
from kbapp.desktop.sheet.printing import print_pages
from kbapp.desktop.tasks import Control, Latest
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.choice import Choice
from kbapp.desktop.widgets.fields import ValueEdit
from kbapp.desktop.widgets.note import Note
from kbapp.i18n import _
from kbapp.wording.hand_back import SheetText, sheet_text

if TYPE_CHECKING:
    from kbapp.app.session import Session
    from kbapp.app.sheet import Audience


class SheetScreen(Screen):
    """Takes the id of a case."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, _("Hand-Back Sheet"))
        theme = context.theme
        self._case_id = ""
        self._title = ""
        self._number = ""
        self.pages: tuple[Page, ...] = ()
        self._text: SheetText | None = None
        self._reading = Latest(context.tasks, self)
        back = Button(theme, _("Back"), "plain", "left")
        back.clicked.connect(lambda: self.window().leave())  # type: ignore[attr-defined]
        self.print_button = Button(theme, _("Print"), "plain")
        self.save_button = Button(theme, _("Save as PDF"), "primary", "tick")
        self.head.add(back)
        self.head.add(self.print_button)
        self.head.add(self.save_button)
        self.audience = Choice(theme, _("For whom"), {"customer": _("The customer"), "shop": _("The shop")})
        self.paper = Choice(theme, _("Paper"), {"a4": _("A4"), "letter": _("Letter")})
        self.audience.show_chosen("customer")
        self.paper.show_chosen("letter" if context.preferences.now.units == "us" else "a4")
        self.path = ValueEdit(theme, _("Where the PDF is kept"))
        self.private = Labelled(theme, _("For whom"), self.audience)
        fields = (
            self.private, Labelled(theme, _("Paper"), self.paper),
            Labelled(theme, _("Where the PDF is kept"), self.path),
        )  # fmt: skip
        self.preview = Preview(theme)
        self.body.addWidget(FieldGrid(theme, fields, most=3))
        self.body.addWidget(self.preview, 1)
        self._connect()

    def _connect(self) -> None:
        self.audience.chosen.connect(lambda _key: self._read())
        self.paper.chosen.connect(lambda _key: self._lay_out())
        self.save_button.clicked.connect(self.save)
        self.print_button.clicked.connect(self.print)
        self.path.returnPressed.connect(self.save)
        action("save-pdf", self, self.save)
        self.context.book.changed.connect(self._changed)

    def arrive(self, value: object) -> None:
        """Shows the sheet of a case by its id."""
        if isinstance(value, str) and value:
            if value != self._case_id:
                self.path.setText("")
            self._case_id = value
        self._read()

    def _changed(self, changes: ChangeSet) -> None:
        if self._case_id in changes.cases and self.isVisible():
            self._read()

    @property
    def _audience(self) -> "Audience":
        return "shop" if self.audience.buttons["shop"].isChecked() else "customer"

    def _read(self) -> None:
        wanted, audience = self._case_id, self._audience
        if not wanted or self.context.book.state != "open":
            return

        def work(session: "Session") -> tuple[SheetText, str]:
            facts = session.sheet(wanted, audience)
            return sheet_text(facts), facts.case.number or facts.case.id[:8]

        ready = self.context.book.bound(lambda session, _control: work(session))
        self._reading.ask(ready, self._show, lambda error: self.context.presenter.show(error, self.notes))

    def _show(self, found: tuple[SheetText, str]) -> None:
        self._text, self._number = found
        self.head.set_remark(self._text.status)
        said = _("with name, plate and order") if self._audience == "customer" else _("without any private detail")
        self.private.say(said)
        if not self.path.text():
            self.path.setText(str(_documents() / _("sheet-{number}.pdf").format(number=_safe(self._number))))
        self._lay_out()

    def _lay_out(self) -> None:
        if self._text is not None:
            paper = "letter" if self.paper.buttons["letter"].isChecked() else "a4"
            self.pages = lay_out(self._text, paper)  # type: ignore[arg-type]
            self.preview.show_pages(self.pages)

    def save(self) -> None:
        """Writes the pages as they are shown."""
        text, pages = self._text, self.pages
        if text is None or not self.path.text().strip():
            return
        out = Path(self.path.text().strip()).expanduser()

        def done(_none: None) -> None:
            self.notes.put(Note(self.context.theme, "tick", "good", _("Saved"), str(out)))

        def work(_control: Control) -> None:
            write_pdf(pages, text.title, out)

        self.context.tasks.run("draft", self, work, done, lambda error: self.context.presenter.show(error, self.notes))

    def print(self) -> None:
        """Asks the system for a printer and prints the pages as they are shown."""
        if not self.pages:
            return
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        printer.setPageLayout(page_layout(self.pages[0]))
        printer.setFullPage(True)
        dialog = QPrintDialog(printer, self)
        dialog.setWindowTitle(_("Print the sheet"))
        if dialog.exec():
            print_pages(printer, self.pages)

    def first(self) -> QWidget:
        """Returns the choice of whom it is for."""
        return self.audience.buttons[self._audience]

    def panes(self) -> tuple[QWidget, ...]:
        """Returns the choices and the preview."""
        return (self.first(), self.preview)


def _documents() -> Path:
    found = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
    folder = Path(found) if found else Path.home()
    return folder if folder.is_dir() else Path.home()


def _safe(number: str) -> str:
    return "".join(char if char.isalnum() or char in "-_" else "-" for char in number)
