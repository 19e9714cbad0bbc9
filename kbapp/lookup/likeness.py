"""How like the job at hand each case is, one named part at a time; every part is an array over all documents."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import sqrt
from typing import Final

import numpy as np

from kbapp.lookup import marks, weights
from kbapp.lookup.concepts import resolve
from kbapp.lookup.evidence import Result, read_result
from kbapp.lookup.marks import SEPARATOR, mark
from kbapp.lookup.match import words_alone
from kbapp.lookup.parse import read
from kbapp.lookup.question import Evidence
from kbapp.lookup.result_book import ResultBook
from kbapp.lookup.synonyms import same_thing
from kbapp.lookup.vehicles import Known, VehicleNames, kinship
from kbapp.lookup.view import Documents, Scores, View
from kbapp.lookup.words import content_stems
from kbapp.records import symptoms
from kbapp.records.codes import parse_code

_MOST_RESULTS: Final = 400


@dataclass(frozen=True, slots=True)
class Likeness:
    """One named part of the score over all documents; ``detail`` tells for one document what matched."""

    name: str
    values: Scores
    detail: Callable[[int], str]


def _constant(text: str) -> Callable[[int], str]:
    return lambda _document: text


def _raise_to(values: Scores, ids: Documents, value: float) -> None:
    values[ids] = np.maximum(values[ids], value)


def number_part(view: View, names: Sequence[str]) -> Likeness:
    """Returns the part of cases asked for by their own number or id: they come first."""
    values = np.zeros(view.size)
    for name in names:
        for field in ("number", "id"):
            values[view.postings(field, name).ids] = weights.NUMBER
    return Likeness("number", values, _constant(""))


def system_part(view: View, system: str) -> Likeness:
    """Returns the part of cases about the same system."""
    values = np.zeros(view.size)
    values[view.facts(mark("system", system))] = weights.SYSTEM
    return Likeness("system", values, _constant(system))


def symptom_part(view: View, asked: Mapping[str, float]) -> Likeness:
    """Returns the part of the same or kin concerns; ``asked`` gives each concern's weight."""
    total = np.zeros(view.size)
    kin = {one: _symptom_kin(view, one) for one in asked}
    for one, weight in asked.items():
        values = np.zeros(view.size)
        for other, near in kin[one]:
            _raise_to(values, view.facts(mark("symptom", other)), near)
            _raise_to(values, view.facts(mark(marks.SPOTTED, other)), weights.OWN_WORDS * near)
        total += weight * values
    total *= weights.SYMPTOM / max(1.0, sum(asked.values()))
    return Likeness("symptom", total, lambda document: _concern_told(view, document, kin.values()))


def _symptom_kin(view: View, asked: str) -> list[tuple[str, float]]:
    near = ((value, symptoms.kinship(asked, value)) for value in _concerns_of(view))
    return sorted((pair for pair in near if pair[1]), key=lambda pair: pair[1])


def _concerns_of(view: View) -> dict[str, None]:
    """Returns the concerns that cases of the book state or describe."""
    known = (view.vocabulary.values(kind) for kind in ("symptom", marks.SPOTTED))
    return dict.fromkeys(value for values in known for value in values if value)


def _concern_told(view: View, document: int, kin: Iterable[Sequence[tuple[str, float]]]) -> str:
    kin = tuple(kin)
    return _values_of(view, "symptom", document, kin) or _values_of(view, marks.SPOTTED, document, kin)


def _values_of(view: View, kind: str, document: int, kin: Iterable[Sequence[tuple[str, float]]]) -> str:
    """Returns the values of a document that are kin to what was asked, nearest first."""
    _documents, numbers = view.pairs[kind]
    start, end = view.starts[kind][document], view.starts[kind][document + 1]
    names = {view.vocabulary.values(kind)[number] for number in numbers[start:end].tolist()}
    near: dict[str, float] = {}
    for pairs in kin:
        for name, value in pairs:
            if name in names:
                near[name] = max(near.get(name, 0.0), value)
    return ", ".join(sorted(near, key=lambda name: (-near[name], name))[:3])


def code_part(view: View, asked: Sequence[str]) -> Likeness:
    """Returns the part of the same trouble codes, and of codes of the same group."""
    total = np.zeros(view.size)
    kin = {one: _code_kin(view, one) for one in asked}
    for near in kin.values():
        values = np.zeros(view.size)
        for other, value in near:
            _raise_to(values, view.facts(mark("code", other)), value)
        total += values
    total *= weights.CODE / sqrt(len(asked))
    return Likeness("code", total, lambda document: _values_of(view, "code", document, kin.values()))


def _code_kin(view: View, asked: str) -> list[tuple[str, float]]:
    """Returns the codes of the book of the same group, then the same code."""
    wanted = _group(asked)
    near = (
        (value, 1.0 if value == asked else weights.CODE_GROUP)
        for value in view.vocabulary.values("code")
        if value and (value == asked or (wanted and _group(value) == wanted))
    )
    return sorted(near, key=lambda pair: pair[1])


@lru_cache(maxsize=20_000)
def _group(code: str) -> str:
    read = parse_code(code)
    return read.group if read else ""


def vehicle_part(view: View, known: Known, names: VehicleNames) -> Likeness:
    """Returns the part of kin vehicles; its detail is what is shared (``family: Lindle``)."""
    values, shared = kinship(known, names)
    numbers = view.single[marks.VEHICLE]
    shown = view.vocabulary.values(marks.VEHICLE)

    def detail(document: int) -> str:
        number = int(numbers[document])
        make, family, platform, generation, engine = (shown[number].split(SEPARATOR) + [""] * 5)[:5]
        told = {
            "generation": f"{family} {generation}",
            "family": family,
            "platform": platform,
            "engine": engine,
            "make": make,
        }
        return f"{shared[number]}: {told.get(shared[number], '')}"

    return Likeness("vehicle", weights.VEHICLE * values[numbers], detail)


def tried_parts(view: View, asked: Sequence[str], told: Sequence[frozenset[str]]) -> list[Likeness]:
    """Returns two parts: cases where a tried part changed nothing either, and cases that it cured (so not this one).

    ``told`` are clauses of running text, as stems: a part of the book whose name stands in one was tried.
    """
    helped, cured = np.zeros(view.size), np.zeros(view.size)
    stated = [content_stems(part) for part in asked]
    names: dict[str, None] = dict.fromkeys(asked)
    for kind, values, value in (
        (marks.TRIED, helped, weights.PART_TRIED),
        (marks.CURED, cured, weights.TRIED_WAS_CAUSE),
    ):
        for number in view.listed[kind]:
            name = view.vocabulary.values(kind)[number]
            if any(_same_part(stems, name) for stems in stated):
                values[view.facts(mark(kind, name))] = value
            elif told and any(_stands_in(name, clause) for clause in told):
                names[name] = None
                ids = view.facts(mark(kind, name))
                values[ids] = np.where(values[ids] == 0, weights.TOLD * value, values[ids])
    said = ", ".join(list(names)[:3])
    return [Likeness("part_tried", helped, _constant(said)), Likeness("tried_was_cause", cured, _constant(said))]


def _stands_in(name: str, clause: frozenset[str]) -> bool:
    stems = content_stems(name)
    return bool(stems) and stems <= clause


def _same_part(stems: frozenset[str], name: str) -> bool:
    other = content_stems(name)
    return bool(stems) and bool(other) and (stems <= other or other <= stems or same_thing(stems, other))


def evidence_parts(view: View, asked: Sequence[Evidence], told: Sequence[Result], book: ResultBook) -> list[Likeness]:
    """Returns two parts: results that agree with those at hand, and results that contradict them."""
    learn(view, book)
    agree, against = np.zeros(view.size), np.zeros(view.size)
    for one in asked:
        found = result_values(view, book, read_result(one.test, one.outcome))
        agree += weights.EVIDENCE * np.maximum(found, 0)
        against += weights.EVIDENCE * np.minimum(found, 0)
    for result in told:
        found = weights.TOLD * result_values(view, book, result, weights.LEAST_TOLD)
        agree += weights.EVIDENCE * np.maximum(found, 0)
        against += weights.EVIDENCE * np.minimum(found, 0)
    said = ", ".join((*(f"{one.test} = {one.outcome}" for one in asked), *(one.outcome for one in told)))
    return [Likeness("evidence", agree, _constant(said)), Likeness("evidence_against", against, _constant(said))]


def learn(view: View, book: ResultBook) -> None:
    """Takes the results of a view into the book of results."""
    values = view.vocabulary.values(marks.TEST)
    for number in view.listed[marks.TEST]:
        if not book.has(number):
            book.add(number, *values[number].split(SEPARATOR, 2))


def result_values(view: View, book: ResultBook, asked: Result, least: float = 0.0) -> Scores:
    """Returns for all documents how far their nearest test to the one asked agrees (1) or contradicts (-1)."""
    found = np.zeros(view.size)
    values = view.vocabulary.values(marks.TEST)
    for one in book.compare(asked)[-_MOST_RESULTS:]:  # the nearest test of a case comes last, and decides
        if one.like >= least:
            found[view.facts(mark(marks.TEST, values[one.number]))] = one.like * one.agrees
    return found


def evidence_words(view: View, asked: Sequence[Evidence], names: VehicleNames) -> Likeness:
    """Returns the part of cases that tell of the results at hand in any words, wherever they stand."""
    text = "; ".join(f"{one.test} {one.outcome}".replace("_", " ") for one in asked)
    values = words_alone(view, resolve(view, read(text), names, typing=False).all)
    return Likeness("evidence_words", weights.EVIDENCE_WORDS * values, _constant(text))
