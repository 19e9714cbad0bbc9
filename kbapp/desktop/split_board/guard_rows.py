"""Which of the guard's judgements speak now, and what the card says about one."""

from collections.abc import Iterator
from dataclasses import dataclass

from kbapp.desktop.theme.tokens import Role
from kbapp.isolation.guard_warning import GuardWeight, Judgement
from kbapp.records.case import Case
from kbapp.records.section_map import SectionMap
from kbapp.records.timeline import PartEntry
from kbapp.wording.board import RULE_STAMPS, guard_head, guard_lines
from kbapp.wording.map_names import MapNames, minutes, money

WEIGHT_ROLES: dict[GuardWeight, Role] = {
    "strong": "danger", "before_another": "danger", "warning": "caution", "caution": "caution",
    "repeat_test": "caution", "note": "ink2", "information": "info",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class GuardWords:
    """The card in words: stamp, head, sentences, the two costs, the next test; ``role`` is its colour."""

    entry: str
    line: int
    stamp: str
    head: str
    sentences: tuple[str, ...]
    fit_now: str
    test_first: str
    next_test: str
    next_name: str
    next_minutes: str
    reason_required: bool
    planned: bool
    role: Role

    def spoken(self) -> str:
        """Returns the card as it is read aloud."""
        return ". ".join((self.stamp, self.head, *self.sentences))


def speaking(case: Case, judgements: tuple[Judgement, ...]) -> tuple[Judgement, ...]:
    """Returns the judgements that have something to say about a line that is not settled yet.

    Settled: fitted with a reason, or with what it changed written down. Said again only on other evidence: a fitted
    part that was planned on the same evidence is judged once, unless a reason is asked for.
    """
    lines = {entry.id: entry for entry in case.timeline}
    out = []
    for judgement in judgements:
        entry = lines.get(judgement.entry)
        if judgement.warnings and isinstance(entry, PartEntry) and not _settled(case, entry, judgement):
            out.append(judgement)
    return tuple(out)


def _settled(case: Case, entry: PartEntry, judgement: Judgement) -> bool:
    if entry.override is not None or entry.effect not in (None, "not_checked"):
        return True
    if entry.stage != "fitted" or judgement.reason_required:
        return False
    return any(
        line.stage == "planned" and line.part == entry.part and line.position == entry.position
        and line.guard is not None and line.guard.warnings and line.guard.evidence == judgement.evidence
        for line in _before(case, entry)
    )  # fmt: skip


def _before(case: Case, entry: PartEntry) -> Iterator[PartEntry]:
    for line in case.timeline:
        if line.id == entry.id:
            return
        if isinstance(line, PartEntry):
            yield line


def guard_words(case: Case, judgement: Judgement, section_map: SectionMap | None, currency: str) -> GuardWords:
    """Returns the card about a judgement."""
    lines = {entry.id: n for n, entry in enumerate(case.timeline, 1)}
    names = MapNames(section_map) if section_map is not None else None
    first = judgement.warnings[0]
    return GuardWords(
        entry=judgement.entry,
        line=lines[judgement.entry],
        stamp=RULE_STAMPS[first.rule],
        head=guard_head(judgement, lines[judgement.entry]),
        sentences=guard_lines(case, judgement, names),
        fit_now=money(judgement.fit_now, currency) if judgement.fit_now is not None else "",
        test_first=money(judgement.test_first, currency) if judgement.test_first is not None else "",
        next_test=judgement.next_test,
        next_name=names.test(judgement.next_test) if names is not None and judgement.next_test else "",
        next_minutes=minutes(judgement.next_minutes) if judgement.next_minutes is not None else "",
        reason_required=judgement.reason_required,
        planned=judgement.stage == "planned",
        role=WEIGHT_ROLES[first.weight],
    )
