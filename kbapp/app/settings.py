"""The user's settings on this PC: one small JSON file, written whole; a damaged file never stops the program."""

import json
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, ValidationError

from kbapp.errors import EnvironmentFault
from kbapp.records.base import Line, Record


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
