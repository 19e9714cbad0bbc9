from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from kbapp.ledger.groups import Groups
from tests.ledger.books import ask, book_of, case_id, fitted, job, ledger_of


def same(other: int) -> list[dict[str, str]]:
    return [{"kind": "same_as", "case": case_id(other)}]


def test_a_job_recorded_twice_counts_once() -> None:
    found = ledger_of(job(1, fitted("pump")), job(2, fitted("pump"), links=same(1)), job(3))
    assert (found.counted, found.left_out) == (2, {"same_job": 1})
    assert found.parts[0].spent[0].value == 100, "money of a job recorded twice is spent once"


def test_the_shops_own_record_stands_for_a_job(tmp_path: Path) -> None:
    with book_of(tmp_path, job(1, fitted("pump"), opened="2020-01-01")) as book:
        book.add_many([job(2, fitted("radiator"), links=same(1))], origin="outside")
        found = ask(book, outside="all")
    assert [line.part for line in found.parts] == ["pump"]


def test_a_vehicle_counts_once_and_by_its_last_fitting() -> None:
    first = job(1, fitted("pump", "unchanged"), vehicle_ref="v1", opened="2025-01-01")
    last = job(2, fitted("Pump", "gone"), vehicle_ref="v1", opened="2025-06-01")
    found = ledger_of(last, first)
    (line,) = found.parts
    assert (found.counted, found.vehicles) == (2, 1)
    assert (line.cured.successes, line.cured.of, line.unchanged) == (1, 1, 0)
    assert (line.spent[0].value, line.in_vain[0].value) == (200, 100), "money is of every fitting"


def test_a_superseded_case_and_one_not_separated_are_left_out() -> None:
    newer = job(2, links=[{"kind": "supersedes", "case": case_id(1)}])
    whole = job(3)
    assert whole.cause is not None
    unclear = whole.model_copy(update={"cause": whole.cause.model_copy(update={"separated": False})})
    found = ledger_of(job(1), newer, unclear)
    assert (found.counted, found.left_out) == (1, {"superseded": 1, "not_separated": 1})


def test_what_came_back_is_out_whatever_its_state_says() -> None:
    tied = job(1, links=[{"kind": "came_back_as", "case": case_id(2)}])
    found = ledger_of(tied, job(2))
    assert (found.counted, found.left_out) == (1, {"came_back": 1})


def test_every_case_asked_for_counts_or_has_a_reason() -> None:
    states = ("proved", "open", "repaired", "withdrawn", "came_back")
    found = ledger_of(*(job(n, state=state) for n, state in enumerate(states, 1)))
    assert found.left_out == {"not_proved": 2, "withdrawn": 1, "came_back": 1}
    assert found.counted + sum(found.left_out.values()) == found.asked == 5


@given(st.lists(st.tuples(st.sampled_from("abcdef"), st.sampled_from("abcdef")), max_size=12))
def test_groups_do_not_depend_on_the_order_of_joining(pairs: list[tuple[str, str]]) -> None:
    one, other = Groups(), Groups()
    for pair in pairs:
        one.join(*pair)
    for first, second in reversed(pairs):
        other.join(second, first)
    assert [one.root(name) for name in "abcdef"] == [other.root(name) for name in "abcdef"]
    assert all(one.root(first) == one.root(second) for first, second in pairs)
