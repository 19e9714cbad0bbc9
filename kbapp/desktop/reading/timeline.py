"""The lines of a case's timeline as the page shows them: plain values made from the case, retests at the end."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from kbapp.desktop.paint.stamp import Edge, Stamp
from kbapp.desktop.theme.tokens import Role
from kbapp.i18n import _
from kbapp.records.case import Case, Retest
from kbapp.records.timeline import PartEntry, TestEntry, TimelineEntry
from kbapp.wording.case_words import (
    entry_details,
    entry_title,
    moment_words,
    plain_words,
    readings_words,
    retest_details,
    retest_title,
)
from kbapp.wording.terms import term

_EFFECTS: Final[dict[str, tuple[Role, Edge]]] = {
    "unchanged": ("caution", "single"), "better": ("accent", "single"), "worse": ("danger", "single"),
    "gone": ("good", "single"), "not_checked": ("ink3", "dashed"),
}  # fmt: skip
_RESULTS: Final[dict[str, tuple[Role, Edge, str]]] = {
    "passed": ("good", "single", "tick"), "failed": ("danger", "single", "x"), "unclear": ("untested", "dashed", ""),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class TimelineRow:
    """One line: number, icon, what, readings, the rest in words, mark, when and by whom."""

    number: int
    icon: str
    title: str
    readings: str
    details: str
    stamp: Stamp | None
    when: str
    reported: bool
    bold: bool = True

    def spoken(self) -> str:
        """Returns the line as it is read aloud."""
        parts = (
            _("Line {n}").format(n=self.number), self.title, self.stamp.word if self.stamp else "", self.readings,
            self.details, self.when,
        )  # fmt: skip
        return ". ".join(part.rstrip(".") for part in parts if part)


def timeline_rows(case: Case) -> tuple[TimelineRow, ...]:
    """Returns every line of the timeline and, after them, the retests."""
    rows = [_entry_row(n, entry) for n, entry in enumerate(case.timeline, 1)]
    rows.extend(_retest_rows(case, len(rows)))
    return tuple(rows)


def _entry_row(number: int, entry: TimelineEntry) -> TimelineRow:
    readings = readings_words(entry.readings) if isinstance(entry, TestEntry) else ""
    return TimelineRow(
        number, entry.kind, entry_title(entry), readings, entry_details(entry), _entry_stamp(entry),
        _when(moment_words(entry.at), entry.by), entry.source == "reported", isinstance(entry, TestEntry | PartEntry),
    )  # fmt: skip


def _when(moment: str, who: str) -> str:
    return ", ".join(filter(None, (moment, who)))


def _entry_stamp(entry: TimelineEntry) -> Stamp | None:
    if isinstance(entry, PartEntry):
        if entry.stage != "fitted":
            return Stamp(term("stage", entry.stage), "ink2")
        if entry.effect is None:
            return None
        role, edge = _EFFECTS[entry.effect]
        return Stamp(term("effect", entry.effect), role, edge)
    if isinstance(entry, TestEntry):
        if entry.status != "done":
            icon = "unable" if entry.status == "unable" else "state_untested"
            return Stamp(term("test_status", entry.status), "untested", "dashed", icon)
        return Stamp(plain_words(entry.outcome), "ink2") if entry.outcome else None
    return None


def _retest_rows(case: Case, before: int) -> Iterator[TimelineRow]:
    for number, retest in enumerate(case.retest, before + 1):
        yield TimelineRow(
            number, "test", retest_title(case, retest), readings_words(retest.readings), retest_details(retest),
            _retest_stamp(retest), _when(moment_words(retest.at), retest.by), reported=False,
        )  # fmt: skip


def _retest_stamp(retest: Retest) -> Stamp | None:
    if retest.result is None:
        return Stamp(plain_words(retest.outcome), "ink2") if retest.outcome else None
    role, edge, icon = _RESULTS[retest.result]
    return Stamp(term("retest_result", retest.result), role, edge, icon)
