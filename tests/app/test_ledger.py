from pathlib import Path

import pytest

from kbapp.app.ledger import LedgerDesk
from kbapp.app.settings import Settings
from kbapp.errors import Cancelled, InputError
from kbapp.isolation.honesty import honesty, judged
from kbapp.maps.shipped import shipped_map
from tests.app.test_learned import CONCERN, MAP, taught
from tests.ledger.books import TODAY, ask, book_of, case_id, fitted, job, tried


def test_what_one_can_narrow_by(tmp_path: Path) -> None:
    other = job(2, vehicle={"make": "Velmond", "family": "Quenby"}, concern=CONCERN)
    with book_of(tmp_path, job(1), other) as book:
        found = LedgerDesk(book).choices()
    assert found.systems == ("brakes_hydraulic", "hvac_cooling")
    assert found.symptoms == ("low pedal", "overheats")
    assert found.families == (("Kestrow", "Lindle"), ("Velmond", "Quenby"))


def test_symptoms_are_read_when_a_question_needs_them(tmp_path: Path) -> None:
    back = job(1, state="came_back", links=[{"kind": "came_back_as", "case": case_id(2)}])
    with book_of(tmp_path, back, job(2, opened="2026-03-01")) as book:
        assert ask(book).comebacks.cases[0].same_concern is True
        assert ask(book, symptom="low pedal").asked == 2
        assert ask(book, symptom="noise").asked == 0


def test_closed_cases_with_and_without_a_map(tmp_path: Path) -> None:
    cases = (taught(1, "flow"), taught(2, "flow", state="repaired"), job(3), taught(4, "flow", state="open"))
    with book_of(tmp_path, *cases) as book:
        desk = LedgerDesk(book)
        assert {row.id for row in desk.closed_cases(with_map=True)} == {case_id(1), case_id(2)}
        assert {row.id for row in desk.closed_cases(with_map=False)} == {case_id(1), case_id(3)}


def test_retracing_and_its_refusals(tmp_path: Path) -> None:
    unknown = job(3, map={"id": "no-such-map"})
    with book_of(tmp_path, taught(1, "flow"), taught(2, "flow", state="open"), unknown) as book:
        desk = LedgerDesk(book)
        assert desk.retrace(case_id(1), Settings()).truth == "flow"
        for n, code in ((2, "case_still_open"), (3, "map_unknown")):
            with pytest.raises(InputError) as refused:
                desk.retrace(case_id(n), Settings())
            assert refused.value.code == code


def test_lessons_with_decoys_of_the_same_system(tmp_path: Path) -> None:
    played = job(1, tried("clamp all"), fitted("hose", "gone"))
    cases = (played, job(2, cause="caliper"), job(3, cause="caliper"), job(4, cause="seal"), job(5, concern=CONCERN))
    with book_of(tmp_path, *cases) as book:
        desk = LedgerDesk(book)
        found = desk.lesson(case_id(1), Settings())
        assert [offer.name for offer in found.offers.parts] == ["caliper", "hose", "seal"]
        with pytest.raises(InputError) as refused:
            desk.lesson(case_id(2), Settings())
        assert refused.value.code == "case_teaches_nothing"


def test_shares_are_judged_once_a_vehicle_and_cases_of_others_only_when_asked(tmp_path: Path) -> None:
    cases = [taught(n, "flow", vehicle_ref="same" if n < 3 else "") for n in range(1, 6)]
    with book_of(tmp_path, *cases) as book:
        book.add_many([taught(9, "flow")], origin="outside")
        desk = LedgerDesk(book)
        assert desk.honesty().cases == 4
        assert desk.honesty("all").cases == 5
        assert desk.honesty().verdict == "too_few"


def test_the_verdict_over_a_book_is_that_over_its_cases(tmp_path: Path) -> None:
    cases = [taught(n, "flow", 0 if n % 2 else 1) for n in range(1, 31)]
    with book_of(tmp_path, *cases) as book:
        found = LedgerDesk(book).honesty()
    assert found.cases == 30
    judgements = [one for case in cases if (one := judged(case, MAP)) is not None]
    assert found == honesty(judgements)
    assert found.calibration is not None
    assert found.calibration.n == 30 * len(MAP.hypotheses())


def test_long_work_can_be_stopped(tmp_path: Path) -> None:
    with book_of(tmp_path, taught(1, "flow")) as book:
        desk = LedgerDesk(book)
        for work in (desk.honesty, desk.learned):
            with pytest.raises(Cancelled):
                work(stop=lambda: True)


def test_learned_figures_of_the_maps_in_use(tmp_path: Path) -> None:
    with book_of(tmp_path, taught(1, "flow"), job(2)) as book:
        (line,) = LedgerDesk(book).learned()
    assert (line.map_id, line.cases) == (MAP.id, 1)


def test_maps_that_are_here(tmp_path: Path) -> None:
    with book_of(tmp_path) as book:
        assert LedgerDesk(book).maps([MAP.id, "no-such-map"]) == {MAP.id: shipped_map(MAP.id)}


def test_the_day_is_today_unless_told(tmp_path: Path) -> None:
    with book_of(tmp_path, job(1)) as book:
        assert ask(book).today == TODAY
        from kbapp.ledger.question import LedgerQuestion

        assert len(LedgerDesk(book).ask(LedgerQuestion(), "EUR").today) == 10
