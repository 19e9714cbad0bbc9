from pathlib import Path

from kbapp.ledger.report import Ledger
from kbapp.records.case import Case
from tests.ledger.books import ask, book_of, fitted, job, ledger_of, tried

MAP = {"id": "engine-overheating"}


def in_book(folder: Path, *cases: Case) -> Ledger:
    with book_of(folder, *cases) as book:
        return ask(book)


def test_what_finished_cases_lack() -> None:
    found = ledger_of(
        job(1, tried("clamp all")),
        job(2, tried("clamp all", isolates="Baseline"), retest=[]),
        job(3, state="repaired", cause="hose"),
        job(4, state="open", retest=[]),
    )
    lacks = {line.lack: line.cases for line in found.lacks}
    assert lacks == {"retest": ("2026-0002",), "cause_section": (), "isolating_test": ("2026-0002", "2026-0003")}
    assert {line.of for line in found.lacks} == {3}


def test_a_test_of_the_cases_map_isolates_without_saying_what(tmp_path: Path) -> None:
    from kbapp.maps.shipped import shipped_map

    test = shipped_map("engine-overheating").tests[0]
    known = tried(test.id, test.outcomes[0].id, isolates="")
    found = in_book(tmp_path, job(1, known, fitted("hose", "gone"), map=MAP), job(2, known, fitted("hose", "gone")))
    lacks = {line.lack: line.cases for line in found.lacks}
    assert lacks["isolating_test"] == ("2026-0002",)
    assert [(line.test, line.map_id) for line in found.splits] == [(test.id, "engine-overheating")]


def test_maps_by_use_and_those_never_used(tmp_path: Path) -> None:
    found = in_book(tmp_path, job(1, map=MAP), job(2, map=MAP, state="open"), job(3, map={"id": "gone-map"}))
    assert [(line.map_id, line.cases, line.proved) for line in found.maps[:2]] == [
        ("engine-overheating", 2, 1), ("gone-map", 1, 1),
    ]  # fmt: skip
    assert len(found.maps) > 40
    assert all(line.cases == 0 for line in found.maps[2:])
