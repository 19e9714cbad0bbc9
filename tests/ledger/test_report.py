"""Every figure a second time, by plain SQL; and what the ledger says of books with little in them."""

from collections.abc import Iterator
from pathlib import Path
from statistics import median

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.app.ledger import LedgerDesk
from kbapp.errors import Cancelled
from kbapp.ledger.columns import same_name
from kbapp.ledger.figures import add_up
from kbapp.ledger.question import LedgerQuestion
from kbapp.ledger.report import Ledger
from tests.bench.generate import generated_cases
from tests.ledger.books import TODAY, ask, book_of, fitted, job, ledger_of, tried
from tests.ledger.made import made_cases
from tests.ledger.recount import Recount

Both = tuple[Ledger, Recount]


@pytest.fixture(scope="module", params=["made 1", "made 2", "generated"])
def both(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Both]:
    """The ledger's answers and the same book counted by hand."""
    kind, _, seed = request.param.partition(" ")
    cases = generated_cases(250, seed=5) if kind == "generated" else made_cases(220, int(seed))
    folder = tmp_path_factory.mktemp("ledger")
    with book_of(folder, *cases) as book:
        found = ask(book)
    recount = Recount(folder / "book")
    yield found, recount
    recount.close()


def test_which_cases_count(both: Both) -> None:
    found, recount = both
    ((counted, vehicles),) = recount.rows("SELECT count(*), count(DISTINCT vehicle) FROM counted")
    assert (found.counted, found.vehicles) == (counted, vehicles)
    assert found.counted + sum(found.left_out.values()) == found.asked


def test_parts_and_their_cost(both: Both) -> None:
    found, recount = both
    lines = {same_name(line.part): line for line in found.parts}
    assert {
        name: (line.planned, line.cured.successes, line.unchanged, line.unproved) for name, line in lines.items()
    } == recount.parts()
    for outcome, attribute in (("", "spent"), ("unchanged", "in_vain")):
        amounts = {(n, a.currency): a.value for n, line in lines.items() for a in getattr(line, attribute)}
        assert amounts == pytest.approx(recount.costs(outcome))
    by_currency = recount.rows(
        "SELECT currency, sum(cost) FROM fitted WHERE stage = 'fitted' AND outcome = 'unchanged' AND cost NOT NULL "
        "GROUP BY currency ORDER BY currency"
    )
    assert {a.currency: a.value for a in found.in_vain} == pytest.approx(dict(by_currency))


def test_swaps_before_isolation_by_month(both: Both) -> None:
    found, recount = both
    lines = {
        (line.month, source): (share.successes, share.of)
        for line in found.months
        for source, share in (("own", line.own), ("reported", line.reported))
        if share.of
    }
    assert lines == recount.months()
    assert [line.month for line in found.months] == sorted(line.month for line in found.months)


def test_tests_that_decided(both: Both) -> None:
    found, recount = both
    lines = {same_name(line.test): (line.decided.successes, line.decided.of) for line in found.splits}
    assert lines == recount.splits()


def test_minutes_and_money_to_isolation(both: Both) -> None:
    found, recount = both
    minutes = recount.minutes()
    assert found.effort.minutes is not None
    assert found.effort.minutes.n == len(minutes)
    assert found.effort.minutes.median == pytest.approx(median(minutes))
    for currency, spread in found.effort.money:
        money = recount.money(currency)
        assert spread.n == len(money)
        assert spread.median == pytest.approx(median(money))


def test_what_is_lacking(both: Both) -> None:
    found, recount = both
    assert {line.lack: len(line.cases) for line in found.lacks} == recount.lacking()


@given(st.integers(0, 10_000), st.sampled_from(["", "own", "reported"]), st.sampled_from(["none", "accepted", "all"]))
@settings(max_examples=12, deadline=None)
def test_what_holds_of_any_book(seed: int, source: str, outside: str) -> None:
    cases = list(made_cases(40, seed))
    found = ledger_of(*cases, source=source, outside=outside)
    assert found.counted + sum(found.left_out.values()) == found.asked == 40
    assert found.vehicles <= found.counted
    for line in found.parts:
        assert line.cured.successes + line.unchanged + line.unproved == line.fitted <= found.vehicles
        spent = {amount.currency: amount.value for amount in line.spent}
        assert all(amount.value <= spent[amount.currency] for amount in line.in_vain)
    total = add_up((a.currency, a.value) for line in found.months for a in line.in_vain)
    assert {a.currency: a.value for a in total} == pytest.approx({a.currency: a.value for a in found.in_vain})
    assert found.effort.never + found.effort.unwritten + (found.effort.minutes.n if found.effort.minutes else 0) == (
        found.vehicles
    )
    assert all(share.of <= found.vehicles for share in found.swaps_first.values())


def test_an_empty_book_says_nothing_and_breaks_nothing(tmp_path: Path) -> None:
    with book_of(tmp_path) as book:
        found = ask(book)
    assert (found.asked, found.counted, found.vehicles, found.left_out) == (0, 0, 0, {})
    assert (found.parts, found.months, found.splits, found.guard, found.in_vain) == ((), (), (), (), ())
    assert found.effort.minutes is None
    assert found.comebacks.cases == ()
    assert all(horizon.came_back.of == 0 for horizon in found.comebacks.horizons)
    assert {line.cases for line in found.maps} == {0}


def test_one_case() -> None:
    found = ledger_of(job(1, fitted("pump"), tried("clamp all"), fitted("hose", "gone", 40)))
    assert (found.counted, found.vehicles) == (1, 1)
    assert [(line.part, line.cured.successes, line.unchanged) for line in found.parts] == [
        ("hose", 1, 0), ("pump", 0, 1),
    ]  # fmt: skip
    assert found.effort.minutes is not None
    assert (found.effort.minutes.median, found.effort.minutes.low) == (40, None)


def test_imported_cases_wait_for_the_lead(tmp_path: Path) -> None:
    with book_of(tmp_path, job(1, fitted("pump")), job(2, fitted("pump")), origin="outside") as book:
        assert (ask(book).counted, ask(book).left_out) == (0, {"signed_elsewhere": 2})
        assert ask(book, outside="all").counted == 2
        book.accept_signature(job(1).id, "MH")
        assert (ask(book).counted, ask(book).left_out) == (1, {"signed_elsewhere": 1})
        assert (ask(book, outside="none").counted, ask(book, outside="none").left_out) == (0, {"imported": 2})


def test_a_withdrawn_cause_leaves_every_figure() -> None:
    kept, gone = job(1, tried("clamp all"), fitted("hose", "gone")), job(2, fitted("pump"), state="withdrawn")
    back = job(3, fitted("pump"), state="came_back")
    found = ledger_of(kept, gone, back)
    assert [line.part for line in found.parts] == ["hose"]
    assert found.left_out == {"withdrawn": 1, "came_back": 1}


def test_two_currencies_stand_side_by_side() -> None:
    line = fitted("pump", cost=50, currency="CHF")
    found = ledger_of(job(1, fitted("pump", cost=100), line, tried("clamp all")))
    assert [(a.currency, a.value) for a in found.in_vain] == [("CHF", 50), ("EUR", 100)]
    assert [(unit, spread.median) for unit, spread in found.effort.money] == [("CHF", 50), ("EUR", 100)]


def test_work_can_be_stopped(tmp_path: Path) -> None:
    with book_of(tmp_path, job(1)) as book, pytest.raises(Cancelled):
        LedgerDesk(book).ask(LedgerQuestion(), "EUR", stop=lambda: True, today=TODAY)


def test_a_later_change_of_the_book_is_seen(tmp_path: Path) -> None:
    with book_of(tmp_path, job(1)) as book:
        desk = LedgerDesk(book)
        before = desk.ask(LedgerQuestion(), "EUR", today=TODAY).counted
        book.add_many([job(2)], origin="own")
        assert (before, desk.ask(LedgerQuestion(), "EUR", today=TODAY).counted) == (1, 2)
