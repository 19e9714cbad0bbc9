"""Recording a retest."""

from dataclasses import replace
from pathlib import Path

import pytest

from kbapp.app.proving import Proving, TypedRetest, preview
from kbapp.app.session import Session
from kbapp.errors import InputError
from tests.app.proof_cases import BASELINE, PUMP, book_with, repaired, revision
from tests.practice import OpenSession

TYPED = TypedRetest(
    repeats="e1", readings=(("inlet", "92 93"), ("outlet", "172 °F; 79")), conditions=(("warm_engine", True),),
    outcome="normal spread", result="passed", same_conditions=True, by="RA",
)  # fmt: skip
CASE = repaired(retest=[])
TWICE = repaired(
    retest=[], timeline=[BASELINE, PUMP, {"id": "e3", "kind": "service", "text": "coolant changed", "by": "IK"}]
)


@pytest.fixture
def session(open_session: OpenSession, tmp_path: Path) -> Session:
    return open_session(str(book_with(tmp_path / "book", CASE, TWICE)), follow=False)


@pytest.fixture
def proving(session: Session) -> Proving:
    return session.proving()


def test_the_same_test_again_with_its_readings(session: Session, proving: Proving) -> None:
    plan = proving.plan(CASE.id)
    assert [line for line, _entry in plan.baselines] == [1]
    assert plan.proposed == "e1"
    assert not plan.done
    proving.record(CASE.id, revision(session, CASE), TYPED)
    case = session.case(CASE.id).case
    (retest,) = case.retest
    assert (retest.by, retest.test, retest.repeats, retest.result) == ("RA", "radiator spread", "e1", "passed")
    values = [(r.where, r.value, r.unit, r.repeat) for r in retest.readings]
    assert values[:2] == [("inlet", 92.0, "degC", 1), ("inlet", 93.0, "degC", 2)]
    assert values[2][1] == pytest.approx(77.78, abs=0.01)
    assert values[3] == ("outlet", 79.0, "degC", 2)
    assert case.cause is not None
    assert case.cause.separated
    (found,) = proving.plan(CASE.id).done
    assert found.missing is None


def test_several_changes_mark_the_cause_unless_they_are_one_job(session: Session, proving: Proving) -> None:
    seen = revision(session, TWICE)
    proving.record(TWICE.id, seen, TYPED)
    cause = session.case(TWICE.id).case.cause
    assert cause is not None
    assert not cause.separated
    other = repaired(retest=[], timeline=list(TWICE.plain()["timeline"]))
    session.save(other, None)
    proving.record(other.id, revision(session, other), replace(TYPED, one_job=True))
    kept = session.case(other.id).case.cause
    assert kept is not None
    assert kept.separated


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        (replace(TYPED, repeats=""), "retest_without_baseline"),
        (replace(TYPED, repeats="e2"), "retest_without_baseline"),
        (replace(TYPED, result=""), "retest_without_result"),
        (replace(TYPED, readings=(("inlet", "  "),)), "retest_without_readings"),
    ],
)
def test_what_is_missing_is_said(session: Session, proving: Proving, typed: TypedRetest, code: str) -> None:
    with pytest.raises(InputError) as refused:
        proving.record(CASE.id, revision(session, CASE), typed)
    assert refused.value.code == code
    assert preview(CASE, typed, "IK") is None


def test_an_open_case_is_not_retested(session: Session, proving: Proving) -> None:
    case = repaired(state="open", retest=[])
    session.save(case, None)
    with pytest.raises(InputError) as refused:
        proving.record(case.id, revision(session, case), TYPED)
    assert refused.value.code == "retest_while_open"


def test_two_who_retest_at_once_keep_both(session: Session, proving: Proving) -> None:
    seen = revision(session, CASE)
    proving.record(CASE.id, seen, TYPED)
    again = proving.record(CASE.id, seen, replace(TYPED, by="DS"))
    assert again.merged
    retests = session.case(CASE.id).case.retest
    assert [retest.by for retest in retests] == ["RA", "DS"]
    assert len({retest.id for retest in retests}) == 2


def test_the_comparison_is_there_while_one_types() -> None:
    found = preview(CASE, replace(TYPED, conditions=(("warm_engine", False),)), "IK")
    assert found is not None
    assert [difference.kind for difference in found.differences] == ["condition"]
    assert found.missing == "other_conditions"


def test_a_retest_after_the_signature_leaves_what_was_signed(session: Session, proving: Proving) -> None:
    timeline = list(TWICE.plain()["timeline"])
    case = repaired(timeline=timeline, state="proved", sign_off={"by": "MH"})
    session.save(case, None)
    proving.record(case.id, revision(session, case), TYPED)
    now = session.case(case.id).case
    assert (now.state, now.sign_off, now.cause) == ("proved", case.sign_off, case.cause)
    assert len(now.retest) == 2
