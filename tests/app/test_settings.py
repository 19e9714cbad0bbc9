from pathlib import Path

import pytest

from kbapp.app.settings import (
    Settings,
    amount_of,
    currency_of,
    initials_of,
    read_settings,
    shop_name_of,
    write_settings,
)
from kbapp.errors import EnvironmentFault, InputError
from kbapp.wording import sentence


def test_settings_are_kept(tmp_path: Path) -> None:
    path = tmp_path / "deep" / "settings.json"
    settings = Settings(theme="dark", size="bay", units="us", currency="USD", labour_rate=95, author="IK")
    write_settings(path, settings)
    assert read_settings(path) == (settings, False)


@pytest.mark.parametrize("text", ["", "{", '{"theme": "pink"}', "[]", '{"nonsense": 1}'])
def test_a_damaged_file_gives_the_defaults_and_says_so(tmp_path: Path, text: str) -> None:
    path = tmp_path / "settings.json"
    path.write_text(text, encoding="utf-8")
    assert read_settings(path) == (Settings(), True)


def test_no_file_gives_the_defaults(tmp_path: Path) -> None:
    assert read_settings(tmp_path / "none.json") == (Settings(), False)


def test_a_place_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(EnvironmentFault):
        write_settings(tmp_path / "file" / "settings.json", Settings())


@pytest.mark.parametrize(
    ("text", "value"), [("120", 120), ("89.50", 89.5), ("89,5", 89.5), ("1,250", 1250), (" 0 ", 0)]
)
def test_amounts_are_read_as_people_type_them(text: str, value: float) -> None:
    assert amount_of("labour_rate", text) == value


@pytest.mark.parametrize("text", ["", "a lot", "-3", "100001", "12 EUR"])
def test_a_faulty_amount_says_what_to_type(text: str) -> None:
    with pytest.raises(InputError) as refused:
        amount_of("labour_rate", text)
    assert "such as 120" in sentence(refused.value)


def test_other_entries_are_cleaned_or_refused() -> None:
    assert (currency_of(" eur "), currency_of("€"), initials_of(" I K\n"), shop_name_of("Weir  Lane")) == (
        "EUR", "€", "I K", "Weir Lane",
    )  # fmt: skip
    for read, text in ((currency_of, ""), (currency_of, "12"), (initials_of, "x" * 41), (shop_name_of, "x" * 201)):
        with pytest.raises(InputError):
            read(text)
