import time
from typing import Any

import pytest

from kbapp.records.case_document import check_case
from tests.records.documents import ID, minimal


def _test(name: str, **fields: Any) -> dict[str, Any]:
    return {"id": name, "kind": "test", "test": "x", **fields}


@pytest.mark.parametrize(
    ("fields", "faults"),
    [
        ({"timeline": [_test("e1"), _test("e1")]}, [("timeline.1.id", "entry_id_twice", "e1")]),
        ({"timeline": [_test("e1")], "retest": [{"id": "e1"}]}, [("retest.0.id", "entry_id_twice", "e1")]),
        ({"timeline": [_test("e1", repeat_of="e9")]}, [("timeline.0.repeat_of", "entry_unknown", "e9")]),
        ({"timeline": [_test("e1", supersedes="e9")]}, [("timeline.0.supersedes", "entry_unknown", "e9")]),
        ({"retest": [{"id": "r1", "repeats": "e9"}]}, [("retest.0.repeats", "entry_unknown", "e9")]),
        (
            {"attachments": [{"sha256": "0" * 64, "name": "a.jpg", "entry": "e9"}]},
            [("attachments.0.entry", "entry_unknown", "e9")],
        ),
        ({"timeline": [_test("e1", supersedes="e1")]}, [("timeline.0.supersedes", "entry_circle", "e1")]),
        (
            {"timeline": [_test("e1", repeat_of="e2"), _test("e2", repeat_of="e1")]},
            [("timeline.0.repeat_of", "entry_circle", "e2"), ("timeline.1.repeat_of", "entry_circle", "e1")],
        ),
        ({"links": [{"kind": "same_as", "case": ID.upper()}]}, [("links.0.case", "link_to_itself", "")]),
    ],
)
def test_contradictions(fields: dict[str, Any], faults: list[tuple[str, str, str]]) -> None:
    checked = check_case(minimal(**fields))
    assert checked.value is None
    assert [(fault.path, fault.code, fault.found) for fault in checked.faults] == faults


def test_all_at_once() -> None:
    timeline = [_test("e1", repeat_of="e8"), _test("e1", supersedes="e9")]
    faults = check_case(minimal(timeline=timeline, links=[{"kind": "same_as", "case": ID}])).faults
    assert [fault.code for fault in faults] == ["entry_id_twice", "entry_unknown", "entry_unknown", "link_to_itself"]


def test_a_line_that_leads_into_a_circle_but_is_not_on_it_is_no_fault_of_its_own() -> None:
    timeline = [_test("a", supersedes="b"), _test("b", supersedes="c"), _test("c", supersedes="b")]
    assert [fault.path for fault in check_case(minimal(timeline=timeline)).faults] == [
        "timeline.1.supersedes",
        "timeline.2.supersedes",
    ]


def test_a_long_chain_is_followed_quickly() -> None:
    timeline = [_test("e0"), *(_test(f"e{n}", repeat_of=f"e{n - 1}") for n in range(1, 20_000))]
    start = time.process_time()
    assert check_case(minimal(timeline=timeline)).faults == ()
    assert time.process_time() - start < 3
