"""``kbapp advise`` and ``kbapp map`` from the outside."""

import json
import uuid
from pathlib import Path
from typing import Any

import pytest

from tests.commands.conftest import Run

NAMES = {"sections", "gaps", "next_tests", "guard", "costs", "conflict"}


def _map(**changes: Any) -> dict[str, Any]:
    one = {"id": "one", "name": "One", "prior": 60, "feeds": ["two"]}
    two = {"id": "two", "name": "Two", "prior": 35}
    test = {
        "id": "split", "name": "Split in the middle", "run_minutes": 5, "kit": ["meter"],
        "outcomes": [{"id": "bad", "name": "bad", "points_to": ["one"]}, {"id": "good", "name": "good"}],
    }  # fmt: skip
    return {
        "format": "provebook-map/1", "id": "small", "version": 1, "title": "Small", "not_on_map": 5,
        "sections": [one, two], "tests": [test], **changes,
    }  # fmt: skip


def _case(outcome: str = "bad", **changes: Any) -> dict[str, Any]:
    line = {"id": "e1", "kind": "test", "test": "split", "outcome": outcome}
    return {
        "format": "provebook-case/1", "id": str(uuid.uuid4()), "state": "open", "concern": {"text": "x"},
        "map": {"id": "small", "version": 1}, "timeline": [line], **changes,
    }  # fmt: skip


def _file(tmp_path: Path, name: str, value: Any) -> str:
    path = tmp_path / name
    path.write_text(json.dumps(value), encoding="utf-8")
    return str(path)


def test_advice_on_a_file_with_a_map_of_ones_own(run: Run, tmp_path: Path) -> None:
    case, own = _file(tmp_path, "case.json", _case()), _file(tmp_path, "map.json", _map())
    code, out, _ = run("advise", case, "--map", own, "--json")
    advice = json.loads(out)
    assert code == 0
    assert set(advice) >= NAMES
    shares = {section["id"]: section["share"] for section in advice["sections"]}
    # by hand: 60*.9 : 35*.1 : 5*.1
    assert shares == pytest.approx({"one": 54 / 58, "two": 3.5 / 58, "not_on_map": 0.5 / 58})
    assert advice["next_tests"] == []
    assert (advice["costs"]["fit_now"], advice["costs"]["test_first"]) == (None, None)
    assert not (tmp_path / "home" / "data").exists(), "advice on files needs no book"


def test_missing_kit_and_ranking(run: Run, tmp_path: Path) -> None:
    case, own = _file(tmp_path, "case.json", _case(timeline=[])), _file(tmp_path, "map.json", _map())
    _, out, _ = run("advise", case, "--map", own, "--json", "--missing", "meter", "--by", "gain")
    assert [test["kit_missing"] for test in json.loads(out)["next_tests"]] == [["meter"]]


def test_advice_on_a_case_of_the_practice_book(run: Run, practice: Path) -> None:
    code, out, _ = run("--book", "practice", "advise", "2026-0068", "--json")
    advice = json.loads(out)
    assert code == 0
    assert max(advice["sections"], key=lambda section: section["share"])["id"] == "flow"
    assert {"repeat"} <= {warning["rule"] for warning in advice["guard"]}
    assert all(warning["text"].strip() for warning in advice["guard"])
    code, out, _ = run("--book", "practice", "advise", "2026-0068")
    assert "Water pump and passages" in out
    assert "hot cooling system" in out


def test_a_case_without_a_map_gets_the_one_that_fits(run: Run, practice: Path) -> None:
    code, _, err = run("--book", "practice", "advise", "2024-0002", "--json")
    assert code == 0
    assert "cranking-slow" in err


@pytest.mark.parametrize(
    ("case", "own", "code"),
    [
        (_case(map={"id": "other"}), _map(), 1),
        (_case(), _map(sections=[]), 1),
        (_case(), _map(not_on_map=-1), 1),
        (_case(), {"format": "provebook-map/2"}, 1),
        (_case("sideways"), _map(), 0),
    ],
)
def test_what_does_not_fit_is_said_in_sentences(run: Run, tmp_path: Path, case: Any, own: Any, code: int) -> None:
    ended, out, err = run("advise", _file(tmp_path, "case.json", case), "--map", _file(tmp_path, "map.json", own))
    assert ended == code
    assert (out if code == 0 else err).strip()


def test_an_unknown_case_and_a_case_nothing_fits(run: Run, tmp_path: Path) -> None:
    assert run("advise", "2026-9999")[0] == 1
    bare = _case(timeline=[])
    del bare["map"]
    code, _, err = run("advise", _file(tmp_path, "case.json", bare))
    assert code == 1
    assert "--map" in err


def test_maps_are_listed_shown_and_checked(run: Run, tmp_path: Path) -> None:
    code, out, _ = run("map", "list", "--json")
    ids = [item["id"] for item in json.loads(out)["maps"]]
    assert code == 0
    assert len(ids) >= 18
    assert run("map", "list")[0] == 0
    code, out, _ = run("map", "show", "hv-insulation")
    assert code == 0
    assert "Caution" in out
    assert json.loads(run("map", "show", "engine-overheating", "--json")[1])["format"] == "provebook-map/1"
    assert run("map", "show", "nothing")[0] == 1
    assert run("map", "check", _file(tmp_path, "good.json", _map()))[0] == 0
    code, out, _ = run("map", "check", _file(tmp_path, "untested.json", _map(tests=[])), "--json")
    assert code == 0
    assert json.loads(out)["remarks"], "sections that nothing tells apart are remarked on"
    code, out, _ = run("map", "check", _file(tmp_path, "bad.json", _map(not_on_map=-1, sections=[])), "--json")
    assert code == 1
    assert all(fault["sentence"] for fault in json.loads(out)["faults"])


def test_learned_figures_on_request(run: Run, practice: Path) -> None:
    asked = ("--book", "practice", "advise", "2026-0068", "--json")
    learned = {
        flag: json.loads(run(*asked, *flag)[1])["learned_from"] for flag in ((), ("--learned",), ("--no-learned",))
    }
    assert learned == {(): 0, ("--learned",): 1, ("--no-learned",): 0}
