"""``kbapp ledger`` from the outside."""

import csv
import io
import json
from pathlib import Path

import pytest

from tests.commands.conftest import Run

NAMES = {
    "asked", "today", "cases", "counted", "vehicles", "left_out", "parts", "in_vain", "swaps_before_isolation",
    "months", "to_isolation", "tests", "comebacks", "guard", "lacking", "maps",
}  # fmt: skip


def test_the_json_that_scripts_rely_on(run: Run, practice: Path) -> None:
    code, out, _ = run("ledger", "--book", "practice", "--json")
    found = json.loads(out)
    assert code == 0
    assert set(found) == NAMES
    assert found["counted"] + sum(found["left_out"].values()) == found["cases"]
    for line in found["parts"]:
        assert line["cured"]["n"] + line["unchanged"] + line["unproved"] == line["fitted"] == line["cured"]["of"]
        assert line["cured"]["enough"] == (line["fitted"] >= 8)
    assert {line["currency"] for line in found["in_vain"]} == {"EUR"}


def test_the_tables_in_words(run: Run, practice: Path) -> None:
    code, out, _ = run("--book", "practice", "ledger")
    assert code == 0
    for words in (
        "count, on",
        "Left out:",
        "came to you because",
        "too few to rank",
        "Fitted in vain",
        "--table parts",
    ):
        assert words in out


@pytest.mark.parametrize("table", ["parts", "months", "to_isolation", "tests", "comebacks", "learned", "calibration"])
def test_one_table_in_words_json_and_csv(run: Run, practice: Path, table: str) -> None:
    asked = ("--book", "practice", "ledger", "--table", table)
    assert run(*asked)[0] == 0
    rows = json.loads(run(*asked, "--json")[1])["rows"]
    read = list(csv.DictReader(io.StringIO(run(*asked, "--csv")[1])))
    assert len(read) == len(rows) > 0
    assert [set(row) >= set(rows[0]) for row in read].count(False) == 0


def test_every_figure_in_one_csv(run: Run, practice: Path) -> None:
    _, out, _ = run("--book", "practice", "ledger", "--csv")
    lines = list(csv.DictReader(io.StringIO(out)))
    assert {line["table"] for line in lines} == {
        "parts", "months", "vain", "to_isolation", "tests", "comebacks", "guard", "lacking", "maps",
    }  # fmt: skip
    _, out, _ = run("--book", "practice", "ledger", "--json")
    fitted = [int(line["value"]) for line in lines if line["table"] == "parts" and line["column"] == "cured_of"]
    assert fitted == [line["fitted"] for line in json.loads(out)["parts"]]


def test_filters_narrow_and_nothing_asked_is_exit_code_1(run: Run, practice: Path) -> None:
    everything = json.loads(run("--book", "practice", "ledger", "--json")[1])["cases"]
    asked = ("--family", "Drovane", "--since", "2025", "--until", "2025-12")
    narrowed = json.loads(run("--book", "practice", "ledger", *asked, "--json")[1])
    assert 0 < narrowed["cases"] < everything
    assert narrowed["asked"] == {
        "family": "Drovane", "since": "2025", "until": "2025-12", "outside": "accepted",
    }  # fmt: skip
    code, out, _ = run("--book", "practice", "ledger", "--family", "Nobody")
    assert code == 1
    assert "No case is asked about." in out


@pytest.mark.parametrize(
    "arguments", [("--since", "yesterday"), ("--until", "2026-13"), ("--json", "--csv"), ("--table", "wheels")]
)
def test_wrong_usage_is_exit_code_2(run: Run, arguments: tuple[str, ...]) -> None:
    code, _, err = run("ledger", *arguments)
    assert code == 2
    assert err.strip()
