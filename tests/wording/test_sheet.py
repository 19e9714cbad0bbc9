import csv
import io

from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.isolation.intervals import wilson
from kbapp.ledger.figures import Amount
from kbapp.wording import ledger_cells as cell
from kbapp.wording.sheet import Cell, Column, Sheet, csv_lines, csv_table, text_table


def sheet(*rows: tuple[Cell, ...], **more: str) -> Sheet:
    columns = (Column("part", "Part"), Column("cured", "Cured"), Column("spent", "Spent", figures=True))
    return Sheet("parts", "Parts", "Which cured.", ("A note.",), columns, rows, more.get("empty", ""))


def row(part: str, cured: int, of: int, *amounts: Amount) -> tuple[Cell, ...]:
    return cell.words(part), cell.share(wilson(cured, of)), cell.money(amounts)


def read(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def test_shares_and_sums_become_columns_of_their_own() -> None:
    found = read(csv_table(sheet(row("hose", 3, 12, Amount("CHF", 1.5), Amount("EUR", 20)), row("pump", 0, 0))))
    assert found[0]["cured_n"] == "3"
    assert float(found[0]["cured_low"]) == wilson(3, 12).low
    assert (found[0]["spent_CHF"], found[0]["spent_EUR"]) == ("1.5", "20")
    assert (found[1]["cured_of"], found[1]["spent_CHF"]) == ("0", "")


def test_several_sheets_in_one_file() -> None:
    found = read(csv_lines((sheet(row("hose", 3, 12)), sheet())))
    assert {(line["table"], line["line"]) for line in found} == {("parts", "1")}
    assert {line["column"]: line["value"] for line in found}["part"] == "hose"


def test_a_file_without_rows_still_has_its_heads() -> None:
    assert csv_table(sheet()).strip() == "part,cured,spent"


def test_a_text_never_becomes_a_formula() -> None:
    for text in ("=1+1", "+1", "-1", "@x"):
        assert read(csv_table(sheet(row(text, 0, 0))))[0]["part"] == f"'{text}"


@given(st.lists(st.text(st.characters(blacklist_categories=("Cs", "Cc")), min_size=1, max_size=12), max_size=6))
@settings(max_examples=40)
def test_whatever_parts_are_called_the_file_reads_back(names: list[str]) -> None:
    found = read(csv_table(sheet(*(row(name, 0, 0) for name in names))))
    assert [line["part"].removeprefix("'") for line in found] == [name.removeprefix("'") for name in names]


def test_lines_for_a_terminal() -> None:
    lines = text_table(sheet(row("hose", 3, 12, Amount("EUR", 20)), row("pump", 1, 2)), most=1)
    assert lines[:3] == ["Parts", "  Which cured.", "  A note."]
    assert lines[4].split("  ")[1].strip() == "hose"
    assert "--table parts" in lines[-1]
    assert text_table(sheet(empty="Nothing."))[-1] == "  Nothing."


def test_how_shares_are_written() -> None:
    assert cell.share_words(wilson(3, 12)) == "3 of 12: 25 % (9–53 %)"
    assert cell.share_words(wilson(3, 3)) == "3 of 3: 100 % (44–100 %), too few to rank"
    assert cell.share_words(wilson(0, 0)) == "–"
