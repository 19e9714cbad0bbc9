"""The same test told in other words is recognised, and whether its outcome agrees."""

from pathlib import Path

from kbapp.lookup.evidence import read_result, same_outcome, same_test

_LEAST_LIKE = 0.25
_RIGHT = 0.94


def _pairs() -> list[tuple[bool, list[list[str]]]]:
    text = (Path(__file__).with_name("labelled") / "paraphrased.txt").read_text(encoding="utf-8")
    lines = (line.split(" | ") for line in text.splitlines() if line[:1] in "+-")
    return [(sign.strip() == "+", [said.split(" : ") for said in two]) for sign, *two in lines]


def test_results_in_other_words_agree_or_contradict_as_they_should() -> None:
    right = 0
    pairs = _pairs()
    for agrees, (one, other) in pairs:
        first, second = read_result(*one), read_result(*other)
        verdict = same_outcome(first, second)
        right += same_test(first, second) >= _LEAST_LIKE and (verdict > 0 if agrees else verdict < 0)
    assert len(pairs) >= 50
    assert right / len(pairs) >= _RIGHT
