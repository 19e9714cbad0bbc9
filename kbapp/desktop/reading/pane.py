"""The reading pane: head, cautions, why it matched, passages, timeline, lesson and notes of one case."""

from PySide6.QtCore import Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp.app.views import CaseView
from kbapp.desktop.reading.case_head import CaseHead
from kbapp.desktop.reading.case_text import case_text
from kbapp.desktop.reading.cautions_band import CautionsBand
from kbapp.desktop.reading.content import Content
from kbapp.desktop.reading.page_scroll import PageScroll
from kbapp.desktop.reading.passages import passage_html
from kbapp.desktop.reading.timeline import timeline_rows
from kbapp.desktop.reading.timeline_list import TimelineList
from kbapp.desktop.reading.why import WhyList
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.foot import FlowFoot
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.page_text import PageText
from kbapp.i18n import _, ngettext
from kbapp.lookup.question import Hit


class ReadingPane(QWidget):
    """Shows one case. ``back_wanted`` is sent when it stands alone and the list is to come back."""

    back_wanted = Signal()
    compare_wanted = Signal(object)
    """The case (a CaseView) is to be laid beside another."""

    open_wanted = Signal(str)
    """The case of this id is to be opened on the board."""

    edit_wanted = Signal(str)
    """The case of this id is to be opened as a form."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._view: CaseView | None = None
        self.page = PageScroll(theme, _("The case"))
        self.case_head = CaseHead(theme)
        self.cautions = CautionsBand(theme)
        self.why_head = SectionHead(theme, _("Why it matched"))
        self.why = WhyList(theme)
        self.passages_head = SectionHead(theme, _("Also matched"))
        self.passages = PageText(theme, _("Also matched"))
        self.timeline_head = SectionHead(theme, _("Timeline"))
        self.timeline = TimelineList(theme)
        self.lesson_head = SectionHead(theme, _("Lesson"))
        self.lesson = PageText(theme, _("Lesson"))
        self.notes_head = SectionHead(theme, _("Notes"))
        self.notes = PageText(theme, _("Notes"))
        for widget in (
            self.case_head, self.why_head, self.why, self.cautions, self.timeline_head, self.timeline,
            self.passages_head, self.passages, self.lesson_head, self.lesson, self.notes_head, self.notes,
        ):  # fmt: skip
            self.page.add(widget)
        self.page.column.addStretch()
        self.open_button = Button(theme, _("Open"), "plain", "split")
        self.open_button.setAccessibleName(_("Open the case on the Split Board"))
        self.open_button.setToolTip(_("Open the case on the Split Board"))
        self.open_button.clicked.connect(self._open)
        self.back_button = Button(theme, _("Back to the list"), "plain", "left")
        self.back_button.clicked.connect(self.back_wanted)
        self.edit_button = Button(theme, _("Edit"), "plain", "note")
        self.edit_button.setAccessibleName(_("Edit the case"))
        self.edit_button.setToolTip(_("Edit the case"))
        self.edit_button.clicked.connect(self._edit)
        self.copy_button = Button(theme, _("Copy"), "plain", "copy")
        self.copy_button.setAccessibleName(_("Copy the case"))
        self.copy_button.setToolTip(_("Copy the case"))
        self.copy_button.clicked.connect(self.copy)
        self.compare_button = Button(theme, _("Compare"), "plain", "compare")
        self.compare_button.clicked.connect(self.compare)
        foot = FlowFoot(theme)
        foot.add(self.back_button, self.open_button, self.edit_button, self.copy_button, self.compare_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.page, 1)
        column.addWidget(foot)
        self.set_alone(alone=False)
        self.setAccessibleName(_("Reading pane"))
        self.clear()

    @property
    def view(self) -> CaseView | None:
        """The case that is shown."""
        return self._view

    def _edit(self) -> None:
        if self._view is not None:
            self.edit_wanted.emit(self._view.case.id)

    def clear(self) -> None:
        """Shows nothing."""
        self._view = None
        self.page.paper.hide()
        self.open_button.setEnabled(False)
        self.edit_button.setEnabled(False)
        self.copy_button.setEnabled(False)
        self.compare_button.setEnabled(False)

    def show_case(self, content: Content, hit: Hit) -> None:
        """Shows a case and why it matched."""
        view = content.view
        another = self._view is None or self._view.case.id != view.case.id
        self._view = view
        case = view.case
        self.page.paper.show()
        self.open_button.setEnabled(True)
        self.edit_button.setEnabled(True)
        self.copy_button.setEnabled(True)
        self.compare_button.setEnabled(True)
        self.case_head.show_case(view, hit.passages)
        if another:
            self.cautions.show_system(case.concern.system)
        self._show_why(hit)
        rows = timeline_rows(case)
        self.timeline_head.set_text(_("Timeline"), ngettext("{n} line", "{n} lines", len(rows)).format(n=len(rows)))
        self.timeline.show_rows(rows)
        self.timeline_head.setVisible(bool(rows))
        self.timeline.setVisible(bool(rows))
        self._show_text(self.lesson_head, self.lesson, content.lesson)
        self._show_text(self.notes_head, self.notes, content.notes)
        if another:
            self.page.verticalScrollBar().setValue(0)

    @staticmethod
    def _show_text(head: SectionHead, page: PageText, html: str) -> None:
        page.show_html(html)
        head.setVisible(bool(html))
        page.setVisible(bool(html))

    def _show_why(self, hit: Hit) -> None:
        self.why_head.set_text(_("Why it matched"), _("score {score}").format(score=f"{hit.score:.2f}"))
        self.why.show_hit(hit)
        passages = tuple(p for p in hit.passages if p.spans and p.field not in ("concern", "cause"))
        self.passages.show_html(passage_html(passages))
        self.why_head.setVisible(bool(hit.reasons))
        self.why.setVisible(bool(hit.reasons))
        self.passages_head.setVisible(bool(passages))
        self.passages.setVisible(bool(passages))

    def _open(self) -> None:
        if self._view is not None:
            self.open_wanted.emit(self._view.case.id)

    def copy(self) -> None:
        """Copies the case as text."""
        if self._view is not None:
            QGuiApplication.clipboard().setText(case_text(self._view))

    def compare(self) -> None:
        """Asks for the case to be laid beside another."""
        if self._view is not None:
            self.compare_wanted.emit(self._view)

    def set_alone(self, *, alone: bool) -> None:
        """Shows or hides the way back to the list."""
        self.back_button.setVisible(alone)

    def first(self) -> QWidget:
        """Returns what the keyboard goes to."""
        return self.timeline if self.timeline.isVisible() else self.page
