"""The pane beside the Bench: the case that is picked, what is still possible, the next test, its timeline."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, QSize, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kbapp.app.views import CaseView
from kbapp.desktop.forms.full_lines import FullLines
from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.paint.marks import draw_pattern, draw_state
from kbapp.desktop.reading.case_head import CaseHead
from kbapp.desktop.reading.page_scroll import PageScroll
from kbapp.desktop.reading.timeline import timeline_rows
from kbapp.desktop.reading.timeline_list import TimelineList
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.theme.tokens import SectionState
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.foot import Foot
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.labels import TextLabel
from kbapp.desktop.widgets.lines import LineDelegate
from kbapp.i18n import _
from kbapp.wording.board import remarks_of, short_percent
from kbapp.wording.map_names import MapNames
from kbapp.wording.terms import term

if TYPE_CHECKING:
    from kbapp.app.next_step import NextStep

SHOWN = 5
TICKS = (0.05, 0.70)


@dataclass(frozen=True, slots=True)
class ShareRow:
    """A section, its share and its state."""

    name: str
    share: float
    state: SectionState

    def spoken(self) -> str:
        """Returns the line as it is read aloud."""
        return f"{self.name}, {term('section_state', self.state)}, {short_percent(self.share)}"


class ShareDelegate(LineDelegate[ShareRow]):
    """Writes a section with its share on the common axis."""

    margin = False

    def height(self, row: ShareRow) -> int:
        """Returns the height of a target."""
        return self.theme.look.metrics.row

    def line(self, ink: Ink, row: ShareRow, rect: QRectF) -> None:
        """Writes a row."""
        look, metrics = ink.look, ink.look.metrics
        strip = round(metrics.icon * 0.66)
        left, right = rect.left() + metrics.pad + 2 + strip + 10, rect.right() - metrics.pad
        draw_pattern(ink, QRectF(int(rect.left() + metrics.pad + 2), int(rect.top() + 8), strip, rect.height() - 17),
                     row.state)  # fmt: skip
        figures = look.font("body", 600, figures=True)
        number = ink.width("100 %", figures) + 8
        names = (right - left - number) * 0.6
        ink.text(left, rect.top() + 2, row.name, look.font("body", 500), height=rect.height() * 0.48, room=names - 8)
        draw_state(ink, left, rect.top() + rect.height() * 0.72, row.state)
        axis = QRectF(left + names, rect.center().y() - strip / 2, right - left - names - number, strip)
        if axis.width() > 24:
            self._bar(ink, axis, row)
        ink.text(right, rect.top(), short_percent(row.share), figures, align="right", height=rect.height())

    @staticmethod
    def _bar(ink: Ink, axis: QRectF, row: ShareRow) -> None:
        ink.across(axis.left(), axis.right(), axis.bottom(), "rule_strong")
        for tick in TICKS:
            ink.fill(axis.left() + axis.width() * tick, axis.bottom() - 4, 1, 8, "rule_strong")
        draw_pattern(ink, QRectF(int(axis.left()), axis.top(), int(max(4.0, axis.width() * row.share)), axis.height()),
                     row.state)  # fmt: skip


class PadLabel(TextLabel):
    """Words with the page's margins beside them."""

    def relook(self) -> None:
        """Takes over font and margins."""
        super().relook()
        pad = self.look.metrics.pad
        self.setContentsMargins(pad + 2, pad // 2, pad, pad // 2)
        self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Grows with the words at the new width."""
        super().resizeEvent(event)
        self._fit()

    def say(self, text: str) -> None:
        """Shows other words."""
        self.setText(text)
        self.setVisible(bool(text))
        self._fit()

    def _fit(self) -> None:
        self.setMinimumHeight(max(0, self.heightForWidth(self.width())) if self.width() > 40 else 0)

    def minimumSizeHint(self) -> QSize:
        """Returns a width that never pushes the pane wider."""
        return QSize(60, super().minimumSizeHint().height())


class ThisLine(QWidget):
    """``open_wanted`` is sent when the case is to be opened."""

    open_wanted = Signal()

    def __init__(self, theme: Theme, open_words: str) -> None:
        super().__init__()
        self.page = PageScroll(theme, _("The case that is picked"))
        self.case_head = CaseHead(theme)
        self.possible_head = SectionHead(theme, _("Still possible"))
        self.possible = FullLines[ShareRow](theme, _("Still possible"), ShareRow.spoken, ShareDelegate)
        self.test_head = SectionHead(theme, _("Next test"))
        self.test_name = PadLabel(theme, "", weight=600, wrap=True)
        self.test_words = PadLabel(theme, "", "small", "ink2", wrap=True)
        self.timeline_head = SectionHead(theme, _("Timeline"))
        self.timeline = TimelineList(theme)
        for widget in (
            self.case_head, self.test_head, self.test_name, self.test_words, self.possible_head, self.possible,
            self.timeline_head, self.timeline,
        ):  # fmt: skip
            self.page.add(widget)
        self.page.column.addStretch()
        self.open_button = Button(theme, open_words, "primary", "forward")
        self.open_button.clicked.connect(self.open_wanted)
        foot = Foot(theme)
        foot.row.addWidget(self.open_button)
        foot.row.addStretch()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.page, 1)
        column.addWidget(foot)
        self.setAccessibleName(_("This line"))
        self.clear()

    def clear(self) -> None:
        """Shows nothing."""
        self.page.paper.hide()
        self.open_button.setEnabled(False)

    def show_case(self, view: CaseView, step: "NextStep | None") -> None:
        """Shows a case and, as far as it is known, what is next on it."""
        self.page.paper.show()
        self.open_button.setEnabled(True)
        self.case_head.show_case(view)
        self.show_step(step)
        rows = timeline_rows(view.case)
        self.timeline.show_rows(rows)
        self.timeline_head.setVisible(bool(rows))
        self.timeline.setVisible(bool(rows))

    def show_step(self, step: "NextStep | None") -> None:
        """Shows what is next, or leaves it out while nothing is known."""
        section_map = step.section_map if step is not None else None
        rows: tuple[ShareRow, ...] = ()
        if step is not None and section_map is not None:
            names = MapNames(section_map)
            rows = tuple(ShareRow(names.section(p.section), p.share, p.state) for p in step.possible[:SHOWN])
            self.possible_head.set_text(_("Still possible"), section_map.title)
        self.possible.show_rows(rows)
        self.possible_head.setVisible(bool(rows))
        self._show_test(step)

    def _show_test(self, step: "NextStep | None") -> None:
        test = step.test if step is not None else None
        if step is None or test is None or step.section_map is None:
            for widget in (self.test_head, self.test_name, self.test_words):
                widget.hide()
            return
        from kbapp.wording.bench import test_words

        name, minutes, lacking = test_words(step)
        self.test_head.show()
        self.test_head.set_text(_("Next test"), "" if lacking else minutes)
        self.test_name.say(name)
        self.test_name.setAccessibleName(_("Next test: {test}").format(test=name))
        self.test_words.say("\n".join(remarks_of(test, MapNames(step.section_map))))
