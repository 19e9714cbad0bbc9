"""The lines of the Bench as they are shown: plain words made from the cases, heads of groups between them."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final, Literal

from kbapp.desktop.paint.stamp import Stamp, state_stamp
from kbapp.desktop.theme.tokens import Role, SectionState
from kbapp.i18n import _
from kbapp.wording import bench as words
from kbapp.wording.case_words import moment_words
from kbapp.wording.map_names import MapNames, percent
from kbapp.wording.terms import term

if TYPE_CHECKING:
    from kbapp.app.bench import BenchRow, BenchView, Group, Visit
    from kbapp.app.next_step import NextStep
    from kbapp.app.views import CaseRow

GROUPS: Final[tuple["Group", ...]] = ("open", "retest", "follow_up", "came_back")


@dataclass(frozen=True, slots=True)
class Cell:
    """Two lines of words; ``role`` is the ink of the second."""

    first: str = ""
    second: str = ""
    role: Role = "ink2"


@dataclass(frozen=True, slots=True)
class BenchLine:
    """A line: the head of a group, a case, or what stands for more cases. ``state`` and ``share`` belong to a map."""

    kind: Literal["head", "case", "more"]
    title: str
    remark: str = ""
    group: "Group | None" = None
    case_id: str = ""
    revision: int = 0
    number: str = ""
    concern: str = ""
    stands: Cell = Cell()
    state: SectionState | None = None
    share: str = ""
    next: Cell = Cell()
    days: str = ""
    stamp: Stamp | None = None

    def spoken(self) -> str:
        """Returns the line as it is read aloud."""
        if self.kind != "case":
            return ", ".join(filter(None, (self.title, self.remark)))
        state = f"{term('section_state', self.state)} {self.share}" if self.state else ""
        parts = (
            self.number, self.title, self.concern, self.stamp.word if self.stamp else "",
            " ".join(filter(None, (self.stands.first, state or self.stands.second))),
            _("Next: {what}").format(what=self.next.first) if self.next.first else "", self.next.second,
            words.days_words(int(self.days)) if self.days.isdecimal() else "",
        )  # fmt: skip
        return ". ".join(part.rstrip(".") for part in parts if part)


def bench_lines(view: "BenchView", steps: Mapping[str, "NextStep"]) -> tuple[BenchLine, ...]:
    """Returns the lines of the Bench, groups without a case left out; ``steps`` by case id where known."""
    return tuple(line for group in GROUPS for line in _group_lines(group, view, steps))


def _group_lines(group: "Group", view: "BenchView", steps: Mapping[str, "NextStep"]) -> Iterator[BenchLine]:
    rows = [row for row in view.rows if row.group == group]
    if not rows:
        return
    count = view.counts[group]
    yield BenchLine("head", _(words.HEADS[group]), words.group_remark(group, count), group)
    for row in rows:
        yield case_line(row, steps.get(row.row.id))
    if count > len(rows) and group != "follow_up":
        yield BenchLine("more", words.more_words(count - len(rows)), group=group)


def case_line(line: "BenchRow", step: "NextStep | None") -> BenchLine:
    """Returns the line of a case; ``step`` is None while it is being worked out."""
    base = _line_of(line.row, line.group, "" if line.days is None or line.days < 0 else str(line.days))
    if line.group == "open":
        return replace(base, next=Cell("", _("working it out"), "ink3")) if step is None else with_step(base, step)
    stands, then = words.stands_words(line), words.next_words(line)
    late = line.group == "follow_up" and line.due_in is not None and line.due_in <= 0
    proved = state_stamp(line.row.state, signed_here=line.row.signed_here).word if line.group == "follow_up" else ""
    return replace(base, stands=Cell(stands[0], stands[1] or proved), next=Cell(*then, "caution" if late else "ink2"))


def with_step(base: BenchLine, step: "NextStep") -> BenchLine:
    """Returns the line of an open case with what is next on it."""
    if step.section_map is None:
        return replace(base, stands=Cell(*words.last_line(step.case)), next=Cell(*words.no_map_words(step)))
    name, remark, lacking = words.test_words(step)
    then = Cell(name, remark, "caution" if lacking else "ink2")
    if not step.possible:
        return replace(base, next=then)
    top = step.possible[0]
    section = MapNames(step.section_map).section(top.section)
    return replace(base, stands=Cell(section), state=top.state, share=percent(top.share), next=then)


def visit_lines(visits: tuple["Visit", ...]) -> tuple[BenchLine, ...]:
    """Returns the lines of earlier visits."""
    return tuple(_visit_line(visit) for visit in visits)


def _visit_line(visit: "Visit") -> BenchLine:
    row = visit.row
    stands = Cell(row.cause or _("Cause not found yet"), moment_words(row.opened))
    return replace(_line_of(row, None, ""), stands=stands, next=Cell(words.found_words(visit)))


def _line_of(row: "CaseRow", group: "Group | None", days: str) -> BenchLine:
    vehicle = words.vehicle_first(row) or _("Vehicle not written down")
    return BenchLine(
        "case", vehicle, group=group, case_id=row.id, revision=row.revision, number=row.number,
        concern=" ".join(row.concern.split()), days=days,
        stamp=_mark(row),
    )  # fmt: skip


def _mark(row: "CaseRow") -> Stamp:
    """Returns the stamp of a case; one signed elsewhere has a single edge, and the line says by whom it is proved."""
    mark = state_stamp(row.state)
    return replace(mark, edge="single") if row.state == "proved" and not row.signed_here else mark
