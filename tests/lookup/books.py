"""Small books in memory for the tests of the index, made of real cases."""

import itertools
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from uuid import UUID

from kbapp.lookup.index import CaseIndex
from kbapp.lookup.question import Answer, Question
from kbapp.lookup.source import SourceCase
from kbapp.records.case import Case

INCARNATION = "book-1"


def case(number: int, concern: str, /, **fields: Any) -> Case:
    """Returns a case of this number; ``symptoms``, ``system`` and ``conditions`` go into its concern."""
    about: dict[str, Any] = {name: fields.pop(name) for name in ("symptoms", "system", "conditions") if name in fields}
    plain = {
        "format": "provebook-case/1",
        "id": str(UUID(int=number)),
        "number": f"2026-{number:04d}",
        "state": "proved",
        "concern": {"text": concern, **about},
        **fields,
    }
    return Case.model_validate(plain)


def ran(name: str, outcome: str, /, at: int = 1, **fields: Any) -> dict[str, Any]:
    """Returns a timeline entry of a test."""
    return {"kind": "test", "id": f"t{at}", "test": name, "outcome": outcome, **fields}


def fitted(name: str, effect: str, /, at: int = 1, **fields: Any) -> dict[str, Any]:
    """Returns a timeline entry of a fitted part."""
    return {"kind": "part", "id": f"p{at}", "part": name, "effect": effect, **fields}


class MemorySource:
    """A book in memory: every case once, by its latest change."""

    def __init__(self, cases: Iterable[Case] = (), *, signed: bool = True) -> None:
        self.incarnation = INCARNATION
        self._signed = signed
        self._numbers = itertools.count(1)
        self._latest: dict[str, SourceCase] = {}
        for one in cases:
            self.save(one)

    def save(self, saved: Case) -> SourceCase:
        """Saves a case as the next change."""
        return self._keep(SourceCase(next(self._numbers), saved.id, saved, self._signed))

    def remove(self, case_id: str) -> SourceCase:
        """Removes a case as the next change."""
        return self._keep(SourceCase(next(self._numbers), case_id, None))

    def _keep(self, change: SourceCase) -> SourceCase:
        self._latest.pop(change.case_id, None)
        self._latest[change.case_id] = change
        return change

    def last_change(self) -> int:
        return max((one.change for one in self._latest.values()), default=0)

    def count(self) -> int:
        return sum(one.case is not None for one in self._latest.values())

    def changed_since(self, change: int, limit: int) -> Sequence[SourceCase]:
        return [one for one in self._latest.values() if one.change > change][:limit]


@contextmanager
def index_of(home: Path, cases: Iterable[Case], *, signed: bool = True) -> Iterator[CaseIndex]:
    """Opens a fresh index over the cases."""
    CaseIndex.build(home, MemorySource(cases, signed=signed))
    index = CaseIndex.open(home, INCARNATION)
    try:
        yield index
    finally:
        index.close()


def numbers(answer: Answer) -> list[int]:
    """Returns the numbers of the hits as ``case`` gave them."""
    return [int(UUID(hit.id)) for hit in answer.hits]


def asked(index: CaseIndex, text: str = "", **fields: Any) -> list[int]:
    """Returns the numbers of the hits of a question."""
    return numbers(index.ask(Question(text=text, **fields)))
