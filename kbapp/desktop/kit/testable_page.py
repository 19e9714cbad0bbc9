"""What can I test with this kit? Every map with how much of it can be tested, and the tests of one."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QSplitter, QVBoxLayout, QWidget

from kbapp.desktop.forms.field_grid import FieldGrid
from kbapp.desktop.forms.labelled import Labelled
from kbapp.desktop.forms.suggest_edit import SuggestEdit
from kbapp.desktop.kit.rows import map_lines, test_lines
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.title_list import TitleList
from kbapp.i18n import _

if TYPE_CHECKING:
    from kbapp.app.testable import MapTests


class TestablePage(QWidget):
    """``family_asked`` is sent when the answer is wanted for another family."""

    __test__ = False  # not a test case for pytest
    family_asked = Signal(str)

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._found: tuple[MapTests, ...] = ()
        self.family = SuggestEdit(theme, _("For a vehicle of the family"), _("blank: any vehicle"))
        self.family.done.connect(self.family_asked.emit)
        self.maps = TitleList(theme, _("Maps and what of them can be tested"))
        self.maps.picked.connect(lambda _row: self._show_tests())
        self.head = SectionHead(theme, _("Tests"))
        self.tests = TitleList(theme, _("Tests of the map"))
        left, right = QWidget(), QWidget()
        asked = FieldGrid(theme, [Labelled(theme, _("For a vehicle of the family"), self.family, wide=True)])
        maps, tests = (SectionHead(theme, _("Maps")), asked, self.maps), (self.head, self.tests)
        for pane, widgets in ((left, maps), (right, tests)):
            column = QVBoxLayout(pane)
            column.setContentsMargins(0, 0, 0, 0)
            column.setSpacing(0)
            for widget in widgets:
                column.addWidget(widget, 1 if isinstance(widget, TitleList) else 0)
        self.split = QSplitter(Qt.Orientation.Horizontal)
        self.split.setHandleWidth(8)
        self.split.setChildrenCollapsible(False)
        self.split.addWidget(left)
        self.split.addWidget(right)
        self.split.setSizes([520, 560])
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.split)

    def show_found(self, found: Sequence["MapTests"]) -> None:
        """Shows what can be tested."""
        self._found = tuple(found)
        self.maps.show_rows(map_lines(self._found))
        self._show_tests()

    def _show_tests(self) -> None:
        tests = next((one for one in self._found if one.section_map.id == self.maps.key), None)
        self.head.set_text(_("Tests of: {title}").format(title=tests.section_map.title) if tests else _("Tests"))
        self.tests.show_rows(test_lines(tests))
