"""One case as lines of text for a terminal."""

from collections.abc import Iterator

from kbapp.app.views import CaseView
from kbapp.i18n import _
from kbapp.records.case import Case
from kbapp.records.timeline import PartEntry, Reading, TestEntry, TimelineEntry
from kbapp.wording.case_words import vehicle_words
from kbapp.wording.cautions import caution, cautions_for_system
from kbapp.wording.terms import term


def readings_line(readings: tuple[Reading, ...]) -> str:
    """Returns readings grouped by place: ``inlet 104, 105 degC; outlet 41, 43 degC``."""
    places: dict[tuple[str, str], list[str]] = {}
    for reading in readings:
        value = f"{reading.value:g}" if isinstance(reading.value, float) else str(reading.value)
        places.setdefault((reading.where, reading.unit), []).append(value)
    return "; ".join(" ".join(filter(None, (where, ", ".join(v), unit))) for (where, unit), v in places.items())


def entry_line(entry: TimelineEntry) -> str:
    """Returns one line of the timeline."""
    if isinstance(entry, PartEntry):
        head = " ".join(filter(None, (entry.part, entry.position)))
        details = (
            term("stage", entry.stage),
            term("purpose", entry.purpose),
            term("effect", entry.effect or "not_checked"),
        )
        return f"{head}: {', '.join(details)}" + (f". {entry.found}" if entry.found else "")
    if isinstance(entry, TestEntry):
        outcome = entry.outcome if entry.status == "done" else term("test_status", entry.status)
        return ". ".join(
            filter(None, (f"{entry.test}: {outcome}", readings_line(entry.readings), entry.why, entry.text))
        )
    return entry.text


def _timeline(case: Case) -> Iterator[str]:
    if case.timeline:
        yield _("Timeline")
    for n, entry in enumerate(case.timeline, 1):
        reported = _(" (reported)") if entry.source == "reported" else ""
        yield f"  {n:>2}  {(entry.at or '')[:10]:<10}  {term('kind', entry.kind)}{reported}: {entry_line(entry)}"


def _pair(label: str, text: str) -> Iterator[str]:
    if text:
        yield f"{label}: {text}"


def case_lines(view: CaseView) -> Iterator[str]:
    """Yields the case as lines, cautions included."""
    case = view.case
    state = term("state", case.state)
    if case.state == "proved" and not view.signed_here:
        state = _("{state} (signed elsewhere)").format(state=state)
    yield f"{case.number or case.id}  {state}"
    yield from _pair(_("Concern"), case.concern.text)
    yield from _pair(_("System"), term("system", case.concern.system) if case.concern.system else "")
    yield from _pair(_("Symptoms"), ", ".join(case.concern.symptoms))
    yield from _pair(_("Vehicle"), vehicle_words(case.vehicle))
    yield from _pair(_("Codes"), ", ".join(" ".join(filter(None, (c.code, c.status, c.module))) for c in case.codes))
    yield from _timeline(case)
    yield from _pair(_("Cause"), case.cause.text if case.cause else "")
    yield from _pair(_("Correction"), case.correction.text if case.correction else "")
    for retest in case.retest:
        outcome = ". ".join(filter(None, (retest.test, retest.outcome, readings_line(retest.readings), retest.text)))
        yield from _pair(_("Retest"), outcome)
    yield from _pair(_("Lesson"), case.lesson)
    yield from _pair(_("Notes"), case.notes)
    if case.sign_off:
        yield from _pair(_("Signed"), " ".join(filter(None, (case.sign_off.by, (case.sign_off.at or "")[:10]))))
    for name in cautions_for_system(case.concern.system) if case.concern.system else ():
        yield from _pair(_("Caution"), caution(name))
