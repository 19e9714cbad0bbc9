"""What can I ask? Examples to press, shown in the reading pane while nothing is asked."""

from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.lines import Lines, LinesModel
from kbapp.desktop.widgets.title_lines import TitleDelegate, TitleLine
from kbapp.i18n import N_, _

EXAMPLES: Final = (
    ("concern", N_("gets hot in traffic, fine on the motorway"), N_("What it does, in the customer's words or yours")),
    ("test", N_("no crank, positive cable gets warm"), N_("What it does and what a test showed")),
    ("part", N_("battery flat after two nights, second battery"), N_("What was fitted already and changed nothing")),
    ("look", N_("P0171"), N_("A trouble code; several stand side by side")),
    ("note", N_("pulls left when braking hose"), N_("A concern and the part you suspect")),
)  # fmt: skip


class Guide(QWidget):
    """``asked`` is sent with an example that was pressed."""

    asked = Signal(str)

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.head = SectionHead(theme, _("What can I ask?"), _("press one to try it"))
        rows = tuple(TitleLine(_(text), _(text), _(remark), icon) for icon, text, remark in EXAMPLES)
        self.model = LinesModel[TitleLine](lambda row: f"{row.title}. {row.remark}", self)
        self.model.replace(rows)
        self.list = Lines(theme, _("Examples of questions"), margin=False)
        self.list.setModel(self.model)
        self.list.setItemDelegate(TitleDelegate(theme, self.list))
        self.list.clicked.connect(lambda index: self.asked.emit(self.model.rows[index.row()].key))
        self.list.opened.connect(lambda row: self.asked.emit(self.model.rows[row].key))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.head)
        column.addWidget(self.list, 1)
        self.setAccessibleName(_("What can I ask?"))
