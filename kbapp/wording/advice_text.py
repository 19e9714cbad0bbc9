"""Advice in words: lines for a terminal or a sheet, and the JSON of ``advise --json`` with the guard's sentences."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

from kbapp.i18n import N_, _, ngettext
from kbapp.wording import fault_sentence
from kbapp.wording.cautions import caution, caution_ids
from kbapp.wording.guard_text import guard_text, weight_name
from kbapp.wording.map_names import MapNames, minutes, money, percent
from kbapp.wording.terms import term

if TYPE_CHECKING:
    from kbapp.isolation.advice import Advice
    from kbapp.isolation.gaps import Gap
    from kbapp.isolation.ranking import NextTest
    from kbapp.isolation.results import Ignored, Result

MOST_TESTS: Final = 5

_REASONS: Final[Mapping[str, str]] = MappingProxyType({
    "free_words": N_("in free words, not a test of this map"),
    "no_outcome": N_("no outcome entered"),
    "outcome_unknown": N_("the map does not know this outcome"),
    "unclear": N_("unclear"),
    "unable": N_("could not be tested"),
    "superseded": N_("superseded by a later test"),
    "repeats_disagree": N_("its repeats disagree, so it counts as unclear"),
    "too_weak": N_("too weak to count"),
    "part_unlinked": N_("no section of the map names this part"),
    "section_unknown": N_("the map has no such section"),
    "effect_not_evidence": N_("only a part that changed nothing is evidence"),
    "not_fitted": N_("not fitted"),
    "after_repair": N_("after the repair"),
})  # fmt: skip
_LOWERED: Final[Mapping[str, str]] = MappingProxyType({
    "reported": N_("reported by others"),
    "substitute": N_("substitute used"),
    "condition": N_("a condition was not met"),
    "entry": N_("entered as weaker"),
})  # fmt: skip
_GAPS: Final[Mapping[str, str]] = MappingProxyType({
    "not_tested": N_("not tested"),
    "unable": N_("could not be tested"),
    "unclear": N_("tested, unclear"),
    "too_weak": N_("tested, too weak to count"),
    "no_test": N_("no test on this map names it"),
})  # fmt: skip


def advice_json(advice: Advice, currency: str = "") -> dict[str, Any]:
    """Returns the JSON values of ``advise --json``, each warning of the guard with its ``text``."""
    out = advice.as_dict()
    names = MapNames(advice.section_map)
    texts = [guard_text(judged, warning, names, currency) for judged in advice.guard for warning in judged.warnings]
    out["guard"] = [{**warning, "text": text} for warning, text in zip(out["guard"], texts, strict=True)]
    return out


def advice_lines(advice: Advice, currency: str = "") -> Iterator[str]:
    """Yields the advice as lines: sections and why, conflict, gaps, next tests, guard, costs, what is still on."""
    names = MapNames(advice.section_map)
    yield _("{title} (map {id}, version {version})").format(
        title=advice.section_map.title, id=advice.section_map.id, version=advice.section_map.version
    )
    yield from (fault_sentence(fault) for fault in advice.faults)
    yield ""
    yield from _sections(advice, names)
    yield from _conflict(advice, names)
    yield from _block(_("Not covered"), (_gap(gap, names) for gap in advice.gaps))
    yield from _next_tests(advice, names, currency)
    yield from _guard(advice, names, currency)
    yield from _costs(advice, names, currency)
    yield from _block(
        _("Still on the vehicle"),
        (
            _("{what} ({test}; {minutes} to restore)").format(
                what=item.what, test=names.test(item.name), minutes=minutes(item.restore_minutes)
            )
            for item in advice.still_on_vehicle
        ),
    )
    yield from _block(_("Not counted as evidence"), (_ignored(item, names) for item in advice.evidence.ignored))


def _block(head: str, lines: Iterator[str]) -> Iterator[str]:
    first = next(lines, None)
    if first is not None:
        yield ""
        yield head
        yield f"  {first}"
        yield from (f"  {line}" for line in lines)


def _sections(advice: Advice, names: MapNames) -> Iterator[str]:
    view = advice.picture
    yield _("Where the fault could be before the repair") if advice.repaired else _("Where the fault can be")
    order = sorted(range(len(view.shares)), key=lambda n: -float(view.shares[n]))
    for n in order:
        name = view.model.hypotheses[n]
        share, state = percent(float(view.shares[n])), term("section_state", view.states[n])
        yield f"  {share:>10}  {state:<10}  {names.section(name)}"
        for result in view.evidence.results:
            touch = result.touch(name)
            if touch is not None and touch.direction != "neither":
                side = _("for") if touch.direction == "for" else _("against")
                yield f"{'':26}{side}: {_result(result, names)}"
    learned = view.model.learned.cases()
    if learned:
        yield "  " + ngettext("Priors from {n} proved case.", "Priors from {n} proved cases.", learned).format(
            n=learned
        )


def _result(result: Result, names: MapNames) -> str:
    if result.kind == "part":
        return _("{part} fitted, nothing changed").format(part=result.name)
    said = f"{names.test(result.name)}: {names.outcome(result.name, result.outcome)}"
    why = ", ".join(_(_LOWERED[reason]) for reason in result.lowered)
    strength = term("strength", result.strength).lower()
    return f"{said} ({strength}: {why})" if why else f"{said} ({strength})"


def _conflict(advice: Advice, names: MapNames) -> Iterator[str]:
    conflict = advice.conflict
    if conflict is None:
        return
    yield ""
    yield _("No single section explains these: {tests}.").format(tests="; ".join(map(names.test, conflict.tests)))
    yield "  " + _("First repeat {test} ({minutes}).").format(
        test=names.test(conflict.repeat), minutes=minutes(conflict.repeat_minutes)
    )
    for sections in conflict.explanations:
        if len(sections) > 1:
            yield "  " + _("Together they would explain everything: {sections}.").format(
                sections=names.sections(sections)
            )
    for found in advice.two_faults:
        if len(found.sections) > 1 and found.share >= 0.01:
            yield f"  {percent(found.share):>10}  " + _("both: {sections}").format(
                sections=names.sections(found.sections)
            )


def gap_reason(reason: str) -> str:
    """Returns why no result names a section."""
    return _(_GAPS[reason])


def _gap(gap: Gap, names: MapNames) -> str:
    why = f" ({gap.why})" if gap.why else ""
    return f"{names.section(gap.section)}, {percent(gap.share)}: {_(_GAPS[gap.reason])}{why}"


def _next_tests(advice: Advice, names: MapNames, currency: str) -> Iterator[str]:
    ranking = advice.ranking
    if not ranking.tests:
        return
    by_cost = _("Next tests, by expected cost of the repair")
    yield ""
    yield by_cost if ranking.by == "cost" else _("Next tests, by information a minute of work")
    for n, test in enumerate(ranking.tests[:MOST_TESTS], 1):
        yield f"  {n}. {_test_line(test, currency)}"
        yield from (f"     {line}" for line in _test_details(test, names))
    more = len(ranking.tests) - MOST_TESTS
    if more > 0:
        yield "  " + ngettext("… and {n} more test", "… and {n} more tests", more).format(n=more)


def _test_line(test: NextTest, currency: str) -> str:
    way = test.way
    name = way.test.name
    if way.substitute is not None:
        name = _("{substitute} (instead of: {test})").format(substitute=way.substitute.name, test=way.test.name)
    parts = [minutes(way.minutes)]
    if way.wait_minutes:
        parts.append(_("and {minutes} waiting").format(minutes=minutes(way.wait_minutes)))
    parts.append(_("{bits} bit").format(bits=f"{test.bits:.3f}"))
    if test.expected_cost is not None:
        parts.append(money(test.expected_cost, currency))
    return f"{name}: {', '.join(parts)}"


def _test_details(test: NextTest, names: MapNames) -> Iterator[str]:
    way = test.way
    kit = (way.substitute or way.test).kit
    if kit:
        yield _("Kit: {kit}").format(kit=", ".join(kit))
    if way.kit_missing:
        yield _("Missing: {kit}").format(kit=", ".join(way.kit_missing))
    if way.substitute is not None and test.choice.ways[0].kit_missing:
        yield _("The test itself needs: {kit}").format(kit=", ".join(test.choice.ways[0].kit_missing))
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
    known = caution_ids()
    for name in (way.substitute or way.test).cautions:
        yield _("Caution: {text}").format(text=caution(name) if name in known else name)


def _guard(advice: Advice, names: MapNames, currency: str) -> Iterator[str]:
    for judged in advice.guard:
        if judged.warnings:
            yield ""
            stage = term("stage", judged.stage).lower()
            yield _("Swap guard: {part} ({stage})").format(part=judged.part, stage=stage)
            for warning in judged.warnings:
                yield f"  {weight_name(warning.weight)}: {guard_text(judged, warning, names, currency)}"


def _costs(advice: Advice, names: MapNames, currency: str) -> Iterator[str]:
    costs = advice.ranking.costs
    if costs.fit_now is None:
        return
    yield ""
    yield _("Expected cost of the repair")
    yield "  " + _("Repair {section} now: {cost}").format(
        section=names.section(costs.section), cost=money(costs.fit_now, currency)
    )
    if costs.test_first is not None:
        yield "  " + _("Test first ({test}): {cost}").format(
            test=names.test(costs.test), cost=money(costs.test_first, currency)
        )


def _ignored(item: Ignored, names: MapNames) -> str:
    detail = f" ({item.detail})" if item.detail and item.reason in ("unable", "unclear", "outcome_unknown") else ""
    return f"{item.entry} {names.test(item.name)}: {_(_REASONS[item.reason])}{detail}"
