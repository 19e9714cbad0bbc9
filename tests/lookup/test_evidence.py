import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.lookup.evidence import MIRRORED, agreement, read_result, same_test


def _agreement(one: tuple[str, str], other: tuple[str, str]) -> float:
    return agreement(read_result(*one), read_result(*other))


def test_ids_of_a_map_agree_or_contradict() -> None:
    assert _agreement(("radiator_spread", "cold_outlet"), ("radiator_spread", "cold_outlet")) == 1.0
    assert _agreement(("radiator_spread", "cold_outlet"), ("radiator_spread", "normal_spread")) < 0
    assert _agreement(("radiator_spread", "cold_outlet"), ("command_fan", "full_speed")) == 0


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (("plug master cylinder ports", "holds"), ("Plug master cylinder outlets", "pedal sinks")),
        (("ground voltage drop at full lock", "high"), ("ground voltage drop, full lock", "low")),
        (("smoke test intake", "leak found"), ("smoke intake", "no leak")),
        (("cap on tester", "holds"), ("cap on tester", "does not hold")),
        (("command fan", "slow or off"), ("command fan", "full")),
        (("minus side loss", "small"), ("ground voltage drop", "big")),
        (("ground drop", "0.9 V"), ("ground drop", "0.05 V")),
        (("links off", "knock gone"), ("both links off", "no change")),
        (("relay request", "not asked"), ("relay request", "asked")),
        (("isolation resistance", "bad"), ("insulation value", "high")),
    ],
)
def test_opposite_outcomes_in_free_words_contradict(one: tuple[str, str], other: tuple[str, str]) -> None:
    assert _agreement(one, other) < 0
    assert _agreement(other, one) < 0


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (("plug master cylinder ports", "pedal drops"), ("Plug master cylinder outlets", "pedal sinks")),
        (("smoke test intake", "no leak"), ("smoke intake", "clear")),
        (
            ("hold LF, release, measure drop", "big drop"),
            ("hold LF, press, release the hold and measure the drop", "big drop against its mate"),
        ),
        (("feed clamped", "gauge keeps falling"), ("supply shut", "pressure still drops")),
        (("coils swapped over", "still number 3"), ("coil swap", "misfire stays on cylinder 3")),
        (("trim at idle with purge plugged", "trim falls"), ("purge plugged, trim at idle", "trim drops")),
    ],
)
def test_the_same_outcome_in_other_words_agrees(one: tuple[str, str], other: tuple[str, str]) -> None:
    assert _agreement(one, other) > 0.3


def test_mirror_positions_are_kin_and_other_places_less() -> None:
    left, right, rear = (read_result(f"hold {place}, measure drop", "big") for place in ("LF", "RF", "LR"))
    assert same_test(left, left) == 1
    assert same_test(left, right) == pytest.approx(MIRRORED)
    assert 0 < same_test(left, rear) < same_test(left, right)


_TRADE = (
    "hold",
    "LF",
    "RF",
    "drop",
    "big",
    "little",
    "plug",
    "holds",
    "leaks",
    "not",
    "high",
    "low",
    "outlet",
    "12",
    "V",
)
_WORDS = st.lists(st.sampled_from(_TRADE), max_size=6).map(" ".join)


@settings(max_examples=150, deadline=None)
@given(_WORDS, _WORDS, _WORDS, _WORDS)
def test_agreement_is_bounded_and_symmetric(test: str, outcome: str, other_test: str, other_outcome: str) -> None:
    one, other = (test, outcome), (other_test, other_outcome)
    assert -1 <= _agreement(one, other) <= 1
    assert _agreement(one, other) == pytest.approx(_agreement(other, one))
