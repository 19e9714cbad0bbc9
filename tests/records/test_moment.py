from datetime import UTC, date, datetime, timedelta, timezone
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kbapp.records.moment import _DATE, instant_now, is_instant, parse_moment


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("2026-05", datetime(2026, 5, 1, tzinfo=UTC)),
        ("2024-02-29", datetime(2024, 2, 29, tzinfo=UTC)),
        # Examples of RFC 3339 section 5.8 [M], but for its leap second
        ("1985-04-12T23:20:50.52Z", datetime(1985, 4, 12, 23, 20, 50, 520000, tzinfo=UTC)),
        ("1996-12-19T16:39:57-08:00", datetime(1996, 12, 20, 0, 39, 57, tzinfo=UTC)),
        ("1937-01-01T12:00:27.87+00:20", datetime(1937, 1, 1, 11, 40, 27, 870000, tzinfo=UTC)),
        ("2026-06-03t09:40:00z", datetime(2026, 6, 3, 9, 40, tzinfo=UTC)),
    ],
)
def test_moments_are_read(text: str, expected: datetime) -> None:
    assert parse_moment(text) == expected
    assert is_instant(text) == (len(text) > 10)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "2026",
        "2026-13",
        "2026-00",
        "2026-02-30",
        "2026-5",
        "26-05",
        "2026-05\n",
        "2026-05-01\n",
        "2026-W05",
        "20260501",
        "2026-05-01T10:00",
        "2026-05-01T10:00:00",
        "2026-05-01 10:00:00Z",
        "2026-05-01T24:00:00Z",
        "2026-05-01T10:00:60Z",
        "2026-05-01T10:00:00+24:00",
        "2026-05-01T10:00:00+01:60",
        "2026-05-01T10:00:00.Z",
        "2026-05-01T10:00:00Z\n",
        "0206-05-01",
        "2126-05-01",
        "٢٠٢٦-٠٥",
        "2026-05-01T10:00:00.1234567890Z",
        "last May",
    ],
)
def test_anything_else_is_refused(text: str) -> None:
    with pytest.raises(ValueError):
        parse_moment(text)


@given(
    st.datetimes(min_value=datetime(1900, 1, 2), max_value=datetime(2099, 12, 30)),  # noqa: DTZ001 - zones are added
    st.integers(-14 * 60, 14 * 60),
)
def test_an_instant_comes_back(moment: datetime, minutes: int) -> None:
    aware = moment.replace(tzinfo=timezone(timedelta(minutes=minutes)))
    assert parse_moment(aware.isoformat()) == aware


def test_every_day_of_two_centuries_and_no_other() -> None:
    days = {
        (date(1900, 1, 1) + timedelta(days=n)).isoformat() for n in range((date(2100, 1, 1) - date(1900, 1, 1)).days)
    }
    for year, month, day in product(range(1900, 2100), range(13), range(33)):
        text = f"{year}-{month:02}-{day:02}"
        assert bool(_DATE.fullmatch(text)) == (text in days)


def test_now_is_an_instant() -> None:
    now = instant_now()
    assert is_instant(now)
    assert abs(parse_moment(now) - datetime.now(UTC)) < timedelta(minutes=1)
