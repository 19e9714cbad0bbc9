from kbapp.records.case_document import check_private
from kbapp.records.private import PrivateDetails
from tests.records.documents import load


def test_private_details_are_read() -> None:
    details = check_private(load("private-1.json")).unwrap()
    assert details.customer == "TN"
    assert not details.empty
    assert details.plain() == {key: value for key, value in load("private-1.json").items() if value}


def test_nothing_recorded_is_empty() -> None:
    assert PrivateDetails().empty
    assert check_private({"phone": ""}).unwrap().empty


def test_every_fault_is_named() -> None:
    faults = check_private({"phone": 5550100, "plate": "A\nB", "colour": "red"}).faults
    assert [(fault.path, fault.code) for fault in faults] == [
        ("phone", "wrong_type"),
        ("plate", "forbidden_character"),
        ("colour", "field_unknown"),
    ]
    assert [fault.code for fault in check_private([]).faults] == ["wrong_type"]
