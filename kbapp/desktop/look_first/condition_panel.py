"""Adds a condition: what kind, which value (with suggestions), for a test its outcome. Stays open for the next one."""

from collections.abc import Iterable, Mapping

from PySide6.QtCore import QStringListModel, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QComboBox,
    QCompleter,
    QHBoxLayout,
    QLineEdit,
    QListView,
    QSizePolicy,
    QStyledItemDelegate,
    QWidget,
)

from kbapp.desktop.look_first.conditions import KINDS, Condition, Kind
from kbapp.desktop.look_first.labels import kind_label
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.fields import ValueEdit
from kbapp.desktop.widgets.themed import Themed
from kbapp.i18n import _
from kbapp.records.symptoms import symptoms
from kbapp.records.vocabulary import SYSTEMS
from kbapp.wording.terms import term


class ConditionPanel(QWidget, Themed):
    """A row under the chips: kind, value, outcome, Add, Done."""

    added = Signal(object)
    done = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._suggested: dict[str, tuple[str, ...]] = {"symptom": tuple(item.term for item in symptoms())}
        self._systems = {term("system", system): system for system in SYSTEMS}
        self.kind = QComboBox()
        self.kind.setItemDelegate(QStyledItemDelegate(self.kind))
        self.kind.setAccessibleName(_("Kind of condition"))
        for kind in KINDS:
            if kind != "case":
                self.kind.addItem(kind_label(kind), kind)
        self.value = ValueEdit(theme, _("Value of the condition"))
        self.outcome = ValueEdit(theme, _("Outcome of the test"))
        self.outcome.setPlaceholderText(_("and its outcome"))
        self._words = QStringListModel(self)
        self._complete()
        self.add_button = Button(theme, _("Add"), "primary")
        self.close_button = Button(theme, _("Done"), "quiet")
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(8)
        for widget, stretch in (
            (self.kind, 0), (self.value, 3), (self.outcome, 2), (self.add_button, 0), (self.close_button, 0),
        ):  # fmt: skip
            row.addWidget(widget, stretch)
        self.kind.currentIndexChanged.connect(self._kind_changed)
        self.value.returnPressed.connect(self._enter)
        self.outcome.returnPressed.connect(self._add)
        self.add_button.clicked.connect(self._add)
        self.close_button.clicked.connect(self.done)
        self.setAccessibleName(_("Add a condition"))
        self.kind.setCurrentIndex(self.kind.findData("family"))
        self._kind_changed()
        self.bind(theme)

    def relook(self) -> None:
        """Takes over fonts."""
        self.kind.setFont(self.look.font("body"))
        self.kind.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def _complete(self) -> None:
        completer = QCompleter(self._words, self)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        completer.setMaxVisibleItems(6)
        popup = QListView()
        completer.setPopup(popup)
        popup.setProperty("popup", True)
        popup.setItemDelegate(QStyledItemDelegate(popup))
        popup.setAccessibleName(_("Suggestions"))
        self.value.setCompleter(completer)

    @property
    def _kind(self) -> Kind:
        kind: Kind = self.kind.currentData()
        return kind

    def suggest(self, values: Mapping[str, Iterable[str]]) -> None:
        """Takes over values of the book to suggest, by kind."""
        for kind, words in values.items():
            known = dict.fromkeys((*self._suggested.get(kind, ()), *words))
            self._suggested[kind] = tuple(known)
        self._kind_changed()

    def _kind_changed(self) -> None:
        kind = self._kind
        self.outcome.setVisible(kind == "test")
        words = tuple(self._systems) if kind == "system" else self._suggested.get(kind, ())
        self._words.setStringList(sorted(words, key=str.casefold))
        hints: dict[Kind, str] = {
            "symptom": _("such as overheats in traffic"), "code": _("such as P0217"), "part": _("such as thermostat"),
            "test": _("which test"), "system": _("begin to write and choose"),
        }  # fmt: skip
        self.value.setPlaceholderText(hints.get(kind, ""))

    def _enter(self) -> None:
        if self._kind == "test" and not self.outcome.text().strip():
            self.outcome.setFocus()
        else:
            self._add()

    def _add(self) -> None:
        value, outcome = self.value.text().strip(), self.outcome.text().strip()
        kind = self._kind
        if kind == "system":
            value = self._systems.get(value, next((s for s in SYSTEMS if s == value), ""))
        if kind == "code":
            value = value.upper()
        missing = not value or (kind == "test" and not outcome)
        field: QLineEdit = self.value if not value else self.outcome
        if missing:
            field.setFocus()
            return
        self.added.emit(Condition(kind, value, outcome if kind == "test" else ""))
        self.value.clear()
        self.outcome.clear()
        self.value.setFocus()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leaves with Escape."""
        if event.key() == Qt.Key.Key_Escape:
            self.done.emit()
        else:
            super().keyPressEvent(event)
