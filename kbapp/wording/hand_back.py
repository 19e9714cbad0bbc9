"""The words of the Hand-Back Sheet: headed blocks made from its facts; how they look is settled elsewhere."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from kbapp.app.sheet import SheetFacts
from kbapp.i18n import _
from kbapp.isolation.retest import Place, RetestComparison
from kbapp.records.case import Case
from kbapp.records.timeline import PartEntry, TestEntry, TimelineEntry
from kbapp.wording.case_words import (
    entry_details,
    entry_title,
    moment_words,
    money_words,
    plain_words,
    readings_words,
    vehicle_words,
)
from kbapp.wording.cautions import caution, cautions_for_system
from kbapp.wording.map_names import MapNames
from kbapp.wording.proof_words import (
    flags,
    follow_up_words,
    missing_words,
    moved_words,
    values_words,
)
from kbapp.wording.terms import term

Look = Literal["plain", "points", "boxed", "lines"]


@dataclass(frozen=True, slots=True)
class Pair:
    """A label and what stands beside it."""

    label: str
    words: str


@dataclass(frozen=True, slots=True)
class Compared:
    """One place before and after: words, by how much the mean moved, and the numbers for the plot on ``scale``."""

    name: str
    before: str
    after: str
    moved: str
    place: Place
    scale: tuple[float, float] | None


@dataclass(frozen=True, slots=True)
class Block:
    """A heading with paragraphs, points, pairs or a comparison below it; ``boxed`` is framed."""

    heading: str
    look: Look = "plain"
    paragraphs: tuple[str, ...] = ()
    pairs: tuple[Pair, ...] = ()
    compared: tuple[Compared, ...] = ()


@dataclass(frozen=True, slots=True)
class SheetText:
    """The whole sheet. ``across`` stands across every page, blank where the repair is proved."""

    title: str
    subtitle: str
    across: str
    status: str
    pairs: tuple[Pair, ...]
    blocks: tuple[Block, ...]
    foot: str


def sheet_text(facts: SheetFacts) -> SheetText:
    """Returns the sheet in words."""
    case = facts.case
    customer = facts.audience == "customer"
    number = case.number or case.id[:8]
    return SheetText(
        title=_("Hand-back sheet") if customer else _("Hand-back sheet, shop's copy"),
        subtitle=" · ".join(filter(None, (facts.shop, _("case {number}").format(number=number)))),
        across="" if facts.proved else _("Interim").upper(),
        status=_status(facts),
        pairs=tuple(_head(facts)),
        blocks=tuple(_blocks(facts)),
        foot=_("{shop} · case {number}, revision {n}").format(
            shop=facts.shop or _("The shop"), number=number, n=facts.revision
        ),
    )


def _status(facts: SheetFacts) -> str:
    case, sign = facts.case, facts.case.sign_off
    if facts.proved and sign is not None:
        who = ", ".join(filter(None, (sign.by, _("own work") if sign.own_work else "", moment_words(sign.at))))
        words = _(
            "Proved: the cause was found, the same test was repeated after the repair, and a lead signed ({who})."
        )
        return words.format(who=who)
    if facts.proved:
        return _("Proved: the cause was found and the same test was repeated after the repair.")
    said = {
        "open": _("Interim: the fault is not repaired yet."),
        "came_back": _("Interim: the vehicle came back after this repair."),
        "withdrawn": _("Withdrawn: this record no longer stands."),
    }.get(case.state, _("Interim: repaired, but not proved."))
    why = missing_words(facts.missing) if case.state == "repaired" and facts.missing is not None else ""
    return _("{status} {why}.").format(status=said, why=why) if why else said


def _head(facts: SheetFacts) -> Iterator[Pair]:
    case, private = facts.case, facts.private
    known = (
        (_("Customer"), private.customer),
        (_("Plate"), private.plate),
        (_("Order"), private.order_number),
        (_("Vehicle"), vehicle_words(case.vehicle)),
        (_("Came in"), moment_words(case.opened)),
        (_("Codes read"), ", ".join(" ".join(filter(None, (c.code, c.status, c.module))) for c in case.codes)),
    )
    yield from (Pair(label, words) for label, words in known if words)


def _blocks(facts: SheetFacts) -> Iterator[Block]:
    case = facts.case
    yield Block(
        _("What you told us") if facts.audience == "customer" else _("Concern"), paragraphs=(case.concern.text,)
    )
    yield _found(facts)
    if case.correction is not None:
        parts = [_part(part.part, part.position, part.number) for part in case.correction.parts]
        lines = [text for text in (case.correction.text, *case.correction.services) if text]
        listed = (_("Parts: {parts}").format(parts="; ".join(parts)),) if parts else ()
        yield Block(_("What was done"), paragraphs=(*lines, *listed))
    yield from _compared(facts)
    yield _not_tested(facts)
    if facts.audience == "shop":
        yield from _for_the_shop(facts)
    yield from _cautions(case)
    yield _come_back(facts)


def _part(part: str, position: str, number: str = "") -> str:
    return " ".join(filter(None, (plain_words(part), term("position", position), number)))


def _found(facts: SheetFacts) -> Block:
    case = facts.case
    heading = _("What is proved") if facts.proved else _("What is known so far, not proved")
    lines: list[str] = []
    if case.cause is not None:
        where = _part(case.cause.part, case.cause.position) if case.cause.part else ""
        lines.append(
            case.cause.text if not where else _("{cause} ({where})").format(cause=case.cause.text, where=where)
        )
        if not case.cause.separated:
            lines.append(_("Several things were changed at once: which of them cured it cannot be told."))
    elif facts.conclusion is not None:
        said = _("{text} ({who})")
        who = ", ".join(filter(None, (facts.conclusion.by, moment_words(facts.conclusion.at))))
        lines.append(said.format(text=facts.conclusion.text, who=who) if who else facts.conclusion.text)
    else:
        lines.append(_("No cause is found yet."))
    if facts.audience == "shop":
        lines += [_("Found on the removed part: {found}").format(found=e.found) for e in _parts(case) if e.found]
    return Block(heading, paragraphs=tuple(lines))


def _parts(case: Case) -> list[PartEntry]:
    return [entry for entry in case.timeline if isinstance(entry, PartEntry) and entry.stage == "fitted"]


def _compared(facts: SheetFacts) -> Iterator[Block]:
    separated = facts.case.cause is None or facts.case.cause.separated
    for found in facts.comparisons:
        retest, baseline = found.retest, found.baseline
        test = baseline.test if baseline is not None else retest.test
        named = MapNames(facts.section_map).test(test) if facts.section_map is not None else test
        result = term("retest_result", retest.result).lower() if retest.result else _("no result")
        heading = _("Before and after: {test}, {result}").format(test=plain_words(named) or _("retest"), result=result)
        told = tuple(flags(found, separated=separated))
        words = tuple(filter(None, (_outcomes(facts, found), retest.text, *told)))
        yield Block(heading, "lines", words, compared=_places(found))


def _outcomes(facts: SheetFacts, found: RetestComparison) -> str:
    def name(outcome: str) -> str:
        if facts.section_map is not None and found.baseline is not None:
            outcome = MapNames(facts.section_map).outcome(found.baseline.test, outcome)
        return plain_words(outcome)

    before, after = found.baseline.outcome if found.baseline is not None else "", found.retest.outcome
    if before and after:
        return _("Before: {before}. After: {after}.").format(before=name(before), after=name(after))
    return name(before or after)


def _places(found: RetestComparison) -> tuple[Compared, ...]:
    scales: dict[str, list[float]] = {}
    for place in found.places:
        numbers = [value for value in (*place.before, *place.after) if not isinstance(value, str)]
        scales.setdefault(place.unit, []).extend(numbers)
    return tuple(
        Compared(
            plain_words(place.where) or _("Reading"), values_words(place.before, place.unit),
            values_words(place.after, place.unit), moved_words(place), place,
            (min(scales[place.unit]), max(scales[place.unit])) if scales[place.unit] else None,
        )
        for place in found.places
    )  # fmt: skip


def _not_tested(facts: SheetFacts) -> Block:
    lines = [_("Not looked at: {what}").format(what="; ".join(facts.untested))] if facts.untested else []
    unable = [e for e in facts.case.timeline if isinstance(e, TestEntry) and e.status == "unable" and e.source == "own"]
    lines += [
        _("Could not be run: {test}").format(test=plain_words(e.test)) + (f" ({e.why})" if e.why else "")
        for e in unable
    ]
    if facts.section_map is None:
        lines.append(_("Only what stands on this sheet was tested; the rest of the system was not."))
    elif not lines:
        lines.append(_("Every section of the plan was looked at; other systems were not."))
    return Block(_("What was not tested"), "points", tuple(lines))


def _for_the_shop(facts: SheetFacts) -> Iterator[Block]:
    case = facts.case
    if case.timeline:
        yield Block(_("Timeline"), "lines", pairs=tuple(_line(n, entry) for n, entry in enumerate(case.timeline, 1)))
    against = [entry for entry in _parts(case) if entry.override is not None]
    if against:
        said = _("{part}: {who}, {reason}")
        yield Block(_("Fitted against the guard"), "points", tuple(
            said.format(part=_part(e.part, e.position), who=e.override.by, reason=e.override.reason)
            for e in against if e.override is not None
        ))  # fmt: skip
    costs: dict[str, float] = {}
    for entry in _parts(case):
        if entry.cost is not None:
            costs[entry.cost.currency] = costs.get(entry.cost.currency, 0.0) + entry.cost.value
    if costs:
        yield Block(_("Parts fitted, in all"), paragraphs=("; ".join(f"{v:,.2f} {c}" for c, v in costs.items()),))
    if case.lesson:
        yield Block(_("Lesson"), paragraphs=(case.lesson,))


def _line(number: int, entry: TimelineEntry) -> Pair:
    words = [entry_title(entry)]
    if isinstance(entry, TestEntry):
        outcome = plain_words(entry.outcome) if entry.status == "done" else term("test_status", entry.status)
        words += [outcome, readings_words(entry.readings)]
    if isinstance(entry, PartEntry):
        words += [term("effect", entry.effect) if entry.effect else "", money_words(entry.cost)]
    words += [entry_details(entry) if not isinstance(entry, PartEntry) else "", entry.by, moment_words(entry.at)]
    return Pair(str(number), ". ".join(word.rstrip(".") for word in words if word))


def _cautions(case: Case) -> Iterator[Block]:
    names = cautions_for_system(case.concern.system) if case.concern.system else ()
    if names:
        yield Block(_("Cautions for whoever works on it"), "points", tuple(caution(name) for name in names))


def _come_back(facts: SheetFacts) -> Block:
    case = facts.case
    lines = [_("what you told us comes back, even once")]
    if case.concern.system in ("brakes_hydraulic", "abs_stability", "steering_suspension"):
        lines.insert(0, _("pedal, steering or brakes feel different in any way: stop, and do not drive on"))
    lines.append(_("a warning lamp comes on, or you see, smell or hear something new"))
    if not facts.proved:
        lines.append(_("at the latest when we call you: the fault is not proved to be gone"))
    asked = [follow_up_words(one) for one in facts.asked_after]
    lines += [_("we ask again: {when}").format(when=when[:1].lower() + when[1:]) for when in asked]
    return Block(_("Come back if"), "points", tuple(lines))
