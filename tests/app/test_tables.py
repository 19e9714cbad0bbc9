from pathlib import Path

import pytest

from kbapp.app.importing import FIELDS
from kbapp.app.tables import open_table
from kbapp.errors import EnvironmentFault, InputError
from kbapp.wording.import_words import IMPORT_FIELDS, import_field_words


def test_columns_show_what_stands_in_them_and_what_they_seem_to_be(tmp_path: Path) -> None:
    path = tmp_path / "old.csv"
    path.write_text("Complaint;Problem;Shelf\nstalls;;B1\nsqueals;x;B2\n;;B3\n;;B4\n", encoding="utf-8")
    table = open_table(path)
    assert table.rows == 4
    assert [(column.name, column.field) for column in table.columns] == [
        ("Complaint", "concern"), ("Problem", ""), ("Shelf", ""),
    ]  # fmt: skip
    assert [column.values for column in table.columns] == [("stalls", "squeals"), ("x",), ("B1", "B2", "B3")]


def test_what_is_no_table_is_refused(tmp_path: Path) -> None:
    (tmp_path / "picture.csv").write_bytes(b"\x89PNG\x00")
    with pytest.raises(InputError):
        open_table(tmp_path / "picture.csv")
    with pytest.raises(EnvironmentFault):
        open_table(tmp_path / "missing.csv")


def test_every_field_that_can_be_fed_has_words() -> None:
    assert set(IMPORT_FIELDS) == set(FIELDS)
    assert all(import_field_words(field) for field in FIELDS)
