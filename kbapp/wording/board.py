"""Words of the Split Board: lines that bear on a section, gates, tests, the guard's card."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from kbapp.i18n import N_, _, ngettext
from kbapp.records.section_map import MAP_FORMAT, SectionMap
from kbapp.wording.case_words import plain_words
from kbapp.wording.cautions import caution, caution_ids
from kbapp.wording.guard_text import guard_said, part_name
from kbapp.wording.map_names import MapNames, minutes, money, percent
from kbapp.wording.terms import term

if TYPE_CHECKING:
    from kbapp.isolation.advice import Advice
    from kbapp.isolation.candidates import Candidate
    from kbapp.isolation.guard_warning import Judgement
    from kbapp.isolation.peers import PeerComparison
    from kbapp.isolation.ranking import NextTest
    from kbapp.records.case import Case

_NO_MAP: Final = SectionMap(format=MAP_FORMAT, id="none", title="none", sections=(), not_on_map=1.0)


def short_percent(share: float) -> str:
    """Returns a share in a column: 74 %, <1 %."""
    return _("<1 %") if 0 < share < 0.005 else percent(share)


def numbers(lines: Sequence[int]) -> str:
    """Returns line numbers in a row."""
    return ", ".join(map(str, lines))


def gate_words(line: int, word: str) -> str:
    """Returns what a gate says."""
    return _("Line {n}: {outcome}").format(n=line, outcome=word)


def part_share_words(name: str, share: float) -> str:
    """Returns a part (or a section of a nested map) with its share."""
    figure = short_percent(share).replace(" ", "\u00a0")  # a figure never breaks
    return _("{name} {share}").format(name=name, share=figure)


def folded_words(count: int, untested: int) -> str:
    """Returns what stands for the sections that are folded into one line."""
    said = ngettext("{n} more under 5 %", "{n} more under 5 %", count).format(n=count)
    if not untested:
        return said
    return _("{said}, {n} untested").format(said=said, n=untested)


def way_minutes(way: Candidate) -> str:
    """Returns the hands-on minutes of a test, with the minutes that merely elapse."""
    hands_on = minutes(way.minutes)
    if not way.wait_minutes:
        return hands_on
    return _("{minutes} + {wait} wait").format(minutes=hands_on, wait=minutes(way.wait_minutes))


def figure_of(test: NextTest, by: str, currency: str) -> str:
    """Returns the figure a test is ranked by."""
    if by == "cost" and test.expected_cost is not None:
        return _("{bits} bit, {cost}").format(bits=f"{test.bits:.3f}", cost=money(test.expected_cost, currency))
    return _("{bits} bit").format(bits=f"{test.bits:.3f}")


def remarks_of(test: NextTest, names: MapNames) -> Iterator[str]:
    """Yields what is to be known before a test is chosen: kit, what stands in its way, cautions of its way."""
    way = test.way
    own = test.choice.ways[0]
    if way.substitute is not None and own.kit_missing:
        yield _("The test itself lacks: {kit}").format(kit=", ".join(own.kit_missing))
    if way.kit_missing:
        yield _("Missing: {kit}").format(kit=", ".join(way.kit_missing))
    elif way.kit:
        yield _("Kit: {kit}").format(kit=", ".join(way.kit))
    if way.blocked_by:
        yield _("First prove good: {sections}").format(sections=names.sections(way.blocked_by))
    if way.unable:
        yield _("Could not be run before: {why}").format(why=way.unable)
    if way.unclear:
        yield _("Was unclear before: run it again")
    if way.test.destructive:
        yield _("Not reversible: other tests come first")
    if way.test.qualification:
        yield _("Only with this qualification: {what}. Otherwise refer it out.").format(what=way.test.qualification)
    yield from (other_way_words(other) for other in test.choice.ways[1:] if other is not way)
    if cautions_of(way):
        yield cautions_of(way)


def other_way_words(way: Candidate) -> str:
    """Returns a substitute with its strength and what it would lack."""
    name = way.substitute.name if way.substitute is not None else way.test.name
    said = _("Or: {substitute}, {minutes}, {strength}").format(
        substitute=name, minutes=way_minutes(way), strength=term("strength", way.strength).lower()
    )
    return (
        said if not way.kit_missing else _("{said}; missing: {kit}").format(said=said, kit=", ".join(way.kit_missing))
    )


def caution_words(name: str) -> str:
    """Returns a caution: the text of a known one, else what the map says."""
    return caution(name) if name in caution_ids() else name


def first_sentence(text: str) -> str:
    """Returns the first sentence of a text."""
    first, dot, _rest = text.partition(". ")
    return first + dot.strip()


def cautions_of(way: Candidate) -> str:
    """Returns the beginning of a way's first caution and how many there are; all stand where the test is run."""
    cautions = (way.substitute or way.test).cautions
    if not cautions:
        return ""
    said = _("Caution: {text}").format(text=first_sentence(caution_words(cautions[0])))
    more = len(cautions) - 1
    return said if not more else ngettext("{said} And {n} more", "{said} And {n} more", more).format(said=said, n=more)


def outcome_words(outcome: str, chance: float, section: str, share: float) -> tuple[str, str]:
    """Returns an outcome with its chance, and what would lead after it with its share."""
    name = _("{chance}  {outcome}").format(outcome=outcome[:1].upper() + outcome[1:], chance=short_percent(chance))
    return name, _("{section} {share}").format(section=section, share=short_percent(share))


RANKED_BY: Final[dict[str, str]] = {
    "cost": N_("least expected cost of the repair first"),
    "gain": N_("most learned per minute first"),
}

RULE_STAMPS: Final[dict[str, str]] = {
    "contradicted": N_("Contradicted"),
    "repeat": N_("Repeat"),
    "unchanged": N_("Unchanged"),
    "no_retest": N_("No retest"),
    "base_unmet": N_("Base unmet"),
    "unsupported": N_("Unsupported"),
    "conflict": N_("Conflict"),
    "coverage": N_("Coverage"),
    "cannot_judge": N_("Cannot judge"),
    "no_map": N_("No map"),
    "exemption_incomplete": N_("Incomplete"),
    "rarely_the_cause": N_("Rarely the cause"),
}


def guard_head(judgement: Judgement, line: int) -> str:
    """Returns the head of the card: the part, its share, where it stands."""
    part = plain_words(part_name(judgement))
    stage = term("stage", judgement.stage).lower()
    if judgement.share is None:
        return _("{part}, {stage} at line {n}").format(part=part, stage=stage, n=line)
    return _("{part}, share {share}, {stage} at line {n}").format(
        part=part, share=percent(judgement.share), stage=stage, n=line
    )


def guard_lines(case: Case, judgement: Judgement, names: MapNames | None) -> tuple[str, ...]:
    """Returns what the guard has to say, a sentence or two a rule; lines of the timeline are named by their number."""
    numbers_of = {entry.id: str(n) for n, entry in enumerate(case.timeline, 1)}
    known = names or MapNames(_NO_MAP)
    said = []
    for warning in judgement.warnings:
        earlier = (
            _("line {n}").format(n=numbers_of[warning.earlier]) if warning.earlier in numbers_of else warning.earlier
        )
        text = guard_said(judgement, replace(warning, earlier=earlier), known)
        said.append(text.removeprefix(f"{part_name(judgement)}: "))
    if judgement.untested and all(warning.rule != "coverage" for warning in judgement.warnings):
        said.append(_("Untested: {sections}.").format(sections=known.sections(judgement.untested)))
    return tuple(sentence[:1].upper() + sentence[1:] for sentence in said)


def kin_facts(number: str, state: str, cause: str) -> str:
    """Returns number, state and cause of a similar case."""
    known = _("cause: {cause}").format(cause=" ".join(cause.split())[:160]) if cause else _("cause not found yet")
    return ", ".join(filter(None, (number, state.lower(), known)))


def conflict_words(advice: Advice) -> str:
    """Returns that no single section explains the strong results, with the test to repeat; empty where one does."""
    conflict = advice.conflict
    if conflict is None:
        return ""
    names = MapNames(advice.section_map)
    said = _("No single section explains these. Repeat {test} ({minutes}).").format(
        test=names.test(conflict.repeat), minutes=minutes(conflict.repeat_minutes)
    )
    both = next((found for found in conflict.explanations if len(found) > 1), ())
    if not both:
        return said
    return _("{said} Or two faults at once: {sections}.").format(said=said, sections=names.sections(both))


def peer_words(found: PeerComparison, unit: str, outcome: str) -> str:
    """Returns what comparing the places says, with its uncertainty and margin, and the outcome it proposes."""
    values = {
        "place": found.place,
        "difference": f"{found.difference:.1f}",
        "half": f"{found.half_width:.1f}",
        "margin": f"{found.margin:g}",
        "unit": unit,
    }
    said = _(_PEERS[found.verdict]).format(**values)
    return _("{said} Proposed: {outcome}.").format(said=said, outcome=outcome) if outcome else said


_PEERS: Final[dict[str, str]] = {
    "stands_out": N_("{place} stands out: {difference} ± {half} {unit} from the others, margin {margin} {unit}."),
    "none": N_("None stands out: the largest is {place} with {difference} ± {half} {unit}, margin {margin} {unit}."),
    "inconclusive": N_(
        "Inconclusive: {place} is {difference} ± {half} {unit} from the others, margin {margin} {unit}. Repeat it."
    ),
}

EXEMPTION_NEEDS: Final[dict[str, str]] = {
    "maintenance": N_("Name the plan or interval: the bare word does not lift a contradiction."),
    "recall": N_("Give the reference of the recall or campaign."),
    "measured": N_("Give the measured value, its unit, the limit, and where the limit comes from."),
    "set": N_("The other side of the pair needs a line of its own that draws no warning."),
    "request": N_("Recorded, and left out of diagnostic statistics."),
    "temporary": N_("A test with a known-good part: it counts as still on the vehicle until it is removed again."),
}

WORDS_QUESTIONS: Final[dict[str, tuple[str, str]]] = {
    "finding": (N_("What is concluded?"), N_("such as: little flow, the fault lies before the thermostat")),
    "service": (N_("What was done?"), N_("such as: coolant changed, filled under vacuum")),
    "note": (N_("What is worth keeping?"), N_("such as: customer leaves on Thursday")),
}

SHORT_STATUS: Final[dict[str, str]] = {"unable": N_("unable"), "unclear": N_("unclear")}
