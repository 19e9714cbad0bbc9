"""Pastes a scan report: the codes found in it to confirm, then the question goes on with them."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QGuiApplication, QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QPlainTextEdit, QVBoxLayout, QWidget

from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.choice import ROOM_FOR_RING, TickButton
from kbapp.desktop.widgets.flow_row import FlowRow
from kbapp.desktop.widgets.labels import TextLabel
from kbapp.desktop.widgets.themed import Themed
from kbapp.i18n import _, ngettext
from kbapp.records.code_search import FoundCode, find_codes

LINES_SHOWN = 5
MOST = 40
"""More codes than anybody would ask with at once."""


class ReportEdit(QPlainTextEdit, Themed):
    """Where the text of a report is pasted."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.setAccessibleName(_("Text of the scan report"))
        self.setPlaceholderText(_("Paste the text of the report here"))
        self.setTabChangesFocus(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setProperty("field", True)
        self.bind(theme)

    def relook(self) -> None:
        """Takes over the font and the height of a few whole lines."""
        font = self.look.mono("small")
        self.setFont(font)
        self.document().setDocumentMargin(4)
        self.setFixedHeight(round(self.look.measure(font).lineSpacing() * LINES_SHOWN) + 12)


class ScanPanel(QWidget):
    """``confirmed`` is sent with the codes to ask with, ``done`` when the panel is left."""

    confirmed = Signal(object)
    done = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.edit = ReportEdit(theme)
        self.said = TextLabel(theme, "", "small", "ink2")
        self.codes: dict[str, TickButton] = {}
        self._flow = FlowRow()
        self._flow.setContentsMargins(*ROOM_FOR_RING)
        self.ask_button = Button(theme, _("Ask with these codes"), "primary")
        self.close_button = Button(theme, _("Done"), "quiet")
        chips = QWidget()
        chips.setLayout(self._flow)
        row = QHBoxLayout()
        row.setSpacing(8)
        row.addWidget(self.ask_button)
        row.addWidget(self.close_button)
        row.addWidget(self.said, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(*ROOM_FOR_RING)
        column.setSpacing(6)
        column.addWidget(self.edit)
        column.addWidget(chips)
        column.addLayout(row)
        self.edit.textChanged.connect(self._look)
        self.ask_button.clicked.connect(self._confirm)
        self.close_button.clicked.connect(self.done)
        self.setAccessibleName(_("Paste a scan report"))

    def open(self) -> None:
        """Shows the panel with the clipboard's text, where that holds codes."""
        text = QGuiApplication.clipboard().text()
        self.edit.setPlainText(text if find_codes(text) else "")
        self._look()
        self.show()
        (self.ask_button if self.codes else self.edit).setFocus()

    def _look(self) -> None:
        found: dict[str, FoundCode] = {}
        for item in find_codes(self.edit.toPlainText()):
            found.setdefault(item.code.text, item)
        codes = list(found.values())[:MOST]
        for button in self.codes.values():
            self._flow.removeWidget(button)
            button.hide()
            button.deleteLater()
        self.codes = {item.code.text: self._tick(item) for item in codes}
        self._say()

    def _tick(self, item: FoundCode) -> TickButton:
        button = TickButton(self._theme, " ".join(filter(None, (item.code.text, item.status, item.module))))
        button.setAccessibleName(_("Ask with {code}").format(code=button.text()))
        button.setChecked(True)
        button.toggled.connect(lambda _on: self._say())
        self._flow.addWidget(button)
        button.show()
        return button

    def _chosen(self) -> tuple[str, ...]:
        return tuple(code for code, button in self.codes.items() if button.isChecked())

    def _say(self) -> None:
        count = len(self.codes)
        if count:
            words = ngettext("{n} code found, untick what is old", "{n} codes found, untick what is old", count)
            self.said.setText(words.format(n=count))
        elif self.edit.toPlainText().strip():
            self.said.setText(_("No trouble code found, such as P0217"))
        else:
            self.said.setText("")
        self.ask_button.setEnabled(bool(self._chosen()))

    def _confirm(self) -> None:
        self.confirmed.emit(self._chosen())
        self.edit.clear()
        self.done.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leaves with Escape."""
        if event.key() == Qt.Key.Key_Escape:
            self.done.emit()
        else:
            super().keyPressEvent(event)
