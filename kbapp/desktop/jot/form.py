"""Five numbered lines on ruled paper; Enter goes on to the next, and from the last one to Record."""

from dataclasses import asdict

from PySide6.QtCore import QSize, Signal
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout

from kbapp.desktop.jot.lines import JOT_LINES, JotText
from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.fields import RuledEdit
from kbapp.desktop.widgets.themed import Painted
from kbapp.i18n import _


class JotForm(Painted):
    """``written`` is sent with every key; ``ended`` when Enter leaves the last line."""

    written = Signal()
    ended = Signal()

    def __init__(self, theme: Theme) -> None:
        self.edits: dict[str, RuledEdit] = {}
        self._column = QVBoxLayout()
        self._column.setSpacing(0)
        super().__init__(theme)
        for line in JOT_LINES:
            edit = RuledEdit(theme, _(line.question), _(line.example))
            edit.textChanged.connect(self.written)
            edit.go_on.connect(lambda name=line.name: self._go_on(name))
            self.edits[line.name] = edit
            self._column.addWidget(edit)
        self._column.addStretch()
        self.setLayout(self._column)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName(_("The five lines"))
        self.relook()

    def _go_on(self, name: str) -> None:
        names = list(self.edits)
        place = names.index(name) + 1
        if place < len(names):
            self.edits[names[place]].setFocus()
        else:
            self.ended.emit()

    def text(self) -> JotText:
        """Returns what is written."""
        return JotText(**{name: edit.toPlainText() for name, edit in self.edits.items()})

    def put(self, text: JotText) -> None:
        """Writes other lines."""
        for name, value in asdict(text).items():
            self.edits[name].setPlainText(value)

    def lock(self, *, locked: bool) -> None:
        """Keeps the lines as they are while they are being recorded."""
        for edit in self.edits.values():
            edit.setReadOnly(locked)

    def relook(self) -> None:
        """Takes over margins and gaps."""
        metrics = self.look.metrics
        self._column.setContentsMargins(metrics.margin + 10, metrics.pitch // 2, metrics.pad + 4, metrics.pad)
        self._column.setSpacing(metrics.pitch // 2)
        self.update()

    def sizeHint(self) -> QSize:
        """Returns room for the five lines."""
        return QSize(420, self._column.sizeHint().height())

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints page, margin and the numbers of the lines."""
        look, metrics = self.look, self.look.metrics
        ink.fill(0, 0, width, height, "page")
        bottom = max((edit.geometry().bottom() for edit in self.edits.values()), default=0)
        ink.ruling(bottom + 1, height, width)
        ink.margin(0, height)
        for number, edit in enumerate(self.edits.values(), 1):
            ink.text(metrics.margin - 7, edit.y(), str(number), look.mono("small"), "ink2", align="right",
                     height=metrics.pitch)  # fmt: skip
