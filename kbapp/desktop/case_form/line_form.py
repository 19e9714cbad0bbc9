"""The form of one line: opened below the list, recorded as one step, faults told at their field."""

from datetime import datetime
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp.app.line_text import LineKind, line_from_texts, line_texts
from kbapp.desktop.case_form.fields import Fields
from kbapp.desktop.case_form.line_fields import DEFAULTS, line_fields
from kbapp.desktop.forms.chips_field import FlowBox
from kbapp.desktop.forms.field_grid import FieldGrid, Inset
from kbapp.desktop.forms.labelled import Labelled
from kbapp.desktop.forms.suggest_edit import SuggestEdit
from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.labels import TextLabel
from kbapp.desktop.widgets.themed import Painted
from kbapp.i18n import _
from kbapp.records.base import Record
from kbapp.records.case import Case
from kbapp.records.fault import Fault
from kbapp.wording import fault_sentence
from kbapp.wording.form_words import LINE_FIELD_WORDS
from kbapp.wording.terms import term

_NEW = "new"


class LineForm(Painted):
    """``ready(kind, line, is_new)`` when a line is finished; ``left`` when it is put away unfinished."""

    ready = Signal(str, object, bool)
    left = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme)
        self.author, self.currency = "", "EUR"
        self.parts: list[str] = []
        self.fields: Fields | None = None
        self._kind: LineKind = "note"
        self._base: Record | None = None
        self._body: QWidget | None = None
        self.head = SectionHead(theme, "")
        self.faults = TextLabel(theme, "", "small", "danger", wrap=True)
        self.record_button = Button(theme, _("Record the line"), "primary", "tick")
        self.leave_button = Button(theme, _("Leave it"), "quiet")
        self.record_button.clicked.connect(self.record)
        self.leave_button.clicked.connect(self._leave)
        row = FlowBox()
        row.put((self.record_button, self.leave_button))
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(4, 0, 0, 2)
        self._column.setSpacing(0)
        self._column.addWidget(self.head)
        self._column.addWidget(Inset(theme, self.faults))
        self._column.addWidget(Inset(theme, row))
        self.faults.hide()
        self.hide()

    def open(self, kind: LineKind, case: Case, line: Record | None) -> None:
        """Shows the form of a new line, or of one to correct."""
        self.close_form()
        self._kind, self._base = kind, line
        fields, shown = line_fields(self.theme, self, kind, case)
        texts = line_texts(kind, line)
        if line is None:
            texts |= {name: value for name, value in DEFAULTS.items() if name in texts}
            texts["at"] = datetime.now().astimezone().isoformat(timespec="seconds")
            texts["by"] = self.author
        for name, text in texts.items():
            fields.put(name, text)
        self._offer_parts(fields)
        self.fields = fields
        self._body = self._page(shown)
        self._column.insertWidget(1, self._body)
        self.head.set_text(self._title(), _("Ctrl+Enter records it, Esc leaves it"))
        self.show()
        next(iter(fields.all.values())).control.setFocus()

    def _offer_parts(self, fields: Fields) -> None:
        part = fields.all.get("part")
        if part is not None and isinstance(part.control, SuggestEdit):
            part.control.offer(self.parts)

    def _title(self) -> str:
        kind = _("Retest") if self._kind == "retest" else term("kind", self._kind)
        return _("New line: {kind}").format(kind=kind) if self._base is None else _("Correct: {kind}").format(kind=kind)

    def _page(self, shown: "list[Any]") -> QWidget:
        """Stacks grids of short fields and texts between them in their order."""
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        group: list[Labelled] = []
        for widget in (*shown, None):
            if isinstance(widget, Labelled):
                group.append(widget)
                continue
            if group:
                column.addWidget(FieldGrid(self.theme, group))
                group = []
            if widget is not None:
                column.addWidget(Inset(self.theme, widget))
        return page

    def record(self) -> None:
        """Hands the line over if it can be taken, else says what is wrong."""
        if self.fields is None:
            return
        texts = {name: field.read() for name, field in self.fields.all.items()}
        line_id = str(getattr(self._base, "id", _NEW))
        checked = line_from_texts(self._kind, line_id, texts, self._base, self.currency)
        self._say(checked.faults)
        if checked.value is not None:
            self.ready.emit(self._kind, checked.value, self._base is None)

    def _say(self, faults: tuple[Fault, ...]) -> None:
        assert self.fields is not None
        told = []
        for name in self.fields.all:
            own = [fault for fault in faults if fault.path.split(".")[0] == name]
            words = " ".join(fault_sentence(_worded(fault, name)) for fault in own)
            self.fields.say(name, words)
            told += [words] if words else []
        self.faults.setText(" ".join(told))
        self.faults.setVisible(bool(told))

    def close_form(self) -> None:
        """Puts the form away."""
        self.hide()
        self.faults.setText("")
        self.faults.hide()
        if self._body is not None:
            self._column.removeWidget(self._body)
            self._body.hide()
            self._body.deleteLater()
        if self.fields is not None:
            for field in self.fields.all.values():
                if isinstance(field.control, SuggestEdit):
                    field.control.hide_offers()
            self.fields.deleteLater()
        self._body, self.fields = None, None

    @property
    def is_open(self) -> bool:
        """Whether a line is being written."""
        return self.fields is not None

    def _leave(self) -> None:
        self.close_form()
        self.left.emit()

    def leave(self) -> bool:
        """Leaves the form and returns whether it was open."""
        if not self.is_open:
            return False
        self._leave()
        return True

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints the page with an accent at its edge."""
        ink.fill(0, 0, width, height, "page")
        ink.fill(0, 0, 4, height, "accent")


def _worded(fault: Fault, name: str) -> Fault:
    return Fault(_(LINE_FIELD_WORDS[name]), fault.code, fault.found, fault.expected)
