"""The maps there are, and the page of one: open it, copy it to another family, print its blank test card."""

from collections.abc import Iterable, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QSplitter, QVBoxLayout, QWidget

from kbapp.desktop.forms.chips_field import FlowBox
from kbapp.desktop.forms.field_grid import FieldGrid, Inset
from kbapp.desktop.forms.form_page import FormPage
from kbapp.desktop.forms.labelled import Labelled
from kbapp.desktop.forms.pick_one import PickOne
from kbapp.desktop.forms.suggest_edit import LineEdit, SuggestEdit
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.labels import TextLabel
from kbapp.desktop.widgets.title_lines import TitleLine
from kbapp.desktop.widgets.title_list import TitleList
from kbapp.i18n import _
from kbapp.records.section_map import SectionMap
from kbapp.wording.drafting import map_facts


class ShelfPage(QWidget):
    """``drawn``: a new map with a title; ``copied`` a map with a family, ``printed`` with a test; the others a map."""

    drawn = Signal(str)
    opened = Signal(object)
    copied = Signal(object, str)
    printed = Signal(object, str)
    tried = Signal(object)
    taken_off = Signal(object)

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._maps: dict[str, SectionMap] = {}
        self._own: frozenset[str] = frozenset()
        self.title = LineEdit(theme, _("Title of a new map"), _("the concern, such as: does not lower"))
        self.new_button = Button(theme, _("Draw it"), "plain", "plus")
        self.list = TitleList(theme, _("Maps"))
        self.list.picked.connect(lambda _row: self._show_map())
        self.list.opened.connect(lambda _row: self._first().setFocus())
        self.head = SectionHead(theme, _("Map"))
        self.facts = TextLabel(theme, "", "small", "ink2", wrap=True)
        self.open_button = Button(theme, _("Go on drawing it"), "primary")
        self.try_button = Button(theme, _("Dry run"), "plain", "test")
        self.off_button = Button(theme, _("Take it off the shelf"), "danger")
        self.family = SuggestEdit(theme, _("Family of the copy"), _("such as Hexley; blank: as it is"))
        self.copy_button = Button(theme, _("Copy and draw on"), "plain", "copy")
        self.test = PickOne(theme, _("What to print"), [("", _("All tests"))])
        self.print_button = Button(theme, _("Print"), "plain", "print")
        self.print_button.setAccessibleName(_("Print the blank test card"))
        self._lay_out()
        self._connect()

    def _lay_out(self) -> None:
        theme = self._theme
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(
            FieldGrid(
                theme,
                [Labelled(theme, _("Title of a new map"), self.title), Labelled(theme, "", self.new_button)],
                most=2,
            )
        )
        column.addWidget(self.list, 1)
        self.page = FormPage(theme, _("Page of the map"))
        self.page.add(self.head)
        self.page.add(Inset(theme, self.facts))
        ways = FlowBox()
        self.page.add(Inset(theme, ways))
        ways.put([self.open_button, self.try_button, self.off_button])
        copying = [Labelled(theme, _("Family of the copy"), self.family), Labelled(theme, "", self.copy_button)]
        self.page.section(_("Copy to another family"), copying, most=2)
        printing = [Labelled(theme, _("What to print"), self.test), Labelled(theme, "", self.print_button)]
        self.page.section(_("Blank test card"), printing, _("filled in at the vehicle, keyed in afterwards"), most=2)
        self.split = QSplitter(Qt.Orientation.Horizontal)
        self.split.setHandleWidth(8)
        self.split.setChildrenCollapsible(False)
        self.split.addWidget(left)
        self.split.addWidget(self.page)
        self.split.setSizes([560, 520])
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.split)

    def _connect(self) -> None:
        self.title.go_on.connect(self._draw)
        self.new_button.clicked.connect(self._draw)
        self.family.go_on.connect(self._copy)
        self.copy_button.clicked.connect(self._copy)
        self.open_button.clicked.connect(lambda: self._send(self.opened))
        self.try_button.clicked.connect(lambda: self._send(self.tried))
        self.off_button.clicked.connect(lambda: self._send(self.taken_off))
        self.print_button.clicked.connect(self._print)

    def _draw(self) -> None:
        title = " ".join(self.title.text().split())
        if title:
            self.title.put("")
            self.drawn.emit(title)
        else:
            self.title.setFocus()

    def _copy(self) -> None:
        if self.current is not None:
            self.copied.emit(self.current, " ".join(self.family.text().split()))
            self.family.put("")

    def _print(self) -> None:
        if self.current is not None:
            self.printed.emit(self.current, self.test.value())

    def _send(self, signal: object) -> None:
        if self.current is not None:
            signal.emit(self.current)  # type: ignore[attr-defined]

    def _first(self) -> QWidget:
        return self.open_button if self.open_button.isVisible() else self.try_button

    @property
    def current(self) -> SectionMap | None:
        """The map one stands on."""
        return self._maps.get(self.list.key)

    def show_maps(self, maps: Sequence[SectionMap], own: Iterable[str], families: Iterable[str], key: str = "") -> None:
        """Shows the maps, the shop's own first."""
        self._own = frozenset(own)
        ordered = sorted(maps, key=lambda section_map: section_map.id not in self._own)
        self._maps = {section_map.id: section_map for section_map in ordered}
        self.list.show_rows(
            [TitleLine(m.id, m.title, map_facts(m, own=m.id in self._own), "map") for m in ordered], key
        )
        self.family.offer(families)
        self._show_map()

    def _show_map(self) -> None:
        section_map = self.current
        self.page.setEnabled(section_map is not None)
        if section_map is None:
            return
        own = section_map.id in self._own
        self.head.set_text(_("Map: {title}").format(title=section_map.title))
        self.facts.setText("\n".join(filter(None, (map_facts(section_map, own=own), section_map.notes))))
        self.open_button.setVisible(own)
        self.off_button.setVisible(own)
        self.test.clear()
        for key, name in (
            ("", _("All tests")),
            *((test.id, _("Test: {name}").format(name=test.name)) for test in section_map.tests),
        ):
            self.test.addItem(name, key)
