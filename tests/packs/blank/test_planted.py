"""Planted personal data must go, look-alikes must stay; the figures are asserted and printed.

The sets were written here; pytest -rP shows the figures of a run.
"""

import json
from pathlib import Path
from typing import Any

import pytest

from kbapp.packs.blank.blanking import blank_case
from kbapp.packs.blank.finding import find_spans, without
from kbapp.packs.blank.listed import Listed
from kbapp.records.case import Case
from kbapp.records.case_document import check_case, read_case
from kbapp.records.private import PrivateDetails
from kbapp.resources import resource
from tests.packs.planted import FIELDS, FREE_TEXT, HARD, LISTED, LOOK_ALIKES
from tests.packs.world import COPPERHILL, PRIVATE, WEIR_LANE, document

NOBODY = Listed(())
KNOWN = Listed((PRIVATE,))
SHOPS = (WEIR_LANE.name, COPPERHILL.name)
VALUES = [value for name, value in PRIVATE.plain().items() if name != "address"] + PRIVATE.address.split(", ")


def cleaned(text: str, listed: Listed) -> str:
    return without(text, find_spans(text, listed, "running"))


def test_enough_is_planted() -> None:
    assert len(FREE_TEXT) + len(HARD) + len(LISTED) + len(FIELDS) >= 200


def test_recall_in_free_text_without_any_private_record() -> None:
    pieces = [*FREE_TEXT, *HARD]
    missed = [text for text, gone, _ in pieces if gone in cleaned(text, NOBODY)]
    print(f"free text: {len(pieces) - len(missed)} of {len(pieces)} found; missed: {missed}")
    assert set(missed) == {text for text, _, _ in HARD}
    assert len(missed) <= 0.05 * len(pieces)


def test_every_listed_value_is_found_however_it_is_written() -> None:
    missed = [text for text, gone in LISTED if gone in cleaned(text, KNOWN)]
    missed += [text for text, gone in LISTED if gone in without(text, find_spans(text, KNOWN, "term"))]
    assert missed == []


def test_no_look_alike_goes() -> None:
    for listed in (NOBODY, KNOWN):
        assert [text for text in LOOK_ALIKES if cleaned(text, listed) != text] == []


def _planted_in(field: str, text: str) -> dict[str, Any]:
    """Returns a case with the text in one field (``timeline.found``: of the first line that may have it)."""
    value = document(shop=WEIR_LANE.plain(), vehicle_ref="v-7f3a91")
    value["timeline"] = [
        {"id": "e1", "kind": "test", "test": "fan", "readings": [{"where": "x", "value": 1}], "kit": ["k"]},
        {"id": "e2", "kind": "part", "part": "pump"},
    ]
    value["map"] = {"id": "m", "version": 1}
    value["follow_ups"] = [{"text": ""}]
    value["retest"] = [{"id": "r1"}]
    value["attachments"] = [{"sha256": "0" * 64, "name": "x", "caption": ""}]
    first, *rest = field.split(".")
    if not rest:
        value[first] = text
    elif first == "timeline":
        line = value["timeline"][1 if rest[0] in ("found", "reason") else 0]
        _put(line, rest, text)
    else:
        _put(value[first][0] if isinstance(value[first], list) else value[first], rest, text)
    return value


def _put(target: dict[str, Any], path: list[str], text: str) -> None:
    if len(path) == 2:
        inner = target[path[0]]
        _put(inner[0] if isinstance(inner, list) else inner, path[1:], text)
    else:
        target[path[0]] = [text] if path[0] in ("conditions", "symptoms", "kit", "services") else text


@pytest.mark.parametrize("field", [field for field in FIELDS if field != "map.version"])
def test_no_listed_value_leaves_in_any_field(field: str) -> None:
    for planted in VALUES:
        case = check_case(_planted_in(field, f"see {planted} there")).unwrap()
        out = blank_case(case, [PRIVATE], lambda _: b"plain text", WEIR_LANE)
        assert planted not in json.dumps(out.case.plain(), ensure_ascii=False)


def test_ids_of_lines_stay_alike_when_they_go() -> None:
    value = document(
        timeline=[
            {"id": "tolland", "kind": "test", "test": "fan"},
            {"id": "e2", "kind": "test", "test": "fan", "repeat_of": "tolland"},
        ],
        retest=[{"id": "r1", "repeats": "tolland"}],
        attachments=[{"sha256": "0" * 64, "name": "x", "entry": "tolland"}],
    )
    out = blank_case(check_case(value).unwrap(), [PRIVATE], lambda _: b"text", WEIR_LANE).case
    name = out.timeline[0].id
    assert name.startswith("line-")
    assert (out.retest[0].repeats, out.attachments[0].entry) == (name, name)


def seed_cases() -> list[Case]:
    return [read_case(path.read_bytes()).unwrap() for path in sorted(resource("seed_cases").glob("*.json"))]


def test_false_removals_over_the_practice_book() -> None:
    """Nothing goes from the 132 invented cases but dates, odometers and the labels of vehicles."""
    cases = seed_cases()
    found = [one for case in cases for one in blank_case(case, [], lambda _: b"", WEIR_LANE, (), SHOPS).removals]
    wrong = [(one.path, one.kind, one.text) for one in found if one.kind not in ("date", "odometer", "vehicle_ref")]
    in_text = [one for one in found if one.kind in ("date", "odometer") and one.before]
    places = [one.text for one in in_text]
    print(f"{len(cases)} cases: {len(wrong)} false removals; dates and distances in running text: {places}")
    assert wrong == []
    assert len(in_text) <= 5


def test_readings_codes_and_part_numbers_of_the_practice_book_stay() -> None:
    for case in seed_cases():
        out = blank_case(case, [PRIVATE], lambda _: b"", WEIR_LANE).case
        assert [one.plain() for one in out.codes] == [one.plain() for one in case.codes]
        assert [one.plain().get("readings") for one in out.timeline] == [
            one.plain().get("readings") for one in case.timeline
        ]
        assert (out.correction and out.correction.parts) == (case.correction and case.correction.parts)


def test_a_green_customer_and_a_green_wire() -> None:
    listed = Listed([PrivateDetails(customer="Jonas Green")])
    assert cleaned("The green wire was open, said Green.", listed) == "The green wire was open, said [name]."


def test_places_where_the_data_may_lie_are_all_looked_at(tmp_path: Path) -> None:
    """Every string of a full case is either searched, or of a form that holds no text."""
    from kbapp.packs.blank.walk import changed_texts
    from tests.records.documents import full

    seen: list[str] = []

    def note(path: str, text: str, _care: str) -> str:
        seen.append(text)
        return text

    plain = check_case(full()).unwrap().plain()
    changed_texts(plain, note)
    unseen = {text for text in _strings(plain) if text not in seen}
    for text in unseen:
        assert len(text) in (36, 64) or text.islower() or text == "provebook-case/1", text


def _strings(value: Any) -> list[str]:
    if isinstance(value, dict):
        return [text for inner in value.values() for text in _strings(inner)]
    if isinstance(value, list):
        return [text for inner in value for text in _strings(inner)]
    return [value] if isinstance(value, str) else []
