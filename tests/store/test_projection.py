"""The projection says what the documents say."""

import pytest
from sqlalchemy import select

from kbapp.store import tables
from kbapp.store.book import Book
from kbapp.store.projection import case_row, searchable
from tests.bench.generate import generated_cases
from tests.store.sample import SHOP, case, case_id, changed, full_case


def test_the_row_of_a_full_case() -> None:
    assert case_row(full_case()) == {
        "id": case_id(7), "number": "W-7", "state": "proved", "shop_id": SHOP.id,
        "map_id": "low-pedal", "map_version": 2, "opened": "2026-06-03", "opened_day": "2026-06-03",
        "make": "Kestrow", "family": "Lindle", "platform": "KM", "generation": "2", "engine": "K20D",
        "model_year": 2017, "odometer_km": pytest.approx(160934.4), "vehicle_ref": "v-7f3a91",
        "system": "brakes_hydraulic",
        "concern": "Sinkt das Pedal? Sinks slowly, 100 % firm at the second press_",
        "cause": "worn master cylinder seals", "cause_section": "master cylinder", "cause_part": "master cylinder",
        "cause_position": "front", "cause_separated": False, "follow_up_due": "2026-08-20", "follow_up_km": 170000,
        "retest_result": "passed", "signed_by": "MH", "signed_at": "2026-06-05T08:10:00+02:00",
    }  # fmt: skip


def test_the_row_of_a_bare_case_is_blank() -> None:
    row = case_row(case(1, concern={"text": "x"}))
    assert {name: value for name, value in row.items() if value not in ("", None)} == {
        "id": case_id(1), "state": "open", "concern": "x",
    }  # fmt: skip


def test_lines_are_written_and_replaced_with_the_head(book: Book) -> None:
    saved = book.save(full_case(), None)
    with book._database.read() as connection:
        rows = {table.name: connection.execute(select(table)).all() for table in tables.LINE_TABLES}
    assert [row.term for row in rows["symptom"]] == ["sinking pedal", "soft on Mondays"]
    assert [(row.code, row.status, row.module) for row in rows["code"]] == [
        ("C0121", "stored", "ABS"), ("C0040", "", ""),
    ]  # fmt: skip
    (part,) = rows["part"]
    assert (part.part, part.position, part.stage, part.effect, part.cost, part.currency, part.labour_minutes) == (
        "brake hose", "LF", "fitted", "unchanged", 61.5, "EUR", 45,
    )  # fmt: skip
    assert (part.entry, part.at, part.by, part.source) == ("e1", "2026-05", "previous shop", "reported")
    (test,) = rows["test"]
    assert (test.test, test.isolates, test.outcome, test.status, test.strength, test.minutes) == (
        "hold_pedal", "internal leak", "sinks", "done", "strong", 5,
    )  # fmt: skip
    assert {len(rows[name]) for name in ("correction", "link", "attachment", "words")} == {1}
    book.save(changed(saved.case, timeline=[], codes=[], links=[], attachments=[], retest=[]), saved.revision)
    with book._database.read() as connection:
        counts = {table.name: len(connection.execute(select(table)).all()) for table in tables.LINE_TABLES}
    assert counts == {
        "symptom": 2, "code": 0, "part": 0, "test": 0, "correction": 1, "link": 0, "attachment": 0, "words": 1,
    }  # fmt: skip


def test_search_text_holds_what_was_written_and_no_vocabulary() -> None:
    text = searchable(full_case())
    for said in (
        "cafe rule",
        "100 % firm",
        "past the seals",
        "brake hose",
        "mc 12",
        "pedal.jpg",
        "previous shop",
        "w-7",
    ):
        assert said in text
    for unsaid in ("proved", "diagnostic", "reported", "provebook-case", "abab", case_id(7)):
        assert unsaid not in text


def test_generated_cases_fill_a_sound_book(book: Book) -> None:
    book.add_many(generated_cases(60, seed=3), origin="own")
    assert book.count() == 60
    assert not book.check()
