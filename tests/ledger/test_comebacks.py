from typing import Any

import pytest

from kbapp.ledger.report import Ledger
from tests.ledger.books import case_id, job, ledger_of

BACK = [{"kind": "came_back_as", "case": case_id(2)}]


def _driven(km: float) -> dict[str, Any]:
    return {"make": "Kestrow", "family": "Lindle", "odometer": {"value": km, "unit": "km"}}


def _pair(signed: str = "2026-01-20", again: str = "2026-03-01", **more: Any) -> Ledger:
    first = job(1, state="came_back", links=BACK, vehicle=_driven(100_000), sign_off={"by": "MH", "at": signed})
    second = job(2, opened=again, vehicle=_driven(101_500), cause="pump", **more)
    return ledger_of(first, second, job(3), job(4, sign_off={"by": "MH", "at": "2026-05-20"}))


def test_days_distance_concern_and_causes() -> None:
    (line,) = _pair().comebacks.cases
    assert (line.case, line.again, line.days, line.km) == ("2026-0001", "2026-0002", 40, 1500)
    assert (line.same_concern, line.same_cause) == (True, False)


def test_shares_are_out_of_repairs_old_enough() -> None:
    horizons = {h.days: (h.came_back.successes, h.came_back.of) for h in _pair().comebacks.horizons}
    # as of 1 June: repairs of 20 January (twice) and of case 2, signed 20 January too; case 4 is 12 days old
    assert horizons == {30: (0, 3), 90: (1, 3), 365: (0, 0)}


def test_another_concern_is_told_apart() -> None:
    (line,) = _pair(concern={"text": "noise", "symptoms": ["squeal"]}).comebacks.cases
    assert line.same_concern is False


@pytest.mark.parametrize(("signed", "again"), [("2026-05-01", "2026-04-01"), ("2026-01-20", None)])
def test_a_comeback_without_a_span_is_told_and_left_out(signed: str, again: str | None) -> None:
    found = _pair(signed, again)  # type: ignore[arg-type]
    assert (found.comebacks.cases[0].days, found.comebacks.undated) == (None, 1)
    assert sum(h.came_back.successes for h in found.comebacks.horizons) == 0


def test_a_case_that_is_not_in_the_book() -> None:
    found = ledger_of(job(1, state="came_back", links=[{"kind": "came_back_as", "case": case_id(9)}]))
    (line,) = found.comebacks.cases
    assert (line.again, line.days, line.same_concern) == ("", None, None)
    bare = job(1, state="came_back")
    assert ledger_of(bare).comebacks.undated == 1


def test_a_repair_of_another_shop_does_not_come_back_here() -> None:
    cases = (job(1, state="came_back", links=BACK), job(2))
    assert ledger_of(*cases, origin="outside").comebacks.cases == ()
    assert len(ledger_of(*cases, origin="outside", outside="all").comebacks.cases) == 1
