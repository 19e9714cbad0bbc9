import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.app.dry_run import DryRun, hide_one, not_isolated
from kbapp.maps.shipped import shipped_map

MAPS = ("brake-low-pedal", "misfire", "engine-overheating")


@pytest.mark.parametrize("map_id", MAPS)
def test_each_cause_runs_to_the_end_with_shares_that_sum_to_one(map_id: str) -> None:
    section_map = shipped_map(map_id)
    for cause in section_map.hypotheses():
        run = DryRun(section_map, cause)
        before = run.stand().picture.share(cause)
        for test in section_map.tests:
            run.answer(test.id, run.expected(test.id))
            assert float(run.view().shares.sum()) == pytest.approx(1)
        standing = run.stand()
        assert standing.exhausted
        assert all(answer.expected for answer in standing.answered)
        assert standing.picture.share(cause) > before
        assert standing.isolated == (standing.picture.state(cause) == "supported")
        assert cause == "not_on_map" or (cause in not_isolated(section_map)) != standing.isolated


@settings(max_examples=15, deadline=None)
@given(st.sampled_from(MAPS), st.integers(0, 2**32), st.data())
def test_any_answers_in_any_order_keep_the_sum(map_id: str, seed: int, data: st.DataObject) -> None:
    section_map = shipped_map(map_id)
    run = DryRun(section_map, hide_one(section_map, seed))
    for test in data.draw(st.lists(st.sampled_from(section_map.tests), max_size=5)):
        run.answer(test.id, data.draw(st.sampled_from(test.outcomes)).id)
    standing = run.stand()
    assert float(standing.picture.shares.sum()) == pytest.approx(1)
    assert {test.way.test.id for test in standing.ranking.tests}.isdisjoint(a.test for a in standing.answered)


def test_answers_are_taken_back_and_answered_anew() -> None:
    section_map = shipped_map("brake-low-pedal")
    run = DryRun(section_map, section_map.sections[0].id)
    start = run.view().shares
    test = section_map.tests[0]
    for outcome in test.outcomes:
        run.answer(test.id, outcome.id)
    assert [answer.outcome for answer in run.stand().answered] == [test.outcomes[-1].id]
    assert run.take_back()
    assert not run.take_back()
    assert list(run.view().shares) == list(start)
