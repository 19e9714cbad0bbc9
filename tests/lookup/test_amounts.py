import pytest

from kbapp.lookup.amounts import alike, amounts


def _alike(one: str, other: str) -> float | None:
    return alike(amounts(one), amounts(other))


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("0.5 V", "half a volt"),
        ("500 mV", "0.5 V"),
        ("0.52 V", "0.5 V"),
        ("over 0.5 V", "0.9 V"),
        ("under 5 ohm", "2 ohm"),
    ],
)
def test_the_same_amount_agrees(one: str, other: str) -> None:
    assert (_alike(one, other) or 0) >= 0.8
    assert _alike(one, other) == _alike(other, one)


@pytest.mark.parametrize(
    ("one", "other"),
    [("0.9 V", "0.05 V"), ("0.9 V", "50 mV"), ("over 0.5 V", "0.1 V"), ("120 ohm", "60 ohm"), ("2 bar", "30 kPa")],
)
def test_amounts_far_apart_contradict(one: str, other: str) -> None:
    assert _alike(one, other) == _alike(other, one) == -1


@pytest.mark.parametrize(("one", "other"), [("0.9 V", "5 ohm"), ("big drop", "0.9 V"), ("", "")])
def test_what_does_not_compare_says_nothing(one: str, other: str) -> None:
    assert _alike(one, other) is None
