"""The labelled set as values: cases, questions with grades, and the split into a part to tune by and a sealed one."""

import json
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Literal

from kbapp.lookup.question import Evidence, Question
from kbapp.records.case import Case
from kbapp.records.case_document import read_case
from kbapp.resources import resource

HERE = Path(__file__).with_name("labelled")
TYPES = ("lay", "technician", "typos", "vehicle", "codes", "evidence")
GRADES = (0, 1, 2, 3)
_LISTS = ("symptoms", "codes", "parts_tried")

Part = Literal["tune", "final"]


@dataclass(frozen=True, slots=True)
class Labelled:
    """A question with the grades of the cases; a case without a grade counts as 0.

    ``pair`` is (better, worse): two cases that are easily taken for each other, the first of which must rank higher.
    """

    id: str
    type: str
    question: Question
    judged: dict[str, int]
    pair: tuple[str, str] | None


def case_files() -> tuple[Path, ...]:
    """Returns the files of all cases that are searched: the practice cases and the extra ones."""
    return (*sorted(resource("seed_cases").glob("*.json")), *sorted((HERE / "cases").glob("*.json")))


@cache
def cases() -> tuple[Case, ...]:
    """Returns all cases that are searched.

    Raises:
        ValueError: a document has faults.
    """
    found = []
    for path in case_files():
        checked = read_case(path.read_bytes())
        if checked.value is None:
            raise ValueError(path.name, checked.faults)
        found.append(checked.value)
    return tuple(found)


def raw_questions() -> list[dict[str, Any]]:
    """Returns the questions as they are written."""
    read: list[dict[str, Any]] = json.loads((HERE / "questions.json").read_text(encoding="utf-8"))
    return read


def split() -> dict[Part, list[str]]:
    """Returns the ids of either part."""
    read: dict[Part, list[str]] = json.loads((HERE / "split.json").read_text(encoding="utf-8"))
    return read


def questions(part: Part) -> tuple[Labelled, ...]:
    """Returns the questions of one part in their written order."""
    wanted = set(split()[part])
    return tuple(_labelled(item) for item in raw_questions() if item["id"] in wanted)


def _labelled(item: dict[str, Any]) -> Labelled:
    asked: dict[str, Any] = dict(item["question"])
    for name in _LISTS:
        asked[name] = tuple(asked.get(name, ()))
    asked["evidence"] = tuple(Evidence(one["test"], one["outcome"]) for one in asked.get("evidence", ()))
    pair = (item["pair"]["better"], item["pair"]["worse"]) if "pair" in item else None
    return Labelled(item["id"], item["type"], Question(**asked), item["judged"], pair)
