"""The case a lead looks at: what it lacks, before and after, guard overrides, near duplicates, timeline, log."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout

from kbapp.desktop.forms.chips_field import FlowBox
from kbapp.desktop.forms.full_lines import title_list
from kbapp.desktop.lead_check.before_after import BeforeAfter
from kbapp.desktop.markdown import safe_html
from kbapp.desktop.reading.case_head import CaseHead
from kbapp.desktop.reading.cautions_band import CautionsBand
from kbapp.desktop.reading.page_scroll import PageScroll
from kbapp.desktop.reading.timeline import timeline_rows
from kbapp.desktop.reading.timeline_list import TimelineList
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.page_text import PageText
from kbapp.desktop.widgets.paper import Paper
from kbapp.desktop.widgets.title_lines import TitleLine
from kbapp.i18n import _
from kbapp.lookup.question import Hit
from kbapp.wording.case_words import entry_title
from kbapp.wording.proof_words import check_words, follow_up_words, lack_words, signed_line_words
from kbapp.wording.terms import term

if TYPE_CHECKING:
    from kbapp.app.lead_check import LeadView


class _Words(Paper):
    """Search words that the text suggests, as buttons; pressing one takes it over."""

    def __init__(self, theme: Theme) -> None:
        self._box = FlowBox()
        super().__init__(theme)
        column = QVBoxLayout(self)
        column.setContentsMargins(10, 4, 10, 4)
        column.addWidget(self._box)

    def put(self, buttons: Sequence[Button]) -> None:
        """Shows other words."""
        self._box.put(buttons)
        self.setVisible(bool(buttons))


class LeadPage(PageScroll):
    """Shows one case; ``kin_wanted`` and ``word_wanted`` are sent with a case id or a search word."""

    kin_wanted = Signal(str)
    word_wanted = Signal(str)

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme, _("The case to sign"))
        self._theme = theme
        self._kin: tuple[Hit, ...] = ()
        self.case_head = CaseHead(theme)
        self.cautions = CautionsBand(theme)
        self.lacks_head = SectionHead(theme, _("Before it is signed"))
        self.lacks = title_list(theme, _("Before it is signed"))
        self.words = _Words(theme)
        self.compare_head = SectionHead(theme, _("Before and after"))
        self.compare = BeforeAfter(theme)
        self.overrides_head = SectionHead(theme, _("Fitted against the guard"))
        self.overrides = title_list(theme, _("Fitted against the guard"))
        self.follow_head = SectionHead(theme, _("Follow-ups"))
        self.follow_ups = title_list(theme, _("Follow-ups"))
        self.kin_head = SectionHead(theme, _("Near it in the book"))
        self.kin = title_list(theme, _("Near it in the book"))
        self.timeline_head = SectionHead(theme, _("Timeline"))
        self.timeline = TimelineList(theme)
        self.lesson_head = SectionHead(theme, _("Lesson"))
        self.lesson = PageText(theme, _("Lesson"))
        self.log_head = SectionHead(theme, _("Signatures"))
        self.log = title_list(theme, _("Signatures"))
        for widget in (
            self.case_head, self.lacks_head, self.lacks, self.words, self.compare_head, self.compare,
            self.overrides_head, self.overrides, self.follow_head, self.follow_ups, self.log_head, self.log,
            self.kin_head, self.kin, self.cautions, self.timeline_head, self.timeline, self.lesson_head, self.lesson,
        ):  # fmt: skip
            self.add(widget)
        self.column.addStretch()
        self.kin.opened.connect(lambda row: self.kin_wanted.emit(self._kin[row].id))
        self.paper.hide()

    def show_view(self, view: "LeadView") -> None:
        """Shows a case."""
        case = view.case
        self.paper.show()
        self.case_head.show_case(view.view)
        self.cautions.show_system(case.concern.system)
        self._show_lacks(view)
        separated = case.cause is None or case.cause.separated
        self.compare.show_comparisons(view.comparisons, separated=separated)
        self.compare_head.setVisible(bool(view.comparisons))
        self._show_lists(view)
        rows = timeline_rows(case)
        self.timeline.show_rows(rows)
        for shown, widgets in (
            (bool(rows), (self.timeline_head, self.timeline)),
            (bool(case.lesson), (self.lesson_head, self.lesson)),
        ):
            for widget in widgets:
                widget.setVisible(shown)
        self.lesson.show_html(safe_html(case.lesson) if case.lesson else "")

    def _show_lacks(self, view: "LeadView") -> None:
        lines = [TitleLine(lack.code, lack_words(lack), icon="guard") for lack in view.lacks]
        told = {"no_cause": "cause", "no_retest": "retest", "no_baseline": "retest", "not_passed": "retest",
                "other_conditions": "retest", "changed_since": "retest"}  # fmt: skip
        known = {told.get(lack.code, "") for lack in view.lacks}
        checks = [check for check in view.checks if not check.done and check.name not in known]
        lines += [TitleLine(check.name, check_words(check), icon="note") for check in checks]
        waits = view.case.state == "repaired"
        if waits and not lines:
            lines.append(TitleLine("ready", _("Nothing is missing: ready to sign"), icon="tick"))
        remark = _("what the signature needs, then what lets it be found again") if len(lines) > 1 else ""
        self.lacks_head.set_text(_("Before it is signed"), remark)
        shown = view.case.state in ("open", "repaired")
        self.lacks.show_rows(lines if shown else ())
        self.lacks_head.setVisible(shown and bool(lines))
        self.words.put([self._word(word) for word in view.suggested] if shown else [])

    def _word(self, word: str) -> Button:
        button = Button(self._theme, word, "quiet", "plus")
        button.setAccessibleName(_("Take over as a search word: {word}").format(word=word))
        button.clicked.connect(lambda: self.word_wanted.emit(word))
        return button

    def _show_lists(self, view: "LeadView") -> None:
        against = []
        for line, entry in view.overrides:
            if entry.override is not None:
                title = _("Line {n}: {part}").format(n=line, part=entry_title(entry))
                why = _("{who}: {reason}").format(who=entry.override.by, reason=entry.override.reason)
                against.append(TitleLine(entry.id, title, why, "guard"))
        asked = [
            TitleLine(str(n), follow_up_words(one), icon="clock" if one.done is None else "tick")
            for n, one in enumerate(view.case.follow_ups)
        ]
        signed = [TitleLine(str(line.number), signed_line_words(line), line.note, "seal") for line in view.log]
        for head, lines, rows in (
            (self.overrides_head, self.overrides, against), (self.follow_head, self.follow_ups, asked),
            (self.log_head, self.log, signed),
        ):  # fmt: skip
            lines.show_rows(rows)
            head.setVisible(bool(rows))

    def show_kin(self, hits: tuple[Hit, ...]) -> None:
        """Shows the cases near it, once they are found."""
        self._kin = hits
        rows = [
            TitleLine(hit.id, " ".join(hit.concern.split()),
                      ", ".join(filter(None, (hit.number, term("state", hit.state).lower(), hit.cause))), "compare")
            for hit in hits
        ]  # fmt: skip
        self.kin.show_rows(rows)
        self.kin_head.setVisible(bool(rows))
        self.kin_head.set_text(_("Near it in the book"), _("the same job twice? Join them") if rows else "")
