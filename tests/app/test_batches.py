from pathlib import Path

import pytest

from kbapp.app.jot import Jot, case_from_jot
from kbapp.app.session import Session
from kbapp.app.triage import TriageSheet
from kbapp.errors import InputError
from kbapp.records.case import Shop
from kbapp.records.private import PrivateDetails
from tests.practice import OpenSession

SHOP = Shop(id="3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10", name="Weir Lane Diagnostics")


@pytest.fixture
def session(open_session: OpenSession, tmp_path: Path) -> Session:
    return open_session(str(tmp_path / "home" / "data" / "book"), follow=False)


def test_an_import_is_taken_out_as_one_with_its_private_details(session: Session) -> None:
    cases = [case_from_jot(Jot(words), SHOP, "IK") for words in ("stalls", "squeals")]
    changed = session.import_cases(cases, {cases[0].id: PrivateDetails(plate="WL 4182")})
    assert session.private(cases[0].id).plate == "WL 4182"
    assert [batch.id for batch in session.batches()] == [changed.batch]
    view = session.case(cases[1].id)
    session.save(view.case.model_copy(update={"lesson": "kept"}), view.revision)
    undone = session.undo_batch(changed.batch)
    assert (undone.removed, undone.kept) == (1, 1)
    assert undone.changes.cases == (cases[0].id,)
    assert session.private(cases[0].id).empty
    with pytest.raises(InputError) as refused:
        session.undo_batch(changed.batch)
    assert refused.value.code == "batch_undone"


def test_a_call_is_a_case_and_a_private_record(session: Session) -> None:
    sheet = TriageSheet(concern="stalls", private=PrivateDetails(customer="Orchard Garage"))
    case_id = session.triage(sheet).cases[0]
    assert session.private(case_id).customer == "Orchard Garage"
    session.erase_private(case_id)
    assert session.private(case_id).empty
    assert len(session.revisions(case_id)) == 1


def test_the_books_own_words_are_gathered(session: Session) -> None:
    session.jot(Jot("stalls", "2018", "door seal"))
    assert "thermostat" in dict(session.part_names().names)
    assert session.vehicle_names().rows == ()
    kinds = {suggestion.kind for suggestion in session.suggestions(case_from_jot(Jot("stalls, P0171"), SHOP, "IK"))}
    assert kinds == {"symptom", "code"}
