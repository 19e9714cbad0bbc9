"""Where the panes of the board stand: side by side on a desk, upright and folded in a bay, one test across the bay."""

from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QSplitter, QStackedWidget, QVBoxLayout, QWidget

from kbapp.desktop.split_board.file_page import FilePage
from kbapp.desktop.split_board.flow_pane import FlowPane
from kbapp.desktop.split_board.map_chooser import MapChooser
from kbapp.desktop.split_board.possible import PossibleList
from kbapp.desktop.split_board.record_panel import RecordPanel
from kbapp.desktop.split_board.side import SidePage
from kbapp.desktop.split_board.timeline_pane import TimelinePane
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.theme.tokens import NARROW_BELOW
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.i18n import _

_H, _V = Qt.Orientation.Horizontal, Qt.Orientation.Vertical
SPLITS: Final = ("columns", "left", "right")


def _splitter(orientation: Qt.Orientation, *widgets: QWidget) -> QSplitter:
    made = QSplitter(orientation)
    made.setHandleWidth(8)
    made.setChildrenCollapsible(False)
    for widget in widgets:
        made.addWidget(widget)
    return made


class PossiblePane(QWidget):
    """The table of sections under its head."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.head = SectionHead(theme, _("Still possible"))
        self.list = PossibleList(theme)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.head)
        column.addWidget(self.list, 1)


class BoardLayout(QWidget):
    """Holds the panes; ``arrange`` lets them stand as size and width ask."""

    def __init__(
        self,
        theme: Theme,
        flow: FlowPane,
        timeline: TimelinePane,
        panel: RecordPanel,
        chooser: MapChooser,
        files: FilePage,
    ) -> None:
        super().__init__()
        self._theme = theme
        self.flow, self.timeline, self.panel, self.chooser, self.files = flow, timeline, panel, chooser, files
        self.possible = PossiblePane(theme)
        self.side = SidePage(theme)
        self.left = _splitter(_V, flow, timeline)
        self.stack = QStackedWidget()
        for page in (self.left, panel, chooser, files):
            self.stack.addWidget(page)
        self.right = _splitter(_V, self.possible, self.side)
        self.columns = _splitter(_H, self.stack, self.right)
        self.columns.setStretchFactor(0, 4)
        self.columns.setStretchFactor(1, 3)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.columns)
        self._shape: tuple[object, ...] = ()
        self._kept: dict[str, list[int]] = {}

    @property
    def across(self) -> bool:
        """Whether one test at a time is shown."""
        return self._theme.size == "across"

    @property
    def upright(self) -> bool:
        """Whether the flow stands upright and the guard is a bar."""
        return self._theme.size != "desk" or self.window().width() < NARROW_BELOW

    @property
    def folds(self) -> bool:
        """Whether sections of little share stand in one line."""
        return self._theme.size == "bay"

    def arrange(self, *, has_map: bool, sections: int = 0) -> None:
        """Lets the panes stand as size, width and case ask."""
        shape = (
            self._theme.size,
            self.upright,
            has_map,
            sections,
            self.flow.flow.page.minimumHeight(),
            self.height() // 60,
            self.width() // 60,
        )
        if shape == self._shape or self.width() < 100:
            return
        self._shape = shape
        self.possible.setVisible(has_map)
        self.side.setVisible(not self.across or not has_map)
        wide, tall = self.width(), self.height()
        self.columns.setSizes(self._kept.get("columns", [round(wide * 0.57), round(wide * 0.43)]))
        pitch = self._theme.look.metrics.pitch
        drawn = self.flow.flow.page.minimumHeight() + round(pitch * 1.55) + 8
        flow = min(drawn, round(tall * 0.47)) if has_map else pitch * 9
        self.left.setSizes(self._kept.get("left", [flow, tall - flow]))
        rows = sections if not self.folds else min(sections, 4) + 1
        listed = rows * self._theme.look.metrics.row + round(pitch * 1.55)
        share = min(listed, round(tall * 0.54))
        self.right.setSizes(self._kept.get("right", [share, tall - share]))

    def show_page(self, page: QWidget) -> None:
        """Shows a page of the left column."""
        self.stack.setCurrentWidget(page)

    @property
    def page(self) -> QWidget | None:
        """The page of the left column that is shown."""
        return self.stack.currentWidget()

    def keep(self) -> dict[str, object]:
        """Returns the sizes of the panes, by size of everything."""
        return {"size": self._theme.size, "columns": self.columns.sizes()} if self.isVisible() else {}

    def restore(self, kept: dict[str, object]) -> None:
        """Takes over the sizes of the panes."""
        sizes = kept.get("columns")
        fits = isinstance(sizes, list) and len(sizes) == 2 and all(isinstance(size, int) and size > 0 for size in sizes)
        if fits and isinstance(sizes, list) and kept.get("size") == self._theme.size:
            self._kept["columns"] = sizes
