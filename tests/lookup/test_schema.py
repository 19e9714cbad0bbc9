import pytest

from kbapp.lookup import schema
from kbapp.lookup.schema import format_version
from kbapp.lookup.word_lists import FORMS


def test_a_grown_table_is_another_format(monkeypatch: pytest.MonkeyPatch) -> None:
    before = format_version()
    format_version.cache_clear()
    assert format_version() == before
    monkeypatch.setattr(schema, "FORMS", FORMS | {"unheard": "hear"})
    format_version.cache_clear()
    assert format_version() != before
    monkeypatch.undo()
    format_version.cache_clear()
    assert format_version() == before


def test_the_layout_counts_above_the_tables() -> None:
    assert format_version() >> 32 >= 2
