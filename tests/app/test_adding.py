import json
import uuid
from pathlib import Path
from typing import Any

import pytest

from kbapp.app.adding import read_cases
from kbapp.errors import EnvironmentFault
from kbapp.records.fault import DocumentFaults


def _case(**changes: Any) -> dict[str, Any]:
    case = {"format": "provebook-case/1", "id": str(uuid.uuid4()), "state": "open", "concern": {"text": "squeals"}}
    return case | changes


def _file(tmp_path: Path, text: str, name: str = "in.json") -> Path:
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return path


def test_one_case_a_list_lines_and_objects_with_private_details(tmp_path: Path) -> None:
    one = _file(tmp_path, json.dumps(_case()), "one.json")
    many = _file(tmp_path, json.dumps([_case(), _case()], indent=1), "many.json")
    lines = _file(tmp_path, "\n".join(json.dumps(_case()) for _ in range(3)) + "\n\n", "lines.jsonl")
    private = _file(tmp_path, json.dumps({"case": _case(), "private": {"plate": "WL 1234"}}), "private.json")
    found = read_cases((one, many, lines, private))
    assert len(found) == 7
    assert found[-1].private is not None
    assert found[-1].private.plate == "WL 1234"


def test_every_fault_of_every_file_is_listed(tmp_path: Path) -> None:
    one = _file(tmp_path, json.dumps([_case(state="done"), _case(colour="red")]), "one.json")
    two = _file(tmp_path, json.dumps(_case())[:-20], "two.json")
    three = _file(tmp_path, json.dumps({"case": _case(), "private": {"shoe": 42}, "more": 1}), "three.json")
    with pytest.raises(DocumentFaults) as refused:
        read_cases((one, two, three))
    assert [(fault.path, fault.code) for fault in refused.value.faults] == [
        ("one.json[0] state", "value_not_allowed"),
        ("one.json[1] colour", "field_unknown"),
        ("two.json", "json_truncated"),
        ("three.json more", "field_unknown"),
        ("three.json private.shoe", "field_unknown"),
    ]


def test_a_faulty_line_of_many_is_named_by_its_number(tmp_path: Path) -> None:
    lines = [json.dumps(_case()), json.dumps(_case()), json.dumps(_case())[:-9]]
    with pytest.raises(DocumentFaults) as refused:
        read_cases((_file(tmp_path, "\n".join(lines)),))
    assert [fault.path for fault in refused.value.faults] == ["in.json:3"]


def test_the_same_id_twice_is_refused(tmp_path: Path) -> None:
    case = _case()
    with pytest.raises(DocumentFaults) as refused:
        read_cases((_file(tmp_path, json.dumps([case, case])),))
    assert [fault.code for fault in refused.value.faults] == ["case_id_twice"]


def test_a_newer_format_is_said_as_such(tmp_path: Path) -> None:
    with pytest.raises(DocumentFaults) as refused:
        read_cases((_file(tmp_path, json.dumps(_case(format="provebook-case/2"))),))
    assert [fault.code for fault in refused.value.faults] == ["format_newer"]


def test_a_folder_or_missing_file_is_said(tmp_path: Path) -> None:
    with pytest.raises(EnvironmentFault):
        read_cases((tmp_path / "none.json",))
    with pytest.raises(EnvironmentFault):
        read_cases((tmp_path,))
