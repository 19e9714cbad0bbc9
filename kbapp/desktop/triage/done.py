"""After the call: where the case stands, cases like it, and the maps that fit its concern."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from kbapp.desktop.forms.form_page import FormPage
from kbapp.desktop.forms.full_lines import title_list
from kbapp.desktop.presenter import NotePlace
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.note import Note
from kbapp.desktop.widgets.title_lines import TitleLine
from kbapp.i18n import _, ngettext

if TYPE_CHECKING:
    from kbapp.records.case import Case
    from kbapp.records.section_map import SectionMap


class Done(FormPage):
    """``wanted`` with ``look``, ``case``, ``split`` or ``next``; ``map_chosen`` with a map; ``read`` with a number."""

    wanted = Signal(str)
    map_chosen = Signal(object)
    read = Signal(str)

    def __init__(self, theme: Theme, *, has_board: bool) -> None:
        super().__init__(theme, _("After the call"))
        self._theme, self._has_board = theme, has_board
        self._maps: tuple[SectionMap, ...] = ()
        self.place = NotePlace(theme)
        self.maps_head = SectionHead(theme, _("Maps that fit"))
        self.maps = title_list(theme, _("Maps that fit"))
        self.maps.opened.connect(self._choose)
        self.maps.clicked.connect(lambda index: self._choose(index.row()))
        self.kin_head = SectionHead(theme, _("In the book already"))
        self.kin = title_list(theme, _("Cases like this one"))
        self.kin.opened.connect(self._read)
        self.kin.clicked.connect(lambda index: self._read(index.row()))
        for widget in (self.place, self.maps_head, self.maps, self.kin_head, self.kin):
            self.add(widget)

    def show_case(self, case: "Case", maps: "Sequence[SectionMap]") -> None:
        """Shows a case that was just recorded, with the maps proposed for it."""
        self._maps = tuple(maps)
        buttons = {name: self._button(name) for name in ("look", "case", "split", "next")}
        if not self._has_board:
            buttons.pop("split").deleteLater()
        fact = _("Recorded as {number}, an open case").format(number=case.number)
        hint = _("Who called stands in the private record. What you asked stands in the notes of the case.")
        self.place.put(Note(self._theme, "tick", "good", fact, hint, list(buttons.values())))
        self.buttons = buttons
        chosen = case.map.id if case.map else ""
        self.maps.show_rows([_map_line(section_map, chosen) for section_map in self._maps])
        count = len(self._maps)
        words = ngettext("{n} map; Enter works the case with it", "{n} maps; Enter works the case with one", count)
        none = _("no map fits yet; a symptom of the vocabulary finds one")
        self.maps_head.set_text(_("Maps that fit"), words.format(n=count) if count else none)

    def show_kin(self, rows: tuple[TitleLine, ...]) -> None:
        """Shows cases like it."""
        self.kin.show_rows(rows)
        self.kin_head.set_text(
            _("In the book already"), _("closest first; Enter reads one") if rows else _("nothing like it yet")
        )

    def _button(self, name: str) -> Button:
        words = {
            "look": (_("Cases like this one"), "plain", "look"), "case": (_("Fill in the rest"), "plain", "note"),
            "split": (_("Open on the Split Board"), "primary", "split"), "next": (_("Next call"), "plain", "plus"),
        }  # fmt: skip
        text, kind, icon = words[name]
        if name == "look" and not self._has_board:
            kind = "primary"
        button = Button(self._theme, text, "primary" if kind == "primary" else "plain", icon)
        button.clicked.connect(lambda: self.wanted.emit(name))
        return button

    def _choose(self, row: int) -> None:
        if 0 <= row < len(self._maps):
            self.map_chosen.emit(self._maps[row])

    def _read(self, row: int) -> None:
        if 0 <= row < len(self.kin.lines.rows):
            self.read.emit(self.kin.lines.rows[row].key)

    def first(self) -> QWidget:
        """Returns what the keyboard goes to."""
        return self.buttons["split" if self._has_board else "look"]


def _map_line(section_map: "SectionMap", chosen: str) -> TitleLine:
    sections = len(section_map.sections)
    remark = ngettext("{n} section", "{n} sections", sections).format(n=sections)
    tests = ngettext("{n} test", "{n} tests", len(section_map.tests)).format(n=len(section_map.tests))
    words = _("{sections}, {tests}").format(sections=remark, tests=tests)
    if section_map.id == chosen:
        words = _("{words}. The case is worked with this map").format(words=words)
    return TitleLine(section_map.id, section_map.title, words, "tick" if section_map.id == chosen else "split")
