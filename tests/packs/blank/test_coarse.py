import pytest

from kbapp.packs.blank.coarse import coarse_plain, rounded, rounded_text, to_month


@pytest.mark.parametrize(
    ("moment", "month"), [("2026-06-03T23:59:59-02:00", "2026-06"), ("2026-06-03", "2026-06"), ("2026-06", "2026-06")]
)
def test_months(moment: str, month: str) -> None:
    assert to_month(moment) == month


@pytest.mark.parametrize(
    ("value", "full"), [(0, 0), (499, 0), (500, 1000), (184_322, 184_000), (184_500, 185_000), (999_999.9, 1_000_000)]
)
def test_thousands(value: float, full: int) -> None:
    assert rounded(value) == full
    assert rounded(full) == full


@pytest.mark.parametrize(
    ("text", "full"),
    [("184,322", "184,000"), ("184 322", "184 000"), ("184322", "184000"), ("99.951", "100.000"), ("9'777", "10'000")],
)
def test_written_alike(text: str, full: str) -> None:
    assert rounded_text(text) == full


def test_only_moments_and_odometers_change() -> None:
    value = {
        "at": "2026-06-03",
        "odometer": {"value": 1499, "unit": "mi"},
        "text": "2026-06-03",
        "value": 1499,
        "list": [{"due": "2026-06-03"}],
    }
    assert coarse_plain(value) == {
        "at": "2026-06",
        "odometer": {"value": 1000, "unit": "mi"},
        "text": "2026-06-03",
        "value": 1499,
        "list": [{"due": "2026-06"}],
    }
