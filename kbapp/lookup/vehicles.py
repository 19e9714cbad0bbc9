"""Vehicles: names of the book recognised in free text, and how near of kin two vehicles are."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from kbapp.lookup.marks import SEPARATOR, VEHICLE
from kbapp.lookup.question import Question
from kbapp.lookup.view import View
from kbapp.lookup.words import Token, normalize

KIN: Final = {"generation": 1.0, "family": 0.8, "platform": 0.5, "engine": 0.35, "make": 0.15}
"""How near of kin, by the nearest thing two vehicles share (common practice)."""


@dataclass(frozen=True, slots=True)
class Known:
    """A vehicle as far as it is known, every value normalised; ``platforms`` are all those of its family."""

    make: str = ""
    family: str = ""
    generation: str = ""
    engine: str = ""
    platforms: frozenset[str] = frozenset()

    @property
    def empty(self) -> bool:
        """Returns whether nothing is known."""
        return not (self.make or self.family or self.generation or self.engine)


@dataclass(frozen=True, slots=True)
class _Row:
    make: str
    family: str
    platform: str
    generation: str
    engine: str


class VehicleNames:
    """The makes, families and engines of one view, to recognise them in free text."""

    def __init__(self, view: View) -> None:
        self.rows = [_row(value) for value in view.vocabulary.values(VEHICLE)]
        self._kinds: dict[str, str] = {}
        self._generations: dict[str, set[str]] = {}
        self._makes: dict[str, set[str]] = {}
        for row in self.rows:
            for kind, name in (("engine", row.engine), ("make", row.make), ("family", row.family)):
                if len(name) > 1:
                    self._kinds[name] = kind
            self._generations.setdefault(row.family, set()).add(row.generation)
            self._makes.setdefault(row.family, set()).add(row.make)

    def places(self, words: Sequence[Token]) -> dict[int, tuple[str, str]]:
        """Returns which words name a vehicle: position → (what it names: make, family, …; its value)."""
        found: dict[int, tuple[str, str]] = {}
        family = ""
        for at, token in enumerate(words):
            word = token.word.plain[0]
            if family and word in self._generations.get(family, ()):
                found[at] = ("generation", word)
            family = ""
            if word in self._kinds:
                found[at] = (self._kinds[word], word)
                family = word if self._kinds[word] == "family" else ""
        return found

    def asked(self, question: Question, words: Sequence[Token]) -> Known:
        """Returns the vehicle a question is about: what it states, completed by what its text names."""
        named = dict(self.places(words).values())
        stated = {
            kind: normalize(getattr(question, kind).strip()) for kind in ("make", "family", "generation", "engine")
        }
        make, family, generation, engine = (value or named.get(kind, "") for kind, value in stated.items())
        known = Known(make, family, generation, engine)
        platforms = {row.platform for row in self.rows if known.family and row.family == known.family and row.platform}
        return replace(known, platforms=frozenset(platforms))


def _row(value: str) -> _Row:
    parts = [normalize(part.strip()) for part in value.split(SEPARATOR)]
    return _Row(*parts) if len(parts) == 5 else _Row("", "", "", "", "")


def nearest(known: Known, row: _Row) -> str:
    """Returns the nearest thing two vehicles share: a key of ``KIN``, or the empty string."""
    same_make = not known.make or not row.make or known.make == row.make
    if known.family and known.family == row.family and same_make:
        return "generation" if known.generation and known.generation == row.generation else "family"
    if row.platform and row.platform in known.platforms:
        return "platform"
    if known.engine and known.engine == row.engine:
        return "engine"
    return "make" if known.make and known.make == row.make else ""


def kinship(known: Known, names: VehicleNames) -> tuple[NDArray[np.float64], list[str]]:
    """Returns, for every vehicle number of the view, its kinship with the one asked about, and what is shared."""
    shared = [nearest(known, row) for row in names.rows]
    return np.array([KIN.get(one, 0.0) for one in shared], dtype=np.float64), shared
