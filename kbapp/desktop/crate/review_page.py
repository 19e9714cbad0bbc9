"""Every removal in its place, each kept or blanked; the one the list stands on in full below."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from kbapp.desktop.crate.row_list import RowList
from kbapp.desktop.crate.rows import review_rows
from kbapp.desktop.presenter import NotePlace
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.labels import TextLabel
from kbapp.desktop.widgets.note import Note
from kbapp.desktop.widgets.paper import Paper
from kbapp.i18n import _
from kbapp.wording.crate import review_remark

if TYPE_CHECKING:
    from kbapp.app.crate import Removal, Review


class ReviewPage(QWidget):
    """``kept_changed`` is sent when a removal is to be kept, or made after all."""

    kept_changed = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.review: Review | None = None
        self.kept: frozenset[str] = frozenset()
        self._worked_out: frozenset[str] = frozenset()
        self.head = SectionHead(theme, _("What leaves the book"))
        self.empty = NotePlace(theme)
        self.list = RowList(theme, _("Removals"))
        self.whole = TextLabel(theme, "", "body", "ink", wrap=True)
        self.keep_button = Button(theme, _("Keep it"), "plain")
        below = Paper(theme)
        row = QHBoxLayout(below)
        row.setContentsMargins(12, 6, 8, 6)
        row.setSpacing(12)
        row.addWidget(self.whole, 1)
        row.addWidget(self.keep_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.head)
        column.addWidget(self.empty)
        column.addWidget(self.list, 1)
        self.this = SectionHead(theme, _("This removal"))
        column.addWidget(self.this)
        column.addWidget(below)
        self.list.toggled.connect(self._toggle)
        self.list.picked.connect(lambda _row: self._show_whole())
        self.keep_button.clicked.connect(lambda: self._toggle(self.list.currentIndex().row()))

    @property
    def behind(self) -> bool:
        """Whether more was kept or blanked than the review was worked out with."""
        return self.kept != self._worked_out

    def show_review(self, review: "Review") -> None:
        """Shows a review to look through; what is kept of it stays kept."""
        self.kept &= {removal.id for removal in review.removals}
        self._take(review)
        self.list.setCurrentIndex(self.list.lines.index(-1, 0))
        self.list.lines.replace(())
        self._show()
        nothing = _("Nothing personal was found in these cases. They go as they are.")
        self.empty.put(None if review.removals else Note(self._theme, "info", "plain", nothing))

    def show_kept(self, review: "Review") -> bool:
        """Takes a review worked out anew, and returns whether it holds the same cases and removals."""
        before = self.review
        self._take(review)
        self._show()
        return before is not None and _same(before, review)

    def _take(self, review: "Review") -> None:
        self.review = review
        self._worked_out = frozenset(removal.id for removal in review.removals if removal.kept)

    def forget(self) -> None:
        """Forgets the review: the next pack starts anew."""
        self.review, self.kept, self._worked_out = None, frozenset(), frozenset()
        self.list.lines.replace(())

    def _show(self) -> None:
        if self.review is None:
            return
        self.head.set_text(
            _("What leaves the book"),
            review_remark(len(self.review.cases), len(self.review.removals), len(self.kept)),
        )
        self.list.show_rows(review_rows(self.review, self.kept))
        self._show_whole()

    def _current(self) -> "Removal | None":
        row = self.list.current
        removals = self.review.removals if self.review is not None else ()
        return next((one for one in removals if row is not None and one.id == row.key), None)

    def _show_whole(self) -> None:
        removal, row = self._current(), self.list.current
        self.this.setVisible(row is not None)
        self.keep_button.setVisible(removal is not None and not removal.forced)
        if row is None:
            self.whole.setText("")
            return
        self.whole.setText(row.spoken or row.title)
        self.this.set_text(_("This removal") if removal else _("This case"), row.remark)
        if removal is not None:
            self.keep_button.setText(_("Blank it") if removal.id in self.kept else _("Keep it"))
            if removal.forced:
                self.whole.setText(_("{removal}. This one always goes.").format(removal=row.spoken))

    def _toggle(self, place: int) -> None:
        if not 0 <= place < len(self.list.lines.rows):
            return
        row = self.list.lines.rows[place]
        if row.tick is None:
            return
        self.kept ^= {row.key}
        self._show()
        self.kept_changed.emit()


def _same(one: "Review", other: "Review") -> bool:
    return [case.id for case in one.cases] == [case.id for case in other.cases] and [
        removal.id for removal in one.removals
    ] == [removal.id for removal in other.removals]
