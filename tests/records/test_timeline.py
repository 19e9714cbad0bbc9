from typing import Any

import pytest

from kbapp.records.case_document import check_case
from kbapp.records.timeline import PartEntry, TestEntry
from tests.records.documents import case, full, minimal


def _faults(**entry: Any) -> list[tuple[str, str]]:
    return [(fault.path, fault.code) for fault in check_case(minimal(timeline=[entry])).faults]


def test_every_kind_of_line_is_read() -> None:
    lines = check_case(full()).unwrap().timeline
    assert {line.kind for line in lines} == {"part", "service", "test", "finding", "note"}


def test_what_a_line_leaves_unsaid() -> None:
    part, test = case(
        timeline=[{"kind": "part", "part": "fuse"}, {"kind": "test", "test": "volts at the lamp"}]
    ).timeline
    assert isinstance(part, PartEntry)
    assert isinstance(test, TestEntry)
    assert (part.stage, part.purpose, part.effect, part.source) == ("fitted", "diagnostic", None, "own")
    assert (test.status, test.strength, test.readings) == ("done", None, ())


@pytest.mark.parametrize("value", [True, False, None, [], {}])
def test_a_reading_is_a_number_or_words(value: Any) -> None:
    readings = [{"value": 11.8}, {"value": "open circuit"}, {"value": value}]
    expected = "wrong_type"
    assert _faults(kind="test", test="x", readings=readings) == [("timeline.0.readings.2.value", expected)]


def test_readings_keep_what_they_are() -> None:
    readings = [{"value": 104}, {"value": "104"}, {"value": 0.5}]
    line = case(timeline=[{"kind": "test", "test": "x", "readings": readings}]).timeline[0]
    assert line.plain()["readings"] == readings


@pytest.mark.parametrize(
    ("entry", "faults"),
    [
        ({"kind": "part"}, [("timeline.0.part", "field_missing")]),
        ({"part": "fuse"}, [("timeline.0.kind", "choice_missing")]),
        ({"kind": "repair"}, [("timeline.0.kind", "value_not_allowed")]),
        ({"kind": "note", "part": "fuse"}, [("timeline.0.part", "field_unknown")]),
        (
            {"kind": "part", "part": "fuse", "part_": 1, "note": 2},
            [("timeline.0.part_", "field_unknown"), ("timeline.0.note", "field_unknown")],
        ),
        (
            {"kind": "part", "part": "fuse", "override": {"by": "MH", "reason": "because"}},
            [("timeline.0.override.reason", "text_too_short")],
        ),
        ({"kind": "part", "part": "fuse", "returnable": "yes"}, [("timeline.0.returnable", "wrong_type")]),
        (
            {"kind": "test", "test": "x", "readings": [{"value": 1, "repeat": 0}]},
            [("timeline.0.readings.0.repeat", "below_limit")],
        ),
    ],
)
def test_faults_of_a_line(entry: dict[str, Any], faults: list[tuple[str, str]]) -> None:
    assert _faults(**entry) == faults
