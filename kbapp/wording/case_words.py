"""What stands in a case, in words: moments, vehicles, readings, money, and each line of a timeline."""

from collections.abc import Iterator
from typing import Final

from kbapp.i18n import N_, _
from kbapp.records.case import Case, Retest, Vehicle
from kbapp.records.moment import is_instant
from kbapp.records.timeline import (
    FindingEntry,
    Money,
    PartEntry,
    Reading,
    ServiceEntry,
    TestEntry,
    TimelineEntry,
)
from kbapp.wording.terms import term

_MONTHS: Final = (
    N_("Jan"), N_("Feb"), N_("Mar"), N_("Apr"), N_("May"), N_("Jun"),
    N_("Jul"), N_("Aug"), N_("Sep"), N_("Oct"), N_("Nov"), N_("Dec"),
)  # fmt: skip
_UNITS: Final = {"degC": "°C", "degF": "°F", "ohm": "Ω", "kohm": "kΩ", "Mohm": "MΩ", "percent": "%", "deg": "°"}


def moment_words(moment: str | None) -> str:
    """Returns a moment as far as it is known: ``Jul 2025``, ``11 Jul 2025`` or ``11 Jul 2025, 16:10`` (where it was noted)."""
    if not moment:
        return ""
    month = _(_MONTHS[int(moment[5:7]) - 1])
    if len(moment) == 7:
        return _("{month} {year}").format(month=month, year=moment[:4])
    day = _("{day} {month} {year}").format(day=int(moment[8:10]), month=month, year=moment[:4])
    return _("{day}, {time}").format(day=day, time=moment[11:16]) if is_instant(moment) else day


def plain_words(name: str) -> str:
    """Returns an id or a name as words: ``radiator_spread`` as ``Radiator spread``."""
    words = " ".join(name.replace("_", " ").split())
    return words[:1].upper() + words[1:]


def vehicle_words(vehicle: Vehicle | None) -> str:
    """Returns the vehicle in one line, as far as it is known."""
    if vehicle is None:
        return ""
    names = " ".join(filter(None, (vehicle.make, vehicle.family, vehicle.generation, vehicle.engine)))
    year = str(vehicle.model_year) if vehicle.model_year else ""
    driven = f"{vehicle.odometer.value:,.0f} {vehicle.odometer.unit}" if vehicle.odometer else ""
    return ", ".join(filter(None, (names, year, driven)))


def money_words(money: Money | None) -> str:
    """Returns an amount with its currency."""
    if money is None:
        return ""
    amount = f"{money.value:,.0f}" if money.value == round(money.value) else f"{money.value:,.2f}"
    return _("{amount} {currency}").format(amount=amount, currency=money.currency)


def unit_words(unit: str) -> str:
    """Returns a unit as it is written (``°C`` for ``degC``)."""
    return _UNITS.get(unit, unit)


def readings_words(readings: tuple[Reading, ...]) -> str:
    """Returns readings by place, repeats side by side: ``inlet 104 105 · outlet 41 43 °C``."""
    places: dict[tuple[str, str], list[str]] = {}
    for reading in readings:
        value = f"{reading.value:g}" if isinstance(reading.value, float) else reading.value
        places.setdefault((reading.where, _UNITS.get(reading.unit, reading.unit)), []).append(value)
    units = [unit for _place, unit in places]
    parts = []
    for n, ((where, unit), values) in enumerate(places.items()):
        shown = unit if n + 1 == len(units) or units[n + 1] != unit else ""
        *first, last = values
        measured = "\u00a0".join(filter(None, (last, shown)))  # a unit never stands alone on a line
        parts.append(" ".join(filter(None, (where, *first, measured))))
    return " · ".join(parts)


def entry_title(entry: TimelineEntry) -> str:
    """Returns what a line of the timeline is about; for findings and notes that is all they say."""
    if isinstance(entry, PartEntry):
        part = ", ".join(filter(None, (plain_words(entry.part), term("position", entry.position))))
        return _("{part}: {stage}").format(part=part, stage=term("stage", entry.stage).lower())
    if isinstance(entry, TestEntry):
        return plain_words(entry.test)
    return entry.text or term("kind", entry.kind)


def entry_details(entry: TimelineEntry) -> str:
    """Returns the rest of a line in running words, without readings and outcome."""
    if isinstance(entry, PartEntry):
        return _sentences(_part_facts(entry))
    if isinstance(entry, TestEntry):
        return _sentences(_test_facts(entry))
    if isinstance(entry, FindingEntry) and entry.sections:
        return _("Sections: {names}").format(names=", ".join(plain_words(name) for name in entry.sections))
    return term("kind", entry.kind) if isinstance(entry, ServiceEntry) else ""


def _part_facts(entry: PartEntry) -> Iterator[str]:
    minutes = _("{n} min").format(n=f"{entry.labour_minutes:g}") if entry.labour_minutes else ""
    yield ", ".join(filter(None, (money_words(entry.cost), minutes, term("purpose", entry.purpose).lower())))
    if entry.exemption and entry.exemption.reference:
        yield _("Reference: {reference}").format(reference=entry.exemption.reference)
    if entry.reason:
        yield _("Why: {reason}").format(reason=entry.reason)
    if entry.found:
        yield _("Found on it: {found}").format(found=entry.found)
    if entry.override:
        yield _("Fitted against the guard by {who}: {reason}").format(
            who=entry.override.by, reason=entry.override.reason
        )
    yield entry.text


def _test_facts(entry: TestEntry) -> Iterator[str]:
    if entry.isolates:
        yield _("Splits: {what}").format(what=entry.isolates)
    if entry.substitute:
        yield _("Substitute used: {what}").format(what=entry.substitute)
    missed = [item.text or plain_words(item.id) for item in entry.conditions if item.met is False]
    if missed:
        yield _("Not met: {conditions}").format(conditions=", ".join(missed))
    yield entry.why
    yield entry.text


def retest_title(case: Case, retest: Retest) -> str:
    """Returns what a retest is called, with the line it repeats."""
    name = plain_words(retest.test) if retest.test else ""
    lines = {entry.id: n for n, entry in enumerate(case.timeline, 1)}
    if retest.repeats in lines:
        return _("Retest: {test}, as line {n}").format(test=name or _("the same test"), n=lines[retest.repeats])
    return _("Retest: {test}").format(test=name) if name else _("Retest")


def retest_details(retest: Retest) -> str:
    """Returns the rest of a retest in running words."""
    missed = [item.text or plain_words(item.id) for item in retest.conditions if item.met is False]
    return _sentences((
        _("Other conditions than before") if retest.same_conditions is False else "",
        _("Not met: {conditions}").format(conditions=", ".join(missed)) if missed else "",
        retest.text,
    ))  # fmt: skip


def signed_words(case: Case, *, signed_here: bool) -> str:
    """Returns who signed and when; said plainly when that was another shop."""
    sign = case.sign_off
    if sign is None:
        return ""
    who = ", ".join(filter(None, (sign.by, sign.role, moment_words(sign.at))))
    if signed_here or case.state != "proved":
        return who
    shop = case.shop.name if case.shop else ""
    words = _("Signed elsewhere, not by this shop's lead: {who}").format(who=", ".join(filter(None, (who, shop))))
    return _("{words}. Not counted in your numbers.").format(words=words)


def _sentences(parts: tuple[str, ...] | Iterator[str]) -> str:
    out = ""
    for part in filter(None, parts):
        if out:
            out += " " if out.endswith((".", "!", "?", ":")) else ". "
        out += part[:1].upper() + part[1:]
    return out
