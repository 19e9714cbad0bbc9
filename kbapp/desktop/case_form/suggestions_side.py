"""What the words of the case could become, one by one: taken over with Enter, left out with Delete."""

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from kbapp.app.suggestions import Suggestion
from kbapp.desktop.forms.chips_field import FlowBox
from kbapp.desktop.forms.field_grid import Inset
from kbapp.desktop.forms.full_lines import title_list
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.title_lines import TitleLine
from kbapp.i18n import _, ngettext
from kbapp.wording.suggestion_words import passage_words, suggestion_words

_ICONS = {
    "symptom": "concern", "code": "info", "vehicle": "bench", "part": "part", "correction_part": "part",
    "reading": "test", "vin": "guard",
}  # fmt: skip


class SuggestionsSide(QWidget):
    """``accepted`` with a suggestion that is to be taken over."""

    accepted = Signal(object)

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._all: tuple[Suggestion, ...] = ()
        self._left_out: set[tuple[str, ...]] = set()
        self.head = SectionHead(theme, _("Read out of the words"))
        self.list = title_list(theme, _("Suggestions"))
        self.list.opened.connect(lambda _row: self.take())
        self.list.delete_wanted.connect(self.leave_out)
        self.take_button = Button(theme, _("Take it over"), "plain", "tick")
        self.leave_button = Button(theme, _("Leave it out"), "quiet", "x")
        self.take_button.clicked.connect(self.take)
        self.leave_button.clicked.connect(self.leave_out)
        box = FlowBox()
        box.put((self.take_button, self.leave_button))
        self._bar = Inset(theme, box)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for widget in (self.head, self.list, self._bar):
            column.addWidget(widget)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        self.setAccessibleName(_("Suggestions"))
        self.show_suggestions(())

    @property
    def shown(self) -> tuple[Suggestion, ...]:
        """The suggestions that stand."""
        return tuple(suggestion for suggestion in self._all if suggestion.key not in self._left_out)

    def forget(self) -> None:
        """Starts anew with another case."""
        self._left_out.clear()
        self.show_suggestions(())

    def show_suggestions(self, suggestions: Sequence[Suggestion]) -> None:
        """Shows what there is to take over."""
        self._all = tuple(suggestions)
        self._fill()

    def _fill(self) -> None:
        rows = [TitleLine("\n".join(s.key), suggestion_words(s), passage_words(s), _ICONS[s.kind]) for s in self.shown]
        self.list.show_rows(rows)
        if rows and not self.list.currentIndex().isValid():
            self.list.pick(0)
        words = ngettext("{n} suggestion; Enter takes it over", "{n} suggestions; Enter takes one over", len(rows))
        remark = words.format(n=len(rows)) if rows else _("nothing to take over")
        self.head.set_text(_("Read out of the words"), remark)
        self._bar.setVisible(bool(rows))

    def _current(self) -> Suggestion | None:
        at, shown = self.list.currentIndex().row(), self.shown
        return shown[at] if 0 <= at < len(shown) else None

    def take(self) -> None:
        """Takes the current one over."""
        suggestion = self._current()
        if suggestion is not None:
            self.accepted.emit(suggestion)

    def leave_out(self) -> None:
        """Leaves the current one out for as long as the case is open here."""
        suggestion = self._current()
        if suggestion is not None:
            self._left_out.add(suggestion.key)
            self._fill()
