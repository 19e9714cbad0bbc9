"""Retests: the baseline to repeat, the comparison while it is typed, and the record with what it says of the cause."""

from dataclasses import dataclass

from kbapp.app.desk import CaseDesk, view_of
from kbapp.app.typed_readings import typed_reading
from kbapp.app.views import CaseView, ChangeSet
from kbapp.errors import InputError
from kbapp.isolation.model import build
from kbapp.isolation.retest import (
    RetestComparison,
    baselines,
    compare_retest,
    comparisons,
    proposed_baseline,
)
from kbapp.records.base import clean_text
from kbapp.records.case import Case, Retest
from kbapp.records.moment import instant_now
from kbapp.records.number_text import read_number
from kbapp.records.section_map import SectionMap
from kbapp.records.timeline import ConditionMet, Reading, TestEntry


@dataclass(frozen=True, slots=True, eq=False)
class RetestPlan:
    """What can be repeated on a case: every baseline with its line (from 1), and the one that is proposed."""

    view: CaseView
    section_map: SectionMap | None
    baselines: tuple[tuple[int, TestEntry], ...]
    proposed: str
    done: tuple[RetestComparison, ...]


@dataclass(frozen=True, slots=True)
class TypedRetest:
    """A retest as it is typed: the line it repeats, the readings a place, what was met, outcome and result.

    ``one_job`` says that several changes belong together and are one change: the cause stays separated.
    """

    repeats: str
    readings: tuple[tuple[str, str], ...] = ()
    conditions: tuple[tuple[str, bool], ...] = ()
    outcome: str = ""
    result: str = ""
    same_conditions: bool | None = None
    text: str = ""
    by: str = ""
    one_job: bool = False


class Proving(CaseDesk):
    """The retests of cases of one open book."""

    def plan(self, case_id: str) -> RetestPlan:
        """Returns what can be repeated on a case."""
        view = view_of(self._book.case(case_id))
        case = view.case
        return RetestPlan(view, self._map(case), baselines(case), proposed_baseline(case), comparisons(case))

    def record(self, case_id: str, based_on: int, typed: TypedRetest) -> ChangeSet:
        """Records a retest; several changes before it mark the cause as not separated, unless they are one job.

        Raises:
            InputError: ``retest_without_baseline``, ``retest_without_result``, ``retest_while_open`` or
                ``retest_without_readings``: the baseline has readings and the retest none.
            StaleSave: others changed the same.
        """
        base = self._book.revision(case_id, based_on).case
        if base.state == "open":
            raise InputError("retest_while_open")
        retest = retest_of(base, typed, self._author)
        found = compare_retest(base, retest)
        new = base.model_copy(update={"retest": (*base.retest, retest)})
        # under a signature the cause is only corrected, with a reason
        several = not found.separated and not typed.one_job and new.state != "proved"
        if new.cause is not None and several:
            new = new.model_copy(update={"cause": new.cause.model_copy(update={"separated": False})})
        return self._save(new, based_on, "")


def retest_of(case: Case, typed: TypedRetest, author: str) -> Retest:
    """Returns the retest that is typed.

    Raises:
        InputError: ``retest_without_baseline``, ``retest_without_result`` or ``retest_without_readings``.
    """
    baseline = next((entry for _, entry in baselines(case) if entry.id == typed.repeats), None)
    if baseline is None:
        raise InputError("retest_without_baseline")
    if typed.result not in ("passed", "failed", "unclear"):
        raise InputError("retest_without_result")
    readings = tuple(reading for where, text in typed.readings for reading in _readings(baseline, where, text))
    if baseline.readings and not readings:
        raise InputError("retest_without_readings", places=", ".join(dict.fromkeys(r.where for r in baseline.readings)))
    said = {item.id: item.text for item in baseline.conditions}
    return Retest(
        id=_free_id(case),
        at=instant_now(),
        by=typed.by.strip() or author,
        test=baseline.test,
        repeats=baseline.id,
        outcome=clean_text(typed.outcome, lines=False),
        same_conditions=typed.same_conditions,
        conditions=tuple(ConditionMet(id=name, met=met, text=said.get(name, "")) for name, met in typed.conditions),
        readings=readings,
        result=typed.result,
        text=clean_text(typed.text),
    )


def preview(case: Case, typed: TypedRetest, author: str) -> RetestComparison | None:
    """Returns the comparison of what is typed so far, None while there is nothing to compare."""
    try:
        return compare_retest(case, retest_of(case, typed, author))
    except InputError:
        return None


def map_outcomes(section_map: SectionMap | None, case: Case, test: str) -> tuple[tuple[str, str], ...]:
    """Returns the outcomes (id, name) of a map's test; none for a test in free words."""
    if section_map is None:
        return ()
    known = build(section_map, case.concern.symptoms).find_test(test)
    return tuple((outcome.id, outcome.name) for outcome in known.outcomes) if known is not None else ()


def _readings(baseline: TestEntry, where: str, text: str) -> tuple[Reading, ...]:
    unit = next((reading.unit for reading in baseline.readings if reading.where == where), "")
    made = (typed_reading(piece, where, unit, n) for n, piece in enumerate(_pieces(text), 1))
    return tuple(reading for reading in made if reading is not None)


def _pieces(text: str) -> list[str]:
    """Returns the repeats in a field: set apart by semicolons, or plain numbers by spaces."""
    if ";" in text:
        return [piece.strip() for piece in text.split(";") if piece.strip()]
    words = text.split()
    return words if all(read_number(word) is not None for word in words) else [text.strip()]


def _free_id(case: Case) -> str:
    taken = {entry.id for entry in case.timeline} | {retest.id for retest in case.retest}
    n = len(case.retest) + 1
    while f"r{n}" in taken:
        n += 1
    return f"r{n}"
