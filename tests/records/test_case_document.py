import hashlib
import json
import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import rfc8785
from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.records.case_document import canonical, check_case, check_private, digest, read_case
from kbapp.records.fault import Checked, Fault
from kbapp.records.map_document import check_map
from tests.records.documents import CASES, FOLDER, ID, full, load, minimal

_JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
    max_leaves=8,
)


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_every_document_ever_shipped_opens(path: Path) -> None:
    case = read_case(path.read_bytes()).unwrap()
    assert check_case(case.plain()).unwrap() == case
    assert read_case(canonical(case)).unwrap() == case
    assert digest(case) == hashlib.sha256(canonical(case)).hexdigest()


def test_private_details_and_maps_ever_shipped_open() -> None:
    kinds: dict[str, Callable[[object], Checked[Any]]] = {"private": check_private, "map": check_map}
    paths = [path for path in sorted(FOLDER.iterdir()) if path not in CASES]
    assert len(paths) >= 2
    for path in paths:
        assert kinds[path.stem.split("-")[0]](load(path.name)).faults == ()


def test_the_canonical_form_is_that_of_rfc_8785() -> None:
    case = check_case(full()).unwrap()
    # For text without escapes and short decimals RFC 8785 is plain sorted JSON without spaces [M].
    expected = json.dumps(case.plain(), sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()
    assert canonical(case) == expected
    assert canonical(case) == rfc8785.dumps(json.loads(canonical(case)))


def _shuffled(value: Any, order: random.Random) -> Any:
    if isinstance(value, dict):
        keys = list(value)
        order.shuffle(keys)
        return {key: _shuffled(value[key], order) for key in keys}
    return [_shuffled(item, order) for item in value] if isinstance(value, list) else value


@settings(max_examples=20)
@given(st.randoms(use_true_random=False))
def test_the_digest_does_not_depend_on_how_a_document_is_written(order: random.Random) -> None:
    document = {"withdrawn_reason": "", "lesson": "", **_shuffled(full(), order)}
    document["cause"] = {**document["cause"], "separated": True}
    document["timeline"] = [{"source": "own", **entry} for entry in document["timeline"]]
    same = full()
    assert digest(check_case(document).unwrap()) == digest(check_case(same).unwrap())


def test_a_change_of_any_field_changes_the_digest() -> None:
    base = full()
    digests = {digest(check_case(base).unwrap())}
    changes: dict[str, Any] = {
        "number": "2",
        "state": "repaired",
        "lesson": "",
        "map": None,
        "codes": [],
        "follow_ups": [],
    }
    for field, value in changes.items():
        digests.add(digest(check_case({**base, field: value}).unwrap()))
    assert len(digests) == len(changes) + 1


def test_lines_without_an_id_are_numbered() -> None:
    timeline = [{"kind": "note"}, {"kind": "note", "id": "e2"}, {"kind": "note"}, {"kind": "note", "id": "r1"}]
    case = check_case(minimal(timeline=timeline, retest=[{}, {"id": "e1"}, {}])).unwrap()
    assert [entry.id for entry in case.timeline] == ["e3", "e2", "e4", "r1"]
    assert [retest.id for retest in case.retest] == ["r2", "e1", "r3"]


def test_every_fault_at_once_in_the_order_of_the_document() -> None:
    document = {
        "format": "provebook-case",
        "id": "7",
        "state": "opn",
        "concern": {"text": " ", "sytem": "brakes_hydraulic"},
        "timeline": [{"id": "e1", "kind": "test", "minutes": True}, 5, {"kind": "zz"}],
        "retest": [{"at": "yesterday"}],
    }
    assert check_case(document).faults == (
        Fault("format", "format_wrong", "provebook-case", "provebook-case/1"),
        Fault("id", "wrong_form", "7", "uuid"),
        Fault("state", "value_not_allowed", "opn", "open, repaired, proved, came_back, withdrawn"),
        Fault("concern.text", "text_blank", " "),
        Fault("concern.sytem", "field_unknown", "brakes_hydraulic"),
        Fault("timeline.0.test", "field_missing"),
        Fault("timeline.0.minutes", "wrong_type", "true", "number"),
        Fault("timeline.1", "wrong_type", "5", "object"),
        Fault("timeline.2.kind", "value_not_allowed", "zz", "part, service, test, finding, note"),
        Fault("retest.0.at", "moment_form", "yesterday"),
    )


def test_a_newer_format_has_that_fault_alone() -> None:
    newer = Fault("format", "format_newer", "provebook-case/2", "provebook-case/1")
    assert check_case({"format": "provebook-case/2", "what": "ever"}).faults == (newer,)


def test_faults_of_the_text_come_through() -> None:
    assert [fault.code for fault in read_case(b'{"format": ').faults] == ["json_truncated"]
    assert [fault.code for fault in read_case(b"[]").faults] == ["wrong_type"]
    assert [fault.code for fault in read_case(b"false").faults] == ["wrong_type"]


@given(_JSON | st.dictionaries(st.sampled_from(list(full())), _JSON))
def test_no_value_crashes_the_reader(value: Any) -> None:
    checked = check_case(value)
    assert (checked.value is None) == bool(checked.faults)
    assert all(len(fault.found) <= 90 and fault.found.isprintable() for fault in checked.faults)


@given(st.lists(st.dictionaries(st.sampled_from(["id", "kind", "test", "repeat_of"]), _JSON), max_size=4))
def test_no_line_crashes_the_reader(lines: list[Any]) -> None:
    check_case(minimal(timeline=lines, retest=lines, attachments=lines, links=lines))


def test_the_id_stays_an_id() -> None:
    assert check_case(minimal(id=ID)).unwrap().id == ID
