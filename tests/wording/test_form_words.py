"""Every field a form shows has words, and a place in a case is told as a person would."""

import pytest

from kbapp.app.case_fields import FIELDS
from kbapp.app.line_text import LINE_FIELDS
from kbapp.records.case_document import check_case
from kbapp.wording.form_words import CASE_FIELDS, LINE_FIELD_WORDS, field_words, value_words
from kbapp.wording.vin_words import vin_words

CASE = check_case(
    {
        "format": "provebook-case/1", "id": "5d8f1f0e-3c1b-4d57-8a63-6f1f0a1c9b42", "state": "open",
        "concern": {"text": "x"}, "timeline": [{"id": "e7", "kind": "test", "test": "radiator_spread"}],
    }
).unwrap()  # fmt: skip


def test_every_field_has_words() -> None:
    assert set(FIELDS) <= set(CASE_FIELDS)
    assert {name for names in LINE_FIELDS.values() for name in names} <= set(LINE_FIELD_WORDS)


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("vehicle.model_year", "Model year"),
        ("timeline.e7.outcome", "Line 1, Radiator spread: Outcome"),
        ("timeline.e7", "Line 1, Radiator spread"),
        ("timeline.e9.text", "Line e9: Remarks"),
        ("timeline", "Order of the lines"),
        ("codes.P0217 ECM", "Trouble codes: P0217 ECM"),
    ],
)
def test_places_are_told_in_words(path: str, words: str) -> None:
    assert field_words(path, CASE) == words


def test_values_are_told_in_words() -> None:
    assert value_words(None) == "(nothing)"
    assert value_words({"id": "e1", "part": "pump", "effect": "gone"}) == "Part: pump\nWhat it changed: gone"
    assert value_words([True, 3]) == "yes\n3"


@pytest.mark.parametrize(
    ("text", "said", "tone", "years"),
    [
        ("", "", "plain", ()),
        # invented numbers; the first two differ in the check digit only
        ("4BRND2D01K1284001", "agrees", "good", (1989, 2019)),
        ("4BRND2D02K1284001", "does not fit", "caution", (1989, 2019)),
        ("4BRND2D0", "8 characters", "caution", ()),
        ("4BRND2DO1K1284001", "look again at O", "caution", ()),
        ("4BRND2D#1K1284001", "characters no VIN has", "caution", ()),
    ],
)
def test_a_vin_is_judged_in_plain_words(text: str, said: str, tone: str, years: tuple[int, ...]) -> None:
    words = vin_words(text, 2027)
    assert said in words.words
    assert (words.tone, words.years) == (tone, years)
