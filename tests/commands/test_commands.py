"""Every command as its user calls it: what it prints, its JSON, its exit code."""

import json
import uuid
from pathlib import Path
from typing import Any

import pytest

from tests.commands.conftest import Run


def _document(**changes: Any) -> dict[str, Any]:
    case = {"format": "provebook-case/1", "id": str(uuid.uuid4()), "state": "open", "concern": {"text": "zzyzx squeal"}}
    return case | changes


def _file(tmp_path: Path, value: Any, name: str = "case.json") -> str:
    path = tmp_path / name
    path.write_text(value if isinstance(value, str) else json.dumps(value), encoding="utf-8")
    return str(path)


def test_look_gives_the_json_that_scripts_rely_on(run: Run, practice: Path) -> None:
    code, out, _ = run(
        "look", "--book", "practice", "gets", "hot", "in", "traffic", "--family", "Drovane",
        "--part-tried", "thermostat", "--evidence", "temperature across the radiator=outlet cold",
        "--limit", "5", "--json",
    )  # fmt: skip
    answer = json.loads(out)
    assert code == 0
    assert set(answer) >= {"asked", "took_ms", "hits", "facets", "did_you_mean"}
    assert answer["hits"][0]["number"] == "2025-0067"
    assert len(answer["hits"]) <= 5
    for hit in answer["hits"]:
        assert hit["score"] == pytest.approx(sum(reason["value"] for reason in hit["reasons"]))
    assert all({"value", "count"} == set(item) for items in answer["facets"].values() for item in items)


def test_the_book_may_be_named_before_or_after_the_command(run: Run, practice: Path) -> None:
    before = run("--book", "practice", "case", "list", "--limit", "3", "--json")
    after = run("case", "list", "--limit", "3", "--json", "--book", "practice")
    assert before[0] == after[0] == 0
    assert before[1] == after[1]


def test_nothing_found_is_exit_code_1_with_json(run: Run, practice: Path) -> None:
    code, out, _ = run("look", "--book", "practice", "qqqxxyyzz", "--json")
    assert code == 1
    assert json.loads(out)["hits"] == []


def test_narrowing_and_plain_text(run: Run, practice: Path) -> None:
    code, out, _ = run("look", "--book", "practice", "--narrow", "make=Ombrane", "--narrow", "state=proved")
    assert code == 0
    assert "Ombrane" in out
    assert "Kestrow" not in out


@pytest.mark.parametrize(
    "arguments",
    [
        ["look"], ["look", "x", "--evidence", "nothing"], ["look", "x", "--narrow", "colour=red"],
        ["look", "x", "--limit", "0"],
        ["look", "x", "--system", "wheels"], ["nonsense"], ["case"], ["case", "list", "--limit", "0"],
        ["case", "import", "x.csv", "--columns", "concern"],
    ],
)  # fmt: skip
def test_wrong_usage_is_exit_code_2(run: Run, arguments: list[str]) -> None:
    code, _, err = run(*arguments)
    assert code == 2
    assert err.strip()


def test_a_jot_is_recorded_and_found(run: Run, tmp_path: Path) -> None:
    book = str(tmp_path / "home" / "data" / "book")
    code, out, _ = run("jot", "zzyzx knock over bumps | Pallow 2016 | links, no help", "--json")
    number = json.loads(out)["number"]
    assert code == 0
    code, out, _ = run("look", "zzyzx", "--json", "--book", book)
    assert [hit["number"] for hit in json.loads(out)["hits"]] == [number]
    code, out, _ = run("case", "show", number)
    assert code == 0
    assert "links, no help" in out


def test_a_jot_asks_its_five_lines(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    answers = iter(["hums at speed", "Lindle", "tyres", "", "wheel bearing LF"])
    monkeypatch.setattr("builtins.input", lambda _question: next(answers))
    code, out, _ = run("jot")
    assert code == 0
    number = out.split()[2].rstrip(".")
    assert json.loads(run("case", "show", number, "--json")[1])["case"]["state"] == "repaired"


def test_recording_at_a_new_place_makes_a_book_and_reading_there_does_not(run: Run, tmp_path: Path) -> None:
    place = str(tmp_path / "new" / "book")
    code, _, err = run("--book", place, "look", "zzyzx")
    assert code == 1
    assert "no book" in err
    assert not Path(place).exists()
    code, _, err = run("--book", place, "case", "add", _file(tmp_path, _document()))
    assert code == 0
    assert "new book" in err
    assert run("--book", place, "look", "zzyzx")[0] == 0
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "letter.txt").write_text("hello", encoding="utf-8")
    assert run("--book", str(tmp_path / "full"), "jot", "x")[0] == 1


def test_a_blank_jot_is_refused(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("builtins.input", lambda _question: "")
    assert run("jot")[0] == 1


def test_cases_are_added_all_or_none(run: Run, tmp_path: Path) -> None:
    good, bad = _document(), _document(state="done")
    code, out, err = run("case", "add", _file(tmp_path, [good, bad]), "--json")
    assert code == 1
    refusal = json.loads(out)
    assert refusal["error"] == "document_faults"
    assert refusal["faults"][0]["path"] == "case.json[1] state"
    assert refusal["sentence"] == err.rstrip("\n")
    assert run("case", "show", good["id"])[0] == 1
    code, out, _ = run("case", "add", _file(tmp_path, [good]), "--json")
    assert code == 0
    assert json.loads(out)["added"][0]["id"] == good["id"]
    assert run("case", "add", _file(tmp_path, [good]))[0] == 1


def test_a_case_that_comes_as_proved_is_signed_elsewhere(run: Run, tmp_path: Path) -> None:
    case = _document(state="proved", cause={"text": "belt"}, sign_off={"by": "PB", "role": "lead", "at": "2026-02-01"})
    code, out, _ = run("case", "add", _file(tmp_path, {"case": case, "private": {"plate": "ZZ 1"}}), "--json")
    assert (code, json.loads(out)["added"][0]["signed_here"]) == (0, False)
    code, out, _ = run("case", "show", case["id"])
    assert "signed elsewhere" in out
    assert "ZZ 1" not in out


def test_import_with_plan_and_faults(run: Run, tmp_path: Path) -> None:
    path = _file(tmp_path, "Complaint,Year\nzzyzx whistle,2018\nno year,abc\n", "old.csv")
    code, out, _ = run("case", "import", path, "--dry-run", "--json")
    plan = json.loads(out)
    assert code == 1
    assert len(plan["cases"]) == 1
    assert "row 3" in plan["faults"][0]
    assert run("case", "import", path)[0] == 1
    assert json.loads(run("book", "info", "--json")[1])["cases"] == 0
    good = _file(tmp_path, "Complaint,Year\nzzyzx whistle,2018\n", "good.csv")
    assert run("case", "import", good, "--json")[0] == 0
    assert run("look", "zzyzx", "--json")[0] == 0


def test_the_book_is_checked_backed_up_restored_and_indexed(run: Run, practice: Path, tmp_path: Path) -> None:
    code, out, _ = run("book", "check", "--book", "practice", "--json")
    assert (code, json.loads(out)) == (0, {"cases": 132, "faults": []})
    out_file = str(tmp_path / "backup.zip")
    assert run("book", "backup", out_file, "--book", "practice")[0] == 0
    assert run("book", "restore", out_file, "--book", str(tmp_path / "again"))[0] == 0
    assert json.loads(run("book", "info", "--json", "--book", str(tmp_path / "again"))[1])["cases"] == 132
    assert run("book", "restore", out_file, "--book", str(tmp_path / "again"))[0] == 1
    assert run("book", "reindex", "--book", str(tmp_path / "again"))[0] == 0
    data = bytearray(Path(out_file).read_bytes())
    data[len(data) // 2] ^= 1
    (tmp_path / "spoilt.zip").write_bytes(data)
    assert run("book", "restore", str(tmp_path / "spoilt.zip"), "--book", str(tmp_path / "more"))[0] == 3
    (tmp_path / "half.zip").write_bytes(data[: len(data) // 2])
    assert run("book", "restore", str(tmp_path / "half.zip"), "--book", str(tmp_path / "more"))[0] == 1
    assert not (tmp_path / "more").exists()


def test_a_damaged_book_is_exit_code_3(run: Run, practice: Path) -> None:
    (practice / "book.db").write_bytes(b"not a database at all, " * 400)
    code, _, err = run("--book", str(practice), "case", "list")
    assert code == 3
    assert "book.db" in err or "practice" in err


def test_a_fault_of_our_own_becomes_a_report_and_one_sentence(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> int:
        raise ZeroDivisionError

    monkeypatch.setattr("kbapp.commands.case.run_list", broken)
    code, _, err = run("case", "list")
    assert code == 1
    path = Path(err.split(" in ")[1].split(";")[0])
    assert "ZeroDivisionError" in path.read_text(encoding="utf-8")
