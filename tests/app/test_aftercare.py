"""What comes after the repair: nothing is overwritten, and what did not hold stops counting."""

from pathlib import Path

import pytest

from kbapp.app.aftercare import Aftercare, Comeback, touches_signature
from kbapp.app.session import Session
from kbapp.app.working import CaseWork
from kbapp.errors import InputError
from kbapp.ledger.question import LedgerQuestion
from kbapp.ledger.report import Ledger
from kbapp.records.case import Case, Odometer
from kbapp.records.private import PrivateDetails
from kbapp.records.timeline import NoteEntry
from tests.app.proof_cases import book_with, repaired, revision
from tests.practice import OpenSession

CASE = repaired()
WHY = "The lead read the wrong line of the sheet."


@pytest.fixture
def session(open_session: OpenSession, tmp_path: Path) -> Session:
    session = open_session(str(book_with(tmp_path / "book", CASE)), follow=False)
    session.lead_check().accept(CASE.id, revision(session, CASE), "MH")
    return session


@pytest.fixture
def care(session: Session) -> Aftercare:
    return session.aftercare()


def _now(session: Session) -> Case:
    return session.case(CASE.id).case


def _figures(session: Session) -> Ledger:
    return session.ledger().ask(LedgerQuestion(), "EUR")


def test_a_follow_up_is_done_with_its_result(session: Session, care: Aftercare) -> None:
    care.follow_up(CASE.id, revision(session, CASE), 0, "good", "no more trouble")
    first = _now(session).follow_ups[0]
    assert (first.result, first.text, first.done is not None) == ("good", "no more trouble", True)
    for place, result, code in ((0, "good", "follow_up_unknown"), (1, " ", "follow_up_without_result")):
        with pytest.raises(InputError) as refused:
            care.follow_up(CASE.id, revision(session, CASE), place, result)
        assert refused.value.code == code


def test_a_comeback_ties_both_cases_and_leaves_the_statistics(session: Session, care: Aftercare) -> None:
    session._book.set_private(CASE.id, PrivateDetails(plate="WL-AB 12"))
    told = Comeback(same_concern=True, odometer=Odometer(value=190000), words="hot again after rain")
    changed = care.came_back(CASE.id, revision(session, CASE), told)
    new = session.case(changed.cases[0]).case
    old = _now(session)
    assert (old.state, new.state, new.vehicle_ref) == ("came_back", "open", old.vehicle_ref)
    assert [(link.kind, link.case) for link in old.links] == [("came_back_as", new.id)]
    assert [(link.kind, link.case) for link in new.links] == [("supersedes", old.id)]
    assert (old.follow_ups[0].result, old.follow_ups[0].text) == ("came back", "hot again after rain")
    assert new.concern.symptoms == ("overheats in traffic",)
    assert new.vehicle is not None
    assert new.vehicle.odometer == Odometer(value=190000)
    assert (new.cause, new.timeline) == (None, ())
    assert session._book.private(new.id).plate == "WL-AB 12"
    figures = _figures(session)
    assert figures.comebacks.cases[0].same_concern
    assert (figures.counted, figures.left_out["came_back"]) == (0, 1)
    assert session.check() == ()
    with pytest.raises(InputError) as refused:
        care.came_back(CASE.id, revision(session, CASE), told)
    assert refused.value.code == "comeback_not_repaired"


def test_it_comes_back_with_another_concern_in_its_own_words(session: Session, care: Aftercare) -> None:
    seen = revision(session, CASE)
    with pytest.raises(InputError) as refused:
        care.came_back(CASE.id, seen, Comeback(same_concern=False))
    assert refused.value.code == "comeback_without_concern"
    changed = care.came_back(CASE.id, seen, Comeback(same_concern=False, concern="squeals when cold"))
    new = session.case(changed.cases[0]).case
    assert (new.concern.text, new.concern.symptoms, new.map) == ("squeals when cold", (), None)


def test_a_case_is_withdrawn_with_a_reason(session: Session, care: Aftercare) -> None:
    with pytest.raises(InputError):
        care.withdraw(CASE.id, revision(session, CASE), "wrong")
    care.withdraw(CASE.id, revision(session, CASE), WHY)
    assert (_now(session).state, _now(session).withdrawn_reason) == ("withdrawn", WHY)
    with pytest.raises(InputError) as refused:
        care.withdraw(CASE.id, revision(session, CASE), WHY)
    assert refused.value.code == "withdrawn_already"


def test_two_records_of_one_job_count_once(session: Session, care: Aftercare) -> None:
    twin = repaired(number="T-7")
    session.save(twin, None)
    session.lead_check().accept(twin.id, revision(session, twin), "MH")
    assert _figures(session).counted == 2
    care.same_as(CASE.id, revision(session, CASE), "T-7")
    assert [link.case for link in session.case(twin.id).case.links] == [CASE.id]
    assert [link.case for link in _now(session).links] == [twin.id]
    assert _figures(session).counted == 1
    for other, code in ((CASE.id, "same_as_itself"), ("T-7", "same_as_already"), ("T-8", "case_unknown")):
        with pytest.raises(InputError) as refused:
            care.same_as(CASE.id, revision(session, CASE), other)
        assert refused.value.code == code


def test_what_was_signed_is_corrected_with_a_reason_and_waits_again(session: Session, care: Aftercare) -> None:
    before = _now(session)
    assert before.cause is not None
    new = before.model_copy(update={"cause": before.cause.model_copy(update={"text": "Pump impeller cracked"})})
    with pytest.raises(InputError) as refused:
        care.correct(CASE.id, revision(session, CASE), new, "typo")
    assert refused.value.code == "reason_too_short"
    care.correct(CASE.id, revision(session, CASE), new, WHY)
    after = _now(session)
    assert (after.state, after.sign_off) == ("repaired", None)
    assert [row.group for row in session.lead_check().queue().rows] == ["waiting"]
    last, signed, first = care.history(CASE.id)
    assert (last.reason, [change.path for change in last.changes]) == (
        WHY, ["state", "cause.text", "sign_off"],
    )  # fmt: skip
    assert (last.changes[1].before, last.changes[1].after) == (
        "Water pump impeller slips on its shaft", "Pump impeller cracked",
    )  # fmt: skip
    assert "sign_off" in [change.path for change in signed.changes]
    assert (first.changes, first.reason) == ((), "")
    assert session._book.sign_offs(CASE.id)[0].by == "MH", "the log keeps the signature"


def test_other_words_are_corrected_under_the_signature(session: Session, care: Aftercare) -> None:
    before = _now(session)
    care.correct(CASE.id, revision(session, CASE), before.model_copy(update={"lesson": "Look at the pump."}), WHY)
    assert _now(session).state == "proved"
    with pytest.raises(InputError) as refused:
        care.correct(CASE.id, revision(session, CASE), _now(session), WHY)
    assert refused.value.code == "nothing_corrected"


def test_a_step_elsewhere_does_not_change_what_was_signed(session: Session) -> None:
    work = CaseWork(session, CASE.id)
    work.add(NoteEntry(id="n1", kind="note", text="asked again"))
    with pytest.raises(InputError) as refused:
        work.remove("e1")
    assert refused.value.code == "signed_needs_reason"
    cause = work.case.cause
    assert cause is not None
    changed = work.case.model_copy(update={"cause": cause.model_copy(update={"text": "other"})})
    with pytest.raises(InputError):
        work.change(changed)
    work.change(changed, reason=WHY)
    assert work.case.state == "repaired"


def test_lines_added_behind_are_no_alteration() -> None:
    note = NoteEntry(id="n1", kind="note", text="x")
    assert not touches_signature(CASE, CASE.model_copy(update={"timeline": (*CASE.timeline, note)}))
    assert touches_signature(CASE, CASE.model_copy(update={"timeline": (note, *CASE.timeline)}))
    assert touches_signature(CASE, CASE.model_copy(update={"timeline": CASE.timeline[:1]}))
    assert touches_signature(CASE, CASE.model_copy(update={"retest": ()}))
