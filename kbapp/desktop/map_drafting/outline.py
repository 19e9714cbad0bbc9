"""The outline of a map with what is to be put right below it."""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtWidgets import QAbstractItemView, QListView, QStyleOptionViewItem

from kbapp.app.drafting import PRIOR_WORDS, Checked, Draft, Piece, piece_of
from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.paint.wrapped import wrap
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.theme.tokens import Role
from kbapp.desktop.widgets.lines import Index, LineDelegate, Lines, LinesModel
from kbapp.desktop.widgets.title_lines import TitleLine
from kbapp.i18n import _, ngettext
from kbapp.wording.drafting import draft_fault, prior_words


@dataclass(frozen=True, slots=True)
class ToDo:
    """One thing to put right, or (not ``wrong``) a remark; ``piece`` is where."""

    words: str
    piece: Piece
    wrong: bool


def key_of(piece: Piece) -> str:
    """Returns the key of a piece's line."""
    return f"{piece.kind}.{piece.place}"


def piece_of_key(key: str) -> Piece:
    """Returns the piece a line's key stands for."""
    kind, _dot, place = key.partition(".")
    if kind == "section":
        return Piece("section", int(place))
    return Piece("test", int(place)) if kind == "test" else Piece("map")


def outline_lines(draft: Draft) -> tuple[TitleLine, ...]:
    """Returns the map, its sections and its tests, a line each."""
    rows = [TitleLine("map.0", draft.text("title") or _("No title yet"), _("The map"), "map")]
    for n, section in enumerate(draft.items("sections")):
        often = prior_words(section.get("prior"), PRIOR_WORDS)
        parts = len(section.get("parts") or ())
        words = ngettext("Section · {often} · {n} part", "Section · {often} · {n} parts", parts)
        rows.append(
            TitleLine(
                f"section.{n}", section.get("name") or _("No name yet"), words.format(often=often, n=parts), "part"
            )
        )
    for n, test in enumerate(draft.items("tests")):
        pointed = [
            s for o in test.get("outcomes") or () for s in (*(o.get("points_to") or ()), *(o.get("likelihood") or ()))
        ]
        ids = [section for section in dict.fromkeys(pointed) if section in draft.names("section")]
        words = _("Test · about {sections}").format(sections=", ".join(draft.section_names(ids)) or _("nothing yet"))
        rows.append(TitleLine(f"test.{n}", test.get("name") or _("No name yet"), words, "test"))
    return tuple(rows)


def todo_rows(draft: Draft, checked: Checked) -> tuple[ToDo, ...]:
    """Returns what is to be put right, then what the map cannot do."""
    names = {
        "sections": [str(s.get("name", "")) for s in draft.items("sections")],
        "tests": [str(t.get("name", "")) for t in draft.items("tests")],
    }
    return tuple(
        ToDo(draft_fault(fault, names, draft.names("section")), piece_of(fault.path), wrong)
        for wrong, faults in ((True, checked.faults), (False, checked.remarks))
        for fault in faults
    )


class _Delegate(LineDelegate[ToDo]):
    margin = False

    def _lines(self, row: ToDo, width: float) -> tuple[str, ...]:
        look = self.theme.look
        return wrap(look, row.words, look.font("body"), width - self._left() - look.metrics.pad)

    def _left(self) -> float:
        metrics = self.theme.look.metrics
        return metrics.pad + metrics.icon + 10

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Returns the height of a row: its words, and at least a target."""
        view = self.parent()
        width = view.viewport().width() if isinstance(view, QAbstractItemView) else 400
        row: ToDo = index.data(Qt.ItemDataRole.UserRole)
        metrics = self.theme.look.metrics
        return QSize(100, max(metrics.row, len(self._lines(row, width)) * metrics.pitch + 6))

    def line(self, ink: Ink, row: ToDo, rect: QRectF) -> None:
        """Writes a row."""
        look, role = ink.look, _role(row)
        ink.icon(
            rect.left() + look.metrics.pad,
            rect.top() + look.metrics.pitch / 2 + 3,
            "guard" if row.wrong else "info",
            role,
        )
        for n, words in enumerate(self._lines(row, rect.width())):
            top = rect.top() + 3 + n * look.metrics.pitch
            ink.text(rect.left() + self._left(), top, words, look.font("body"), "ink", height=look.metrics.pitch)


def _role(row: ToDo) -> Role:
    return "danger" if row.wrong else "info"


class ToDoList(Lines):
    """What is to be put right; Enter or a click on a line goes to its piece (``opened``)."""

    def __init__(self, theme: Theme) -> None:
        self.lines = LinesModel[ToDo](lambda row: row.words)
        super().__init__(theme, _("To put right"), margin=False)
        self.lines.setParent(self)
        self.setModel(self.lines)
        self.setItemDelegate(_Delegate(theme, self))
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.clicked.connect(lambda index: self.opened.emit(index.row()))

    def show_rows(self, rows: Sequence[ToDo]) -> None:
        """Shows other lines."""
        if tuple(rows) != self.lines.rows:
            self.blockSignals(True)
            self.lines.replace(rows)
            self.blockSignals(False)
