"""The editor: outline and faults at the left, the fields of one piece at the right."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QSplitter, QVBoxLayout, QWidget

from kbapp.app.drafting import Checked, Draft, Kind, Piece
from kbapp.desktop.forms.chips_field import FlowBox
from kbapp.desktop.forms.field_grid import Inset
from kbapp.desktop.forms.form_page import FormPage
from kbapp.desktop.map_drafting.forms import Vocabulary, first_field, page_for
from kbapp.desktop.map_drafting.outline import ToDoList, key_of, outline_lines, piece_of_key, todo_rows
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.title_list import TitleList
from kbapp.i18n import _, ngettext


class Editor(QWidget):
    """Edits a draft. ``changed`` is sent after every step."""

    changed = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.draft: Draft | None = None
        self.words = Vocabulary()
        self.piece = Piece("map")
        self.checked = Checked((), (), None)
        self.page: FormPage | None = None
        self.outline = TitleList(theme, _("Outline of the map"))
        self.outline.picked.connect(lambda row: self.open_piece(piece_of_key(self.outline.key_of(row))))
        self.outline.opened.connect(lambda _row: self.enter())
        self.section_button = Button(theme, _("Section"), "plain", "plus")
        self.section_button.setAccessibleName(_("Add a section"))
        self.test_button = Button(theme, _("Test"), "plain", "plus")
        self.test_button.setAccessibleName(_("Add a test"))
        self.up_button = Button(theme, _("Up"), "quiet")
        self.down_button = Button(theme, _("Down"), "quiet")
        self.undo_button = Button(theme, _("Undo"), "quiet", "undo")
        self.remove_button = Button(theme, _("Take out"), "danger")
        self.todo_head = SectionHead(theme, _("To put right"))
        self.todo = ToDoList(theme)
        self.todo.opened.connect(self._go_to)
        self._lay_out()
        self._connect()

    def _lay_out(self) -> None:
        theme = self._theme
        steps = FlowBox()
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.outline, 3)
        column.addWidget(Inset(theme, steps))
        steps.put(
            [
                self.section_button,
                self.test_button,
                self.up_button,
                self.down_button,
                self.undo_button,
                self.remove_button,
            ]
        )
        column.addWidget(self.todo_head)
        column.addWidget(self.todo, 2)
        self._place = QVBoxLayout()
        right = QWidget()
        right.setLayout(self._place)
        self._place.setContentsMargins(0, 0, 0, 0)
        self.split = QSplitter(Qt.Orientation.Horizontal)
        self.split.setHandleWidth(8)
        self.split.setChildrenCollapsible(False)
        self.split.addWidget(left)
        self.split.addWidget(right)
        self.split.setSizes([430, 650])
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.split)

    def _connect(self) -> None:
        self.section_button.clicked.connect(lambda: self.add("section"))
        self.test_button.clicked.connect(lambda: self.add("test"))
        self.up_button.clicked.connect(lambda: self.shift(-1))
        self.down_button.clicked.connect(lambda: self.shift(1))
        self.undo_button.clicked.connect(self.undo)
        self.remove_button.clicked.connect(self.remove)

    # -- showing

    def show_draft(self, draft: Draft, words: Vocabulary) -> None:
        """Takes a draft in hand."""
        self.draft, self.words = draft, words
        self.open_piece(Piece("map"))
        self.refresh()

    def open_piece(self, piece: Piece) -> None:
        """Shows the fields of a piece."""
        draft = self.draft
        if draft is None:
            return
        exists = piece.kind == "map" or draft.get(*piece.path) is not None
        self.piece = piece if exists else Piece("map")
        page = page_for(self._theme, draft, self.piece, self.words, self.refresh, self.rebuild)
        if self.page is not None:
            self._place.removeWidget(self.page)
            self.page.hide()
            self.page.deleteLater()
        self.page = page
        self._place.addWidget(page)
        self.outline.show_rows(outline_lines(draft), key_of(self.piece))
        inner = self.piece.kind != "map"
        for button in (self.up_button, self.down_button, self.remove_button):
            button.setEnabled(inner)

    def rebuild(self) -> None:
        """Shows the fields of the same piece anew."""
        self.open_piece(self.piece)
        self.refresh()

    def refresh(self) -> None:
        """Checks the draft and shows what is to be put right."""
        draft = self.draft
        if draft is None:
            return
        self.checked = draft.check()
        self.undo_button.setEnabled(draft.can_undo)
        rows = todo_rows(draft, self.checked)
        self.todo.show_rows(rows)
        wrong = len(self.checked.faults)
        if wrong:
            remark = ngettext("{n} thing before it can be saved", "{n} things before it can be saved", wrong).format(
                n=wrong
            )
        else:
            remark = _("nothing; it can be saved")
        self.todo_head.set_text(_("To put right"), remark)
        self.outline.show_rows(outline_lines(draft), key_of(self.piece))
        self.changed.emit()

    def enter(self) -> None:
        """Goes to the first field of the piece."""
        if self.page is not None:
            first_field(self.page).setFocus()

    def _go_to(self, row: int) -> None:
        if 0 <= row < len(self.todo.lines.rows):
            self.open_piece(self.todo.lines.rows[row].piece)
            self.enter()

    # -- steps

    def add(self, kind: Kind) -> None:
        """Adds a section or a test and opens it."""
        if self.draft is not None:
            n = len(self.draft.items("sections" if kind == "section" else "tests")) + 1
            name = _("Section {n}").format(n=n) if kind == "section" else _("Test {n}").format(n=n)
            self.open_piece(self.draft.add(kind, name))
            self.refresh()
            self.enter()

    def shift(self, by: int) -> None:
        """Moves the piece up or down."""
        if self.draft is not None and self.piece.kind != "map":
            self.open_piece(self.draft.move(self.piece, by))
            self.refresh()

    def remove(self) -> None:
        """Takes the piece out; undo brings it back."""
        if self.draft is not None and self.piece.kind != "map":
            self.draft.remove(self.piece)
            self.open_piece(Piece(self.piece.kind, max(0, self.piece.place - 1)))
            self.refresh()
            self.outline.setFocus()

    def undo(self) -> bool:
        """Takes the last step back."""
        if self.draft is not None and self.draft.undo():
            self.rebuild()
        return self.draft is not None

    def redo(self) -> bool:
        """Does the undone step again."""
        if self.draft is not None and self.draft.redo():
            self.rebuild()
        return self.draft is not None
