"""Two cases side by side, with what they share and which tests came out differently above them."""

from typing import TYPE_CHECKING, TypeAlias

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSplitter, QWidget

from kbapp.app.views import ChangeSet
from kbapp.desktop.context import Context
from kbapp.desktop.reading.content import Content, content_of
from kbapp.desktop.reading.pane import ReadingPane
from kbapp.desktop.screens import Screen
from kbapp.desktop.tasks import Latest
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.note import Note
from kbapp.i18n import _
from kbapp.lookup.question import Hit
from kbapp.wording.comparing import differ_words, same_words

if TYPE_CHECKING:
    from kbapp.app.comparing import Comparison
    from kbapp.app.session import Session

Found: TypeAlias = "tuple[Content, Content, Comparison]"


class Compare(Screen):
    """Takes the ids of two cases."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, _("Two cases side by side"))
        theme = context.theme
        back = Button(theme, _("Back"), "plain", "left")
        back.clicked.connect(lambda: self.window().leave())  # type: ignore[attr-defined]
        self.head.add(back)
        self._cases: tuple[str, str] | None = None
        self._reading = Latest(context.tasks, self)
        self.left, self.right = ReadingPane(theme), ReadingPane(theme)
        self.left.setAccessibleName(_("First case"))
        self.right.setAccessibleName(_("Second case"))
        self.split = QSplitter(Qt.Orientation.Horizontal)
        self.split.setHandleWidth(8)
        self.split.setChildrenCollapsible(False)
        for pane in (self.left, self.right):
            pane.compare_button.hide()
            pane.edit_wanted.connect(lambda case_id: context.go("case", case_id))
            self.split.addWidget(pane)
        self.split.setSizes([500, 500])
        self.body.addWidget(self.split, 1)
        context.book.changed.connect(self._changed)

    def arrive(self, value: object) -> None:
        """Shows two cases by their ids."""
        if isinstance(value, tuple) and len(value) == 2:
            self._cases = (str(value[0]), str(value[1]))
        self._read()

    def _changed(self, changes: ChangeSet) -> None:
        if self._cases is not None and set(self._cases) & set(changes.cases):
            self._read()

    def _read(self) -> None:
        if self._cases is None or self.context.book.state != "open":
            return
        one, other = self._cases

        def work(session: "Session") -> Found:
            from kbapp.app.comparing import compare

            views = session.case(one), session.case(other)
            return content_of(views[0]), content_of(views[1]), compare(views[0].case, views[1].case)

        ready = self.context.book.bound(lambda session, _control: work(session))
        self._reading.ask(ready, self._show, lambda error: self.context.presenter.show(error, self.notes))

    def _show(self, found: Found) -> None:
        left, right, comparison = found
        for pane, content in ((self.left, left), (self.right, right)):
            case = content.view.case
            pane.show_case(
                content,
                Hit(case.id, case.number, 0.0, (), case.state, case.concern.text, "", "", content.view.signed_here),
            )
        self.notes.put(Note(self.context.theme, "compare", "plain", same_words(comparison), differ_words(comparison)))

    def first(self) -> QWidget:
        """Returns the first case."""
        return self.left.page

    def panes(self) -> tuple[QWidget, ...]:
        """Returns both cases."""
        return (self.left.page, self.right.page)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lays the cases one above the other where the window is narrow."""
        super().resizeEvent(event)
        wide = self.width() >= 2 * self.context.theme.look.metrics.pane
        self.split.setOrientation(Qt.Orientation.Horizontal if wide else Qt.Orientation.Vertical)
