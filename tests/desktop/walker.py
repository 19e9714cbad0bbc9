"""Walks through a window and tells what a person could not use: no name, too small, cut off, untranslated.

Data of the book is recognised by where it stands: a control whose accessible name is translated may show data as text.
"""

from collections.abc import Iterator

from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractScrollArea,
    QComboBox,
    QLabel,
    QLineEdit,
    QListView,
    QScrollArea,
    QSplitterHandle,
    QTableView,
    QTextEdit,
    QWidget,
)

from kbapp.desktop.reading.why import WhyList
from kbapp.desktop.widgets.note import Note
from kbapp.desktop.widgets.themed import Painted

CONTROLS = (QAbstractButton, QLineEdit, QComboBox, QTextEdit, QAbstractItemView)
MARK = "⟦"


def _ours(widget: QWidget) -> bool:
    return not widget.objectName().startswith("qt_") and type(widget).__name__ != "QTableCornerButton"


def _shown(window: QWidget) -> Iterator[QWidget]:
    for widget in window.findChildren(QWidget):
        if widget.isVisible() and _ours(widget) and not isinstance(widget, QSplitterHandle):
            yield widget


def _name(widget: QWidget) -> str:
    parts = [type(widget).__name__, widget.accessibleName()]
    if isinstance(widget, (QLabel, QAbstractButton, QLineEdit)):
        parts.append(widget.text())
    return " ".join(filter(None, parts))[:90]


def nameless(window: QWidget) -> list[str]:
    """Returns controls without a name for a screen reader."""
    return [
        _name(widget)
        for widget in _shown(window)
        if isinstance(widget, CONTROLS)
        and not widget.accessibleName()
        and not (isinstance(widget, QAbstractButton) and widget.text())
    ]  # fmt: skip


def too_small(window: QWidget, least: int) -> list[str]:
    """Returns controls, and lines of lists one can act on, that are smaller than a target."""
    small = [
        f"{_name(widget)} {widget.width()}x{widget.height()}"
        for widget in _shown(window)
        if isinstance(widget, (QAbstractButton, QLineEdit, QComboBox, QTextEdit))
        and not isinstance(widget, _reading_text())
        and min(widget.width(), widget.height()) < least
    ]
    for view in window.findChildren(QListView):
        if view.isVisible() and _ours(view) and not isinstance(view, WhyList) and view.model().rowCount():
            height = view.visualRect(view.model().index(0, 0)).height()
            if height < least:
                small.append(f"line of {_name(view)}: {height}")
    return small


def _reading_text() -> type[QTextEdit]:
    from kbapp.desktop.widgets.page_text import PageText

    return PageText


def cut_off(window: QWidget) -> list[str]:
    """Returns labels and buttons whose words do not fit and that have no tip with them all, and what lies outside."""
    cut = []
    for widget in _shown(window):
        if isinstance(widget, (QLabel, QAbstractButton)) and not _fits(widget):
            cut.append(f"{_name(widget)}: needs {widget.sizeHint().width()}, has {widget.width()}")
        if isinstance(widget, CONTROLS) and not _inside(widget, window):
            cut.append(f"{_name(widget)}: outside its window")
    return cut


def _fits(widget: QLabel | QAbstractButton) -> bool:
    if isinstance(widget, QLabel) and widget.wordWrap():
        return widget.height() + 1 >= widget.heightForWidth(widget.width())
    if (widget.toolTip() and widget.text() in widget.toolTip()) or isinstance(widget.parentWidget(), QTextEdit):
        return True
    return widget.width() + 1 >= widget.sizeHint().width() and widget.height() + 1 >= min(
        widget.sizeHint().height(), 20
    )


def _inside(widget: QWidget, window: QWidget) -> bool:
    parent = widget.parentWidget()
    while parent is not None and parent is not window:
        if isinstance(parent, (QScrollArea, QAbstractScrollArea)):
            return True  # can be scrolled to
        parent = parent.parentWidget()
    at = QRect(widget.mapTo(window, QPoint(0, 0)), widget.size())
    return window.rect().contains(at)


def _letters(text: str) -> bool:
    return any(char.isalpha() for char in text)


def untranslated(window: QWidget) -> list[str]:
    """Returns texts that did not pass through gettext (run with ``KBAPP_LANG=pseudo``)."""
    found = []
    for widget in _shown(window):
        texts = {"name": widget.accessibleName(), "tip": widget.toolTip()}
        if isinstance(widget, (QLabel, QAbstractButton)) and MARK not in widget.accessibleName():
            texts["text"] = widget.text()
        if isinstance(widget, QLineEdit):
            texts["placeholder"] = widget.placeholderText()
        if isinstance(widget, QComboBox):
            texts.update({f"item {n}": widget.itemText(n) for n in range(widget.count())})
        if isinstance(widget, Note):
            texts["note"] = widget.text()
        if isinstance(widget, QAbstractItemView) and widget.model() is not None:
            texts.update(_first_items(widget))
        if isinstance(widget, Painted) and widget.accessibleDescription():
            texts["description"] = widget.accessibleDescription()
        found += [
            f"{_name(widget)} {where}: {text[:60]}"
            for where, text in texts.items()
            if _letters(text) and MARK not in text
        ]
    if MARK not in window.windowTitle():
        found.append(f"title: {window.windowTitle()}")
    return found


def _first_items(view: QAbstractItemView) -> dict[str, str]:
    model = view.model()
    role = Qt.ItemDataRole.AccessibleTextRole
    rows = min(4, model.rowCount())
    columns = model.columnCount() if isinstance(view, QTableView) else 1
    texts = {(n, c): str(model.index(n, c).data(role) or "") for n in range(rows) for c in range(columns)}
    return {f"item {n},{c}": text for (n, c), text in texts.items() if not _is_key(text)}


def _is_key(text: str) -> bool:
    return (
        any(part in text for part in ("Ctrl+", "Shift+", "F1", "F6", "Esc", "Tab", "Space", "Return", "Del"))
        and " " not in text
    )


def faults(window: QWidget, least: int) -> list[str]:
    """Returns everything a person could not use in the state the window is in."""
    return [*nameless(window), *too_small(window, least), *cut_off(window), *untranslated(window)]
