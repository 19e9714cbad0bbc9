"""History: every revision of a case, the latest first, and what each one changed, field by field."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSplitter, QWidget

from kbapp.app.views import ChangeSet
from kbapp.desktop.context import Context
from kbapp.desktop.forms.form_page import FormPage
from kbapp.desktop.forms.full_lines import FullLines
from kbapp.desktop.lead_check.changed_fields import ChangedDelegate, ChangedField
from kbapp.desktop.lead_check.retest_page import case_remark
from kbapp.desktop.screens import Screen
from kbapp.desktop.tasks import Latest
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.lines import Lines, LinesModel
from kbapp.desktop.widgets.title_lines import TitleDelegate, TitleLine
from kbapp.i18n import _, ngettext
from kbapp.wording.proof_words import changed_words, field_words, local_words, version_words

if TYPE_CHECKING:
    from kbapp.app.aftercare import Version
    from kbapp.app.session import Session


class HistoryPage(Screen):
    """Takes the id of a case."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, _("History of a case"))
        theme = context.theme
        self._case_id = ""
        self._versions: tuple[Version, ...] = ()
        self._reading = Latest(context.tasks, self)
        back = Button(theme, _("Back"), "plain", "left")
        back.clicked.connect(lambda: self.window().leave())  # type: ignore[attr-defined]
        self.head.add(back)
        self._model = LinesModel[TitleLine](lambda row: f"{row.title}. {row.remark}", self)
        self.versions = Lines(theme, _("Revisions, the latest first"), margin=False, whole=True)
        self.versions.setModel(self._model)
        self.versions.setItemDelegate(TitleDelegate(theme, self.versions))
        self.versions.picked.connect(self._pick)
        self.page = FormPage(theme, _("What it changed"))
        self.page.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.changed_head = SectionHead(theme, _("What it changed"))
        self.changed = FullLines[ChangedField](theme, _("What it changed"), ChangedField.spoken, ChangedDelegate)
        self.page.add(self.changed_head)
        self.page.add(self.changed)
        self.split = QSplitter(Qt.Orientation.Horizontal)
        self.split.setHandleWidth(8)
        self.split.setChildrenCollapsible(False)
        self.split.addWidget(self.versions)
        self.split.addWidget(self.page)
        self.split.setStretchFactor(1, 1)
        self.split.setSizes([400, 700])
        self.body.addWidget(self.split, 1)
        context.book.changed.connect(self._follow)

    def arrive(self, value: object) -> None:
        """Shows a case by its id."""
        if isinstance(value, str) and value:
            self._case_id = value
        self._read()

    def _follow(self, changes: ChangeSet) -> None:
        if self._case_id in changes.cases and self.isVisible():
            self._read()

    def _read(self) -> None:
        wanted = self._case_id
        if not wanted or self.context.book.state != "open":
            return

        def work(session: "Session") -> "tuple[str, tuple[Version, ...]]":
            case = session.case(wanted).case
            return case_remark(case), session.aftercare().history(case.id)

        ready = self.context.book.bound(lambda session, _control: work(session))
        self._reading.ask(ready, self._show, lambda error: self.context.presenter.show(error, self.notes))

    def _show(self, found: "tuple[str, tuple[Version, ...]]") -> None:
        title, self._versions = found
        self.head.set_remark(title)
        self._model.replace([
            TitleLine(str(one.revision), version_words(one), ", ".join(filter(None, (
                local_words(one.saved_at), one.author, _("revision {n}").format(n=one.revision),
            )))) for one in self._versions
        ])  # fmt: skip
        self.versions.pick(0)

    def _pick(self, row: int) -> None:
        version = self._versions[row]
        rows = [
            ChangedField(field_words(change.path), changed_words(change.before), changed_words(change.after))
            for change in version.changes
        ]
        self.changed.show_rows(rows)
        said = ngettext("{n} field", "{n} fields", len(rows)).format(n=len(rows))
        self.changed_head.set_text(
            _("What it changed"), said if rows else _("nothing before it: the case as it was recorded first")
        )

    def first(self) -> QWidget:
        """Returns the list of revisions."""
        return self.versions

    def panes(self) -> tuple[QWidget, ...]:
        """Returns revisions and changes."""
        return (self.versions, self.changed if self.changed.isVisible() else self.page)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lays both one above the other where the window is narrow."""
        super().resizeEvent(event)
        wide = self.width() >= 2 * self.context.theme.look.metrics.pane
        self.split.setOrientation(Qt.Orientation.Horizontal if wide else Qt.Orientation.Vertical)
