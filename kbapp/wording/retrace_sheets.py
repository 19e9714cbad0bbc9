"""A retraced case and a played lesson as sheets: what was known, advised and done, and what either takes."""

from collections.abc import Iterator
from typing import Final

from kbapp.i18n import N_, _, ngettext
from kbapp.isolation.following import AdvisedStep, Expectation
from kbapp.isolation.lesson import Lesson, Move
from kbapp.isolation.replay import Effort
from kbapp.isolation.retrace import Retrace, RetracedLine
from kbapp.records.section_map import NOT_ON_MAP
from kbapp.records.timeline import TestEntry
from kbapp.wording import ledger_cells as cell
from kbapp.wording.case_words import entry_title
from kbapp.wording.map_names import MapNames, minutes, money, percent
from kbapp.wording.sheet import Cell, Column, Sheet
from kbapp.wording.terms import term

TOP: Final = 3
"""How many sections of what was known are written out."""
_SOURCES: Final = {
    "record": N_("as recorded"),
    "map": N_("not in the record: the likeliest with this fault"),
    "unknown": N_("not in the record"),
}


def known_words(known: tuple[tuple[str, float], ...], names: MapNames) -> str:
    """Returns the leading sections with their shares."""
    return ", ".join(f"{names.section(section)} {percent(share)}" for section, share in known[:TOP])


def effort_words(effort: Effort, currency: str) -> str:
    """Returns minutes, money and parts in vain."""
    vain = ngettext("{n} part in vain", "{n} parts in vain", effort.parts_in_vain).format(n=effort.parts_in_vain)
    return ", ".join((minutes(round(effort.minutes)), money(effort.cost, currency), vain))


def expectation_words(found: Expectation, names: MapNames, currency: str) -> Iterator[str]:
    """Yields what following the advice is expected to take, and what that assumes."""
    yield _("Following the advice is expected to take {minutes}, {money}, {parts} parts in vain.").format(
        minutes=minutes(round(found.minutes)), money=money(found.cost, currency), parts=f"{found.parts_in_vain:.1f}"
    )
    if found.assumed:
        tests = "; ".join(map(names.test, found.assumed))
        yield _("Assumed: {tests} would have come out as often as the map says with this fault.").format(tests=tests)
    yield _(
        "Also assumed: tests take the map's minutes, recorded outcomes stand, repairing the right section cures, and "
        "labour costs what the settings say."
    )
    if found.not_followed >= 0.005:
        yield _("Courses with a chance of {chance} in all were too unlikely to follow.").format(
            chance=percent(found.not_followed)
        )


def advised_words(step: AdvisedStep | None, names: MapNames) -> str:
    """Returns the step advised at one moment."""
    if step is None:
        return _("nothing was left")
    if step.kind == "repair":
        return _("repair: {section}").format(section=names.section(step.name))
    return _("test: {test}, {minutes}").format(test=names.test(step.name), minutes=minutes(step.minutes))


def retrace_sheet(found: Retrace, currency: str) -> Sheet:
    """Returns a closed case line by line."""
    names = MapNames(found.section_map)
    notes = [_("Done: {effort}.").format(effort=effort_words(found.done, currency))]
    if found.expected is not None:
        notes += expectation_words(found.expected, names, currency)
    else:
        notes.append(_("The cause lies in no section of this map: what following the advice takes cannot be told."))
    return Sheet(
        key="retrace",
        title=_("{case}, line by line").format(case=found.case.number or found.case.id),
        about=_("Before the repair the evidence pointed to: {known}. The cause was found in: {truth}.").format(
            known=known_words(found.last, names), truth=names.section(found.truth) if found.truth else _("unknown")
        ),
        notes=tuple(notes),
        columns=(
            Column("line", _("Line"), figures=True),
            Column("known", _("Known before")),
            Column("advised", _("Advised then")),
            Column("done", _("Done")),
            Column("followed", _("As advised")),
            Column("minutes", _("Minutes"), figures=True),
            Column("cost", _("Cost, {currency}").format(currency=currency), figures=True),
        ),
        rows=tuple(_retraced(line, names) for line in found.lines),
        empty=_("Nothing was tested or fitted before the repair."),
    )


def _retraced(line: RetracedLine, names: MapNames) -> tuple[Cell, ...]:
    return (
        cell.count(line.line),
        cell.words(known_words(line.known, names)),
        cell.words(advised_words(line.advised, names)),
        cell.words(_done(line, names)),
        cell.yes_no(line.followed),
        cell.number(line.took.minutes),
        cell.number(line.took.cost),
    )


def _done(line: RetracedLine, names: MapNames) -> str:
    entry = line.entry
    if isinstance(entry, TestEntry):
        outcome = names.outcome(entry.test, entry.outcome) if entry.status == "done" else ""
        return f"{names.test(entry.test)}: {outcome or term('test_status', entry.status).lower()}"
    return ", ".join(filter(None, (entry_title(entry), term("effect", entry.effect).lower() if entry.effect else "")))


def move_words(lesson: Lesson, move: Move) -> tuple[str, str]:
    """Returns what a learner chose, and what came of it with where that is known from."""
    source = _(_SOURCES[move.source])
    if move.offer == NOT_ON_MAP:
        said = _("That is right.") if move.cured else _("It is on the map.")
        return _("“The fault is not on this map”"), said
    if move.kind == "part":
        outcome = _("the concern is gone") if move.cured else _("nothing changed")
        return _("Fitted: {part}").format(part=move.name), f"{outcome} ({source})"
    if lesson.model is not None:
        outcome = MapNames(lesson.model.section_map).outcome(move.offer, move.outcome)
    else:
        outcome = move.outcome
    return move.name, f"{outcome} ({source})"


def lesson_sheet(lesson: Lesson, currency: str) -> Sheet:
    """Returns the learner beside the record and the advice."""
    compared = lesson.compare()
    rows = [
        (cell.words(_("You")), *_efforts(compared.learner)),
        (cell.words(_("The record, from there on")), *_efforts(compared.record)),
    ]
    notes = [_("The record begins where you began: after what came in with the vehicle.")]
    if compared.advised is not None and lesson.model is not None:
        advised = compared.advised
        rows.append(
            (
                cell.words(_("The advice, as expected")),
                cell.number(advised.minutes),
                cell.number(advised.cost),
                cell.number(advised.parts_in_vain, 1),
            )
        )
        notes += list(expectation_words(advised, MapNames(lesson.model.section_map), currency))[1:]
    case = lesson.case
    return Sheet(
        key="lesson",
        title=_("{case}, compared").format(case=case.number or case.id),
        about=_("Cause: {cause}").format(cause=case.cause.text if case.cause is not None else ""),
        notes=tuple(filter(None, (_("Lesson: {text}").format(text=case.lesson) if case.lesson else "", *notes))),
        columns=(
            Column("who", _("Who")),
            Column("minutes", _("Minutes"), figures=True),
            Column("cost", _("Cost, {currency}").format(currency=currency), figures=True),
            Column("in_vain", _("Parts in vain"), figures=True),
        ),
        rows=tuple(rows),
    )


def _efforts(effort: Effort) -> tuple[Cell, ...]:
    return cell.number(effort.minutes), cell.number(effort.cost), cell.count(effort.parts_in_vain)
