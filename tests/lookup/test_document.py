from kbapp.lookup.document import describe, plain_code
from kbapp.lookup.marks import mark, unmark
from kbapp.lookup.source import SourceCase
from tests.lookup.books import case, fitted, ran


def test_a_word_weighs_by_the_fields_it_stands_in() -> None:
    document = describe(SourceCase(1, "id", case(1, "pedal sinks", cause={"text": "seal"}, notes="pedal seal spring")))
    assert document.weights["pedal"] == 5
    assert document.weights["seal"] == 5
    assert document.weights["spring"] == 1


def test_only_results_that_count_become_evidence() -> None:
    timeline = [
        ran("plug ports", "holds", at=1),
        ran("plug ports", "sinks", at=2, supersedes="t1"),
        ran("scope", "clean", at=3, status="unclear"),
        ran("load test", "", at=4),
    ]
    document = describe(SourceCase(1, "id", case(1, "x", timeline=timeline)))
    assert {one for one in document.marks if one.startswith("test")} == {mark("test", "plug ports", "sinks", "")}


def test_retests_are_no_evidence() -> None:
    document = describe(
        SourceCase(1, "id", case(1, "x", retest=[{"id": "r", "test": "plug ports", "outcome": "holds"}]))
    )
    assert not any(one.startswith("test") for one in document.marks)


def test_parts_by_what_they_changed() -> None:
    timeline = [
        fitted("thermostat", "unchanged", at=1),
        fitted("radiator", "worse", at=2),
        fitted("water pump", "gone", at=3),
        fitted("hose", "gone", at=4, stage="planned"),
        fitted("cap", "not_checked", at=5),
    ]
    document = describe(SourceCase(1, "id", case(1, "x", timeline=timeline, cause={"text": "y", "part": "impeller"})))
    parts = {one for one in document.marks if one.startswith(("tried", "cured"))}
    assert parts == {
        mark("tried", "thermostat"),
        mark("tried", "radiator"),
        mark("cured", "water pump"),
        mark("cured", "impeller"),
    }


def test_codes_in_one_form() -> None:
    assert plain_code("p 0171") == plain_code("P0171-00") == "P0171"
    assert plain_code("xy-9") == "XY-9"


def test_marks_come_apart_again() -> None:
    assert unmark(mark("test", "plug = port", "holds, 60 s")) == ("plug = port", "holds, 60 s")


def test_the_day_is_that_of_opening_or_of_the_first_entry() -> None:
    opened = describe(SourceCase(1, "id", case(1, "x", opened="1970-01-11"))).opened
    entered = describe(SourceCase(1, "id", case(1, "x", timeline=[ran("a", "b", at=1) | {"at": "1970-02-01"}]))).opened
    assert (opened, entered, describe(SourceCase(1, "id", case(1, "x"))).opened) == (10, 31, 0)
