import pytest

from kbapp.desktop.ledger.chart_data import comebacks_chart, honesty_chart, months_chart, vain_chart
from kbapp.isolation.honesty import Judged, honesty
from tests.ledger.books import case_id, fitted, job, ledger_of, tried


def test_points_are_the_tables_own_figures() -> None:
    found = ledger_of(
        job(1, fitted("pump", at="2025-03"), tried("clamp all")),
        job(2, tried("clamp all"), fitted("hose", "gone", at="2025-05")),
        job(3, fitted("pump", source="reported", at="2025-03"), tried("clamp all")),
    )
    chart = months_chart(found)
    own, reported = chart.series
    assert [(p.x, p.y) for p in own.points] == [(0, 1.0), (1, 0.0)]
    assert [p.low for p in reported.points] == pytest.approx([found.months[0].reported.low])
    assert [place for place, _ in chart.ticks] == [0, 1]
    assert {series.mark for series in chart.series} == {"circle", "square"}, "never by colour alone"


def test_bars_are_of_one_currency_only() -> None:
    lines = [fitted("pump", cost=cost, currency=c, at=f"2025-0{n}") for n, (cost, c) in enumerate(
        [(10.0, "EUR"), (20.0, "CHF"), (30.0, "EUR")], 1)]  # fmt: skip
    chart = vain_chart(ledger_of(job(1, *lines, tried("clamp all"))))
    assert [point.y for point in chart.series[0].points] == [10, 30]
    assert "EUR" in chart.y_name


def test_comebacks_are_counted_up_by_days() -> None:
    found = ledger_of(
        job(1, state="came_back", links=[{"kind": "came_back_as", "case": case_id(2)}]), job(2, opened="2026-03-01")
    )
    assert [(p.x, p.y) for p in comebacks_chart(found).series[0].points] == [(40, 1)]


def test_nothing_to_draw() -> None:
    for chart in (months_chart(ledger_of()), vain_chart(ledger_of()), comebacks_chart(ledger_of())):
        assert chart.empty
        assert chart.summary()
    assert honesty_chart(honesty([])).empty
    assert not honesty_chart(honesty([Judged("1", (0.9, 0.1), 0)])).empty
