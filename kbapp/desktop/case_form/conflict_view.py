"""Two versions of the same fields: both in full, one picked for each, then recorded; nothing is lost on the way."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp.desktop.forms.chips_field import FlowBox
from kbapp.desktop.forms.field_grid import FieldGrid, Inset
from kbapp.desktop.forms.form_page import FormPage
from kbapp.desktop.forms.labelled import RING, Labelled
from kbapp.desktop.presenter import NotePlace
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.choice import Choice
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.labels import TextLabel
from kbapp.desktop.widgets.note import Note
from kbapp.i18n import _, ngettext
from kbapp.wording.form_words import field_words, value_words

if TYPE_CHECKING:
    from kbapp.app.conflict import Dispute, Side
    from kbapp.records.case import Case
    from kbapp.records.merge import Conflict


class ConflictView(FormPage):
    """``settled`` with the case that was put together; ``put_off`` to go on without recording."""

    settled = Signal(object)
    put_off = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme, _("Changed by two"))
        self._theme = theme
        self.dispute: Dispute | None = None
        self.picks: dict[str, Side] = {}
        self.choices: dict[str, Choice] = {}
        self._parts: list[QWidget] = []
        self.place = NotePlace(theme)
        self.add(self.place)
        self.save_button = Button(theme, _("Record what is picked"), "primary", "tick")
        self.later_button = Button(theme, _("Back to the form, record nothing"), "quiet")
        self.save_button.clicked.connect(self.save)
        self.later_button.clicked.connect(self.put_off)
        box = FlowBox()
        box.put((self.save_button, self.later_button))
        self._foot = Inset(theme, box)
        self.add(self._foot)

    def show_dispute(self, dispute: "Dispute") -> None:
        """Shows both versions; nothing is picked yet."""
        self.dispute, self.picks, self.choices = dispute, {}, {}
        for part in self._parts:
            self.column.removeWidget(part)
            part.hide()
            part.deleteLater()
        count = len(dispute.conflicts)
        fact = ngettext(
            "Someone else changed {n} field that you changed",
            "Someone else changed {n} fields that you changed",
            count,
        ).format(n=count)
        hint = _(
            "Pick what holds, field by field. Your words stay here until it is recorded; theirs stay in the history."
        )
        self.place.put(Note(self._theme, "guard", "caution", fact, hint))
        self._parts = [part for conflict in dispute.conflicts for part in self._conflict(dispute.theirs, conflict)]
        for part in self._parts:
            self.column.insertWidget(self.column.indexOf(self._foot), part)
        self._tell()

    def _conflict(self, case: "Case", conflict: "Conflict") -> tuple[QWidget, QWidget]:
        name = field_words(conflict.path, case) if conflict.path else _("The whole case")
        head = SectionHead(self._theme, name)
        choice = Choice(self._theme, name, {"mine": _("Mine holds"), "theirs": _("Theirs holds")})
        choice.chosen.connect(lambda side, path=conflict.path: self._pick(path, side))
        self.choices[conflict.path] = choice
        grid = FieldGrid(
            self._theme,
            [
                self._version(_("Mine"), conflict.mine),
                self._version(_("Theirs"), conflict.theirs),
                self._version(_("Before"), conflict.base),
                Labelled(self._theme, "", choice, wide=True),
            ],
            most=3,
        )
        return head, grid

    def _version(self, side: str, value: object) -> Labelled:
        words = value_words(value)[:4000]
        box = QWidget()
        column = QVBoxLayout(box)
        column.setContentsMargins(RING, 0, RING, RING)
        label = TextLabel(self._theme, words, wrap=True)
        label.setAccessibleName(_("{side}: {words}").format(side=side, words=words))
        column.addWidget(label)
        return Labelled(self._theme, side, box)

    def _pick(self, path: str, side: str) -> None:
        self.picks[path] = "mine" if side == "mine" else "theirs"
        self._tell()

    def _tell(self) -> None:
        left = len(self.dispute.conflicts) - len(self.picks) if self.dispute else 0
        self.save_button.setEnabled(left == 0)
        words = ngettext("{n} field still to pick", "{n} fields still to pick", left).format(n=left)
        self.save_button.setToolTip(words if left else "")

    def save(self) -> None:
        """Puts the picks together and hands the case over; what still contradicts itself comes back."""
        from kbapp.app.conflict import Dispute

        if self.dispute is None:
            return
        result = self.dispute.settled(self.picks)
        if isinstance(result, Dispute):
            self.show_dispute(result)
        elif result.value is not None:
            self.settled.emit(result.value)
        else:
            from kbapp.wording import fault_sentence

            words = " ".join(fault_sentence(fault) for fault in result.faults)
            fact = _("These picks do not go together")
            self.place.put(Note(self._theme, "guard", "danger", fact, words))

    def first(self) -> QWidget:
        """Returns the first choice."""
        choice = next(iter(self.choices.values()), None)
        return choice.buttons["mine"] if choice else self.later_button
