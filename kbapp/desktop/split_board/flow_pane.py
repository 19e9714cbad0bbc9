"""The pane of the section flow; without a map it proposes those that fit the concern."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp.desktop.presenter import NotePlace
from kbapp.desktop.split_board.flow_gates import Gate
from kbapp.desktop.split_board.flow_view import FlowView
from kbapp.desktop.split_board.rows import SectionRow, faces
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.note import Note
from kbapp.i18n import _

if TYPE_CHECKING:
    from kbapp.app.board import BoardView

MOST_PROPOSED = 3


class FlowPane(QWidget):
    """``map_wanted`` is sent with a map to work with, ``all_wanted`` to choose among all."""

    map_wanted = Signal(object)
    all_wanted = Signal()
    pressed = Signal(str)

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._proposed: tuple[str, ...] | None = None
        self.head = SectionHead(theme, _("Section flow"), _("gates carry the line of the test made there"))
        self.notes = NotePlace(theme)
        self.flow = FlowView(theme)
        self.flow.pressed.connect(self.pressed)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.head)
        column.addWidget(self.notes)
        column.addWidget(self.flow, 1)

    def show_view(self, view: "BoardView", *, upright: bool) -> None:
        """Shows the map of a case, or what could be chosen."""
        section_map = view.section_map
        remark = _("gates carry the line of the test made there") if section_map is not None else ""
        self.head.set_text(_("Section flow"), remark)
        self.flow.show_map(section_map, upright=upright)
        proposed = None if section_map is not None else tuple(found.id for found in view.fitting[:MOST_PROPOSED])
        if proposed != self._proposed:
            self._proposed = proposed
            self.notes.put(None if section_map is not None else self._propose(view))

    def _propose(self, view: "BoardView") -> Note:
        buttons = []
        for n, section_map in enumerate(view.fitting[:MOST_PROPOSED]):
            button = Button(self._theme, section_map.title, "primary" if n == 0 else "plain", "map")
            button.clicked.connect(lambda _on=False, found=section_map: self.map_wanted.emit(found))
            buttons.append(button)
        other = Button(self._theme, _("Another map"), "quiet")
        other.clicked.connect(self.all_wanted)
        fact = _("This case is worked without a section map")
        hint = _("Everything can be recorded all the same. With a map the board says what is still possible.")
        if view.case.map is not None:
            fact = _("The map of this case is not here: {map}").format(map=view.case.map.id)
        return Note(self._theme, "map", "plain", fact, hint, [*buttons, other])

    def show_picture(self, rows: tuple[SectionRow, ...], gates: tuple[Gate, ...]) -> None:
        """Shows shares, states and gates."""
        self.flow.page.show_picture(faces(rows), gates)
