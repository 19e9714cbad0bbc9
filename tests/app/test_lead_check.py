"""Who may sign what, and what a signature needs."""

from pathlib import Path

import pytest

from kbapp.app.follow_ups import FollowUpPlan
from kbapp.app.lead_check import LeadCheck, kin_question, near_duplicates
from kbapp.app.people import Roster, roster_of
from kbapp.app.session import Session
from kbapp.errors import InputError
from kbapp.records.case import Case, Odometer
from kbapp.wording import sentence
from tests.app.proof_cases import BASELINE, PUMP, RETEST, book_with, repaired, revision
from tests.practice import OpenSession


@pytest.fixture
def session(open_session: OpenSession, tmp_path: Path) -> Session:
    return open_session(str(book_with(tmp_path / "book")), follow=False)


@pytest.fixture
def lead(session: Session) -> LeadCheck:
    return session.lead_check()


def _put(session: Session, case: Case) -> Case:
    session.save(case, None)
    return session.case(case.id).case


def _refused(lead: LeadCheck, session: Session, case: Case, by: str = "MH") -> InputError:
    with pytest.raises(InputError) as refused:
        lead.accept(case.id, revision(session, case), by)
    assert session.case(case.id).case == case, "nothing was written"
    assert len(sentence(refused.value)) > 20
    return refused.value


def test_a_lead_proves_a_repair(session: Session, lead: LeadCheck) -> None:
    case = _put(session, repaired())
    assert [row.group for row in lead.queue().rows] == ["waiting"]
    lead.accept(case.id, revision(session, case), "mh", "looked at it running")
    view = lead.view(case.id)
    assert (view.case.state, view.view.signed_here) == ("proved", True)
    sign = view.case.sign_off
    assert sign is not None
    assert (sign.by, sign.role, sign.result, sign.own_work, sign.note) == (
        "MH", "lead", "proved", False, "looked at it running",
    )  # fmt: skip
    assert [(line.by, line.result, line.author) for line in view.log] == [("MH", "proved", "IK")]
    assert [one.due is not None for one in view.case.follow_ups] == [True, True, False]
    assert view.case.follow_ups[2].due_odometer == Odometer(value=189000, unit="km")
    assert lead.queue().rows == ()


@pytest.mark.parametrize(
    ("fields", "code"),
    [
        ({"state": "open"}, "prove_not_repaired"),
        ({"cause": None}, "prove_no_cause"),
        ({"retest": []}, "prove_no_retest"),
        ({"timeline": [{**PUMP, "id": "e1"}]}, "prove_no_baseline"),
        (
            {"timeline": [BASELINE, PUMP, {**PUMP, "id": "e3", "part": "hose", "at": "2026-06-05T09:00:00+02:00"}]},
            "prove_changed_since",
        ),
        (
            {"timeline": [BASELINE, PUMP, {"id": "e3", "kind": "test", "test": "hose pinched", "by": "IK",
                                           "undone": False, "text": "clamp on the return hose"}]},
            "prove_still_on",
        ),
        ({"state": "withdrawn", "withdrawn_reason": "wrong vehicle"}, "prove_not_waiting"),
    ],
)  # fmt: skip
def test_what_a_case_lacks_refuses_the_proof(
    session: Session, lead: LeadCheck, fields: dict[str, object], code: str
) -> None:
    case = _put(session, repaired(**fields))
    error = _refused(lead, session, case)
    assert error.code == code
    if code == "prove_still_on":
        assert "clamp on the return hose" in sentence(error)
    if case.state != "repaired":
        with pytest.raises(InputError):
            lead.not_proved(case.id, revision(session, case), "MH")
        return
    lead.not_proved(case.id, revision(session, case), "MH", "no more to be done")
    view = lead.view(case.id)
    assert (view.case.state, view.case.sign_off and view.case.sign_off.result) == ("repaired", "not_proved")
    assert [row.group for row in lead.queue().rows] == ["not_proved"]


@pytest.mark.parametrize(
    ("by", "code"),
    [("", "sign_nobody"), ("RA", "sign_not_lead"), ("XX", "sign_unknown"), ("IK", "sign_not_lead")],
)
def test_the_wrong_person_is_refused(session: Session, lead: LeadCheck, by: str, code: str) -> None:
    case = _put(session, repaired())
    assert _refused(lead, session, case, by).code == code
    with pytest.raises(InputError) as refused:
        lead.send_back(case.id, revision(session, case), by, "the retest is missing")
    assert refused.value.code == code


def test_a_lead_does_not_sign_own_work_unless_the_shop_says_so(session: Session, lead: LeadCheck) -> None:
    case = _put(session, repaired(timeline=[BASELINE, {**PUMP, "by": "MH"}]))
    error = _refused(lead, session, case)
    assert (error.code, error.values["lines"]) == ("sign_own_work", "2")
    lead.people.keep(roster_of(lead.people.read(), "MH", "IK RA", own_work=True), "MH")
    lead.accept(case.id, revision(session, case), "MH")
    sign = lead.view(case.id).case.sign_off
    assert sign is not None
    assert sign.own_work
    assert [line.own_work for line in lead.view(case.id).log] == [True]


def test_a_shop_of_one_person_signs_its_own_and_says_so(open_session: OpenSession, tmp_path: Path) -> None:
    case = repaired()
    folder = book_with(tmp_path / "one", case, people={"lead": "IK", "technician": ""})
    session = open_session(str(folder), follow=False)
    session.lead_check().accept(case.id, revision(session, case), "IK")
    sign = session.case(case.id).case.sign_off
    assert sign is not None
    assert (sign.by, sign.own_work) == ("IK", True)


def test_who_recorded_a_case_that_names_nobody_does_not_sign_it(open_session: OpenSession, tmp_path: Path) -> None:
    nameless = repaired(timeline=[{**BASELINE, "by": ""}, {**PUMP, "by": ""}], retest=[{**RETEST, "by": ""}])
    folder = book_with(tmp_path / "two", nameless, people={"lead": "IK MH", "technician": ""})
    session = open_session(str(folder), follow=False)
    lead = session.lead_check()
    with pytest.raises(InputError) as refused:
        lead.accept(nameless.id, revision(session, nameless), "IK")
    assert refused.value.code == "sign_own_work"
    lead.accept(nameless.id, revision(session, nameless), "MH")


def test_without_a_lead_nobody_signs(open_session: OpenSession, tmp_path: Path) -> None:
    case = repaired()
    session = open_session(str(book_with(tmp_path / "none", case, people={})), follow=False)
    lead = session.lead_check()
    with pytest.raises(InputError) as refused:
        lead.accept(case.id, revision(session, case), "MH")
    assert refused.value.code == "sign_no_lead"
    lead.people.keep(roster_of(Roster(), "MH", "IK", own_work=False), "")
    lead.accept(case.id, revision(session, case), "MH")


def test_people_are_changed_by_a_lead_and_somebody_leads(lead: LeadCheck) -> None:
    roster = lead.people.read()
    for by, leads, code in (("IK", "IK", "people_need_lead"), ("MH", "", "people_last_lead")):
        with pytest.raises(InputError) as refused:
            lead.people.keep(roster_of(roster, leads, "RA", own_work=False), by)
        assert refused.value.code == code
    lead.people.keep(roster_of(roster, "RA", "IK", own_work=False), "MH")
    now = lead.people.read()
    assert (now.leads, [(person.initials, person.left) for person in now.people]) == (
        ("RA",),
        [("RA", False), ("IK", False), ("MH", True)],
    )
    with pytest.raises(InputError):
        roster_of(now, "ABCDEFGHIJKLMNOP", "", own_work=False)


def test_sent_back_waits_again_once_it_is_changed(session: Session, lead: LeadCheck) -> None:
    case = _put(session, repaired(retest=[]))
    with pytest.raises(InputError) as short:
        lead.send_back(case.id, revision(session, case), "MH", "no")
    assert short.value.code == "reason_too_short"
    lead.send_back(case.id, revision(session, case), "MH", "Repeat the spread at the radiator, warm.")
    assert [row.group for row in lead.queue().rows] == ["sent_back"]
    now = session.case(case.id)
    session.save(now.case.model_copy(update={"lesson": "done"}), now.revision)
    assert [row.group for row in lead.queue().rows] == ["waiting"]


def test_what_another_process_saved_is_not_signed_unseen(session: Session, lead: LeadCheck) -> None:
    case = _put(session, repaired())
    seen = revision(session, case)
    session.save(case.model_copy(update={"lesson": "another"}), seen)
    with pytest.raises(InputError) as moved:
        lead.accept(case.id, seen, "MH")
    assert moved.value.code == "sign_moved_on"
    assert "IK" in sentence(moved.value)


def test_a_signature_from_elsewhere_is_taken_over(session: Session, lead: LeadCheck) -> None:
    sign = {"by": "PB", "role": "lead", "at": "2026-06-05T08:10:00+02:00", "result": "proved"}
    case = repaired(state="proved", sign_off=sign)
    session._book.add_many([case], origin="outside", title="their pack")
    assert [row.group for row in lead.queue().rows] == ["elsewhere"]
    with pytest.raises(InputError):
        lead.accept_elsewhere(case.id, "IK")
    lead.accept_elsewhere(case.id, "MH")
    assert session.case(case.id).signed_here
    assert lead.queue().rows == ()


def test_follow_ups_as_the_shop_plans_them(session: Session, lead: LeadCheck) -> None:
    case = _put(session, repaired(vehicle={"make": "Kestrow", "odometer": {"value": 1000, "unit": "mi"}}))
    lead.accept(case.id, revision(session, case), "MH", plan=FollowUpPlan(days=(7,)))
    done = lead.view(case.id).case
    assert len(done.follow_ups) == 2
    assert done.follow_ups[1].due_odometer == Odometer(value=4000, unit="mi")


def test_words_are_suggested_and_near_duplicates_found(open_session: OpenSession, tmp_path: Path) -> None:
    case, twin = repaired(), repaired(number="T-1")
    plain = repaired(concern={"text": "engine overheats in traffic"}, cause=None)
    session = open_session(str(book_with(tmp_path / "kin", case, twin, plain)), follow=False)
    session.prepare_index()
    view = session.lead_check().view(plain.id)
    assert "overheats in traffic" in view.suggested
    assert {check.name: check.done for check in view.checks} == {
        "concern": True, "test": True, "cause": False, "correction": True, "retest": True, "words": False,
    }  # fmt: skip
    found = near_duplicates(session.look(kin_question(case)), case)
    assert found[0].id == twin.id
    assert case.id not in [hit.id for hit in found]
    tied = case.model_copy(update={"links": twin.links})
    assert near_duplicates(session.look(kin_question(tied)), tied)
