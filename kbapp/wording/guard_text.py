"""What the swap guard says, in words: the part, the evidence with its time, what is untested, and a cheaper way on."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from kbapp.i18n import N_, _, ngettext
from kbapp.wording.map_names import MapNames, minutes, money, percent

if TYPE_CHECKING:
    from kbapp.isolation.guard_warning import GuardWarning, Judgement

WEIGHT_NAMES: Final[Mapping[str, str]] = MappingProxyType({
    "strong": N_("Strong warning"),
    "before_another": N_("Before adding another"),
    "warning": N_("Warning"),
    "caution": N_("Caution"),
    "repeat_test": N_("Repeat the test"),
    "note": N_("Note"),
    "information": N_("Information"),
})  # fmt: skip

_NEEDS: Final[Mapping[str, str]] = MappingProxyType({
    "reference": N_("the reference of the recall or campaign"),
    "limit": N_("the measured value, its unit, the limit and where the limit comes from"),
    "trigger": N_("the line of the other side that makes the set necessary"),
})  # fmt: skip

_BASE: Final[Mapping[str, str]] = MappingProxyType({"failed": N_("failed"), "untested": N_("not tested")})  # fmt: skip


def part_name(judgement: Judgement) -> str:
    """Returns the part with its position."""
    return " ".join(filter(None, (judgement.part, judgement.position)))


def weight_name(weight: str) -> str:
    """Returns the word for a warning's weight."""
    return _(WEIGHT_NAMES[weight])


def guard_text(judgement: Judgement, warning: GuardWarning, names: MapNames, currency: str = "") -> str:
    """Returns one warning as a few sentences: what speaks, then what could be done instead."""
    said = guard_said(judgement, warning, names)
    return " ".join(filter(None, (said, way_out(judgement, names, currency) if _has_way_out(warning) else "")))


def guard_said(judgement: Judgement, warning: GuardWarning, names: MapNames) -> str:
    """Returns what one warning says, without the way out."""
    return _SAYS[warning.rule](judgement, warning, names)


def way_out(judgement: Judgement, names: MapNames, currency: str = "") -> str:
    """Returns the cheaper way on: the next test with its minutes, and the two expected costs where they are known."""
    parts = []
    if judgement.next_test and judgement.next_minutes is not None:
        parts.append(
            _("Next test: {test}, {minutes}.").format(
                test=names.test(judgement.next_test), minutes=minutes(judgement.next_minutes)
            )
        )
    if judgement.fit_now is not None and judgement.test_first is not None:
        parts.append(
            _("Expected cost: fit now {now}, test first {first}.").format(
                now=money(judgement.fit_now, currency), first=money(judgement.test_first, currency)
            )
        )
    return " ".join(parts)


def _has_way_out(warning: GuardWarning) -> bool:
    return warning.rule in ("unsupported", "contradicted", "repeat", "unchanged", "coverage")


def _share(judgement: Judgement) -> str:
    return percent(judgement.share) if judgement.share is not None else _("unknown")


def _unsupported(judgement: Judgement, warning: GuardWarning, names: MapNames) -> str:
    said = _("{part}: no isolating result points to {sections} (share {share}).").format(
        part=part_name(judgement), sections=names.sections(warning.sections), share=_share(judgement)
    )
    if warning.reason_required:
        said += " " + _("It is costly, not returnable or needs programming: give a reason to fit it.")
    return said


def _contradicted(judgement: Judgement, warning: GuardWarning, names: MapNames) -> str:
    results = "; ".join(_seen(seen.test, seen.outcome, seen.at, names) for seen in judgement.against)
    return _("{part}: {sections} has a share of {share}, and a strong result speaks against it: {results}.").format(
        part=part_name(judgement), sections=names.sections(warning.sections), share=_share(judgement), results=results
    )


def _seen(test: str, outcome: str, at: str, names: MapNames) -> str:
    said = f"{names.test(test)}: {names.outcome(test, outcome)}"
    return f"{said} ({at.replace('T', ' ')[:16]})" if at else said


def _repeat(judgement: Judgement, warning: GuardWarning, names: MapNames) -> str:
    del names
    when = f"{warning.earlier}, {warning.earlier_at[:10]}" if warning.earlier_at else warning.earlier
    return _(
        "{part}: the same part was fitted in the same place for this concern before ({earlier}), and nothing says that "
        "one was faulty."
    ).format(part=part_name(judgement), earlier=when)


def _unchanged(judgement: Judgement, warning: GuardWarning, names: MapNames) -> str:
    del names
    return _(
        "{part}: the last part fitted to find the fault ({earlier}) changed nothing, "
        "and no test has told anything since."
    ).format(part=part_name(judgement), earlier=warning.earlier)


def _no_retest(judgement: Judgement, warning: GuardWarning, names: MapNames) -> str:
    del names
    return _(
        "{part}: before adding another part, write down what the last one ({earlier}) changed. Run the same test again."
    ).format(part=part_name(judgement), earlier=warning.earlier)


def _rarely(judgement: Judgement, warning: GuardWarning, names: MapNames) -> str:
    del names
    record = warning.record
    if record is None:
        return ""
    n = record.interval.of
    counted = ngettext("{cured} of {n} proved case", "{cured} of {n} proved cases", n).format(
        cured=record.interval.successes, n=n
    )
    where = _("of this family") if record.scope == "family" else _("of this system, all families")
    return _(
        "{part}: fitted for this concern, it cured {counted} {where} (at most {upper} with 95 % confidence)."
    ).format(part=part_name(judgement), counted=counted, where=where, upper=percent(record.interval.high))


def _coverage(judgement: Judgement, warning: GuardWarning, names: MapNames) -> str:
    return _("{part}: not tested yet and still possible: {sections}.").format(
        part=part_name(judgement), sections=names.sections(warning.sections)
    )


def _base_unmet(judgement: Judgement, warning: GuardWarning, names: MapNames) -> str:
    base = "; ".join(f"{names.section(section)}: {_(_BASE[state])}" for section, state in warning.base)
    return _("{part}: base first. Prove these good before it: {base}.").format(part=part_name(judgement), base=base)


def _conflict(judgement: Judgement, warning: GuardWarning, names: MapNames) -> str:
    said = _("{part}: no single section explains these results. Repeat {test} before fitting anything.")
    if warning.minutes is None:
        return said.format(part=part_name(judgement), test=names.test(warning.test))
    test = f"{names.test(warning.test)} ({minutes(warning.minutes)})"
    return said.format(part=part_name(judgement), test=test)


def _cannot_judge(judgement: Judgement, warning: GuardWarning, names: MapNames) -> str:
    del warning, names
    return _("{part}: cannot judge it, no section of the map names it. Link this part to a section.").format(
        part=part_name(judgement)
    )


def _no_map(judgement: Judgement, warning: GuardWarning, names: MapNames) -> str:
    del warning, names
    return _("{part}: cannot judge it by evidence, the case has no section map. Choose one.").format(
        part=part_name(judgement)
    )


def _exemption_incomplete(judgement: Judgement, warning: GuardWarning, names: MapNames) -> str:
    del names
    return _("{part}: to lift the guard from this line, add {needs}.").format(
        part=part_name(judgement), needs=_(_NEEDS[warning.needs])
    )


_SAYS: Final[Mapping[str, Callable[[Judgement, GuardWarning, MapNames], str]]] = MappingProxyType({
    "unsupported": _unsupported,
    "contradicted": _contradicted,
    "repeat": _repeat,
    "unchanged": _unchanged,
    "no_retest": _no_retest,
    "rarely_the_cause": _rarely,
    "coverage": _coverage,
    "base_unmet": _base_unmet,
    "conflict": _conflict,
    "cannot_judge": _cannot_judge,
    "no_map": _no_map,
    "exemption_incomplete": _exemption_incomplete,
})  # fmt: skip
