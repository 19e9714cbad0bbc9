"""The user's settings on this PC: one small JSON file, written whole; a damaged file never stops the program."""

import json
from pathlib import Path
from typing import Annotated, Final, Literal

from pydantic import Field, ValidationError

from kbapp.errors import EnvironmentFault, InputError
from kbapp.records.base import Line, Record, clean_text
from kbapp.records.number_text import read_number

Amount = Literal["labour_rate", "guard_cost_limit"]
_MOST: Final[dict[Amount, int]] = {"labour_rate": 100_000, "guard_cost_limit": 1_000_000}
_LONGEST_CURRENCY: Final = 8
_LONGEST_INITIALS: Final = 40
_LONGEST_NAME: Final = 200


class Settings(Record):
    """What a person sets once. ``labour_rate`` and ``guard_cost_limit`` are in ``currency`` (an hour; a part).

    ``learned``: advice reasons with what proved cases taught; ``ledger_outside``: which cases of other shops count.
    """

    theme: Literal["light", "dark", "system"] = "system"
    size: Literal["desk", "bay", "across"] = "desk"
    units: Literal["metric", "us"] = "metric"
    currency: Line = "EUR"
    labour_rate: Annotated[float, Field(ge=0, le=100_000)] = 120.0
    guard_cost_limit: Annotated[float, Field(ge=0, le=1_000_000)] = 250.0
    shop_name: Line = ""
    author: Line = ""
    book: Line = ""
    learned: bool = False
    ledger_outside: Literal["none", "accepted", "all"] = "accepted"


def read_settings(path: Path) -> tuple[Settings, bool]:
    """Returns the settings and whether the file was damaged (then the defaults stand)."""
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        return Settings(), False
    except (OSError, UnicodeDecodeError):
        return Settings(), True
    try:
        return Settings.model_validate_json(text), False
    except ValidationError:
        return Settings(), True


def write_settings(path: Path, settings: Settings) -> None:
    """Writes the settings whole or not at all.

    Raises:
        EnvironmentFault: the folder cannot be written.
    """
    temporary = path.with_suffix(".new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        temporary.write_text(json.dumps(settings.plain(), indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
        temporary.replace(path)
    except OSError as error:
        raise EnvironmentFault("settings_not_written", path=str(path), why=error.strerror or str(error)) from None


def amount_of(field: Amount, text: str) -> float:
    """Returns an amount as a person types it.

    Raises:
        InputError: ``amount_wrong``, it is no number, or too small or large.
    """
    value = read_number(text, thousands=True)
    if value is None or not 0 <= value <= _MOST[field]:
        raise InputError("amount_wrong", text=text.strip(), most=f"{_MOST[field]:,}")
    return value


def currency_of(text: str) -> str:
    """Returns a currency as a person types it: a code such as EUR, or a sign.

    Raises:
        InputError: ``currency_wrong``, it is blank, long or holds figures.
    """
    cleaned = clean_text(text, lines=False)
    if not cleaned or len(cleaned) > _LONGEST_CURRENCY or any(char.isdigit() or char.isspace() for char in cleaned):
        raise InputError("currency_wrong", text=cleaned)
    return cleaned.upper()


def initials_of(text: str) -> str:
    """Returns initials as a person types them; blank where nobody is named.

    Raises:
        InputError: ``initials_wrong``, they are too long.
    """
    cleaned = clean_text(text, lines=False)
    if len(cleaned) > _LONGEST_INITIALS:
        raise InputError("initials_wrong", most=_LONGEST_INITIALS)
    return cleaned


def shop_name_of(text: str) -> str:
    """Returns a shop's name as a person types it.

    Raises:
        InputError: ``shop_name_wrong``, it is longer than a line of a record.
    """
    cleaned = clean_text(text, lines=False)
    if len(cleaned) > _LONGEST_NAME:
        raise InputError("shop_name_wrong", most=_LONGEST_NAME)
    return cleaned
