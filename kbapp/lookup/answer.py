"""Answers a question from one view: matches, ranks with named reasons, counts facets, quotes the passages."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from time import perf_counter
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from kbapp.errors import Cancelled
from kbapp.lookup import facets, likeness
from kbapp.lookup.concepts import Concepts, resolve
from kbapp.lookup.document import plain_code
from kbapp.lookup.evidence import ResultBook
from kbapp.lookup.likeness import Likeness
from kbapp.lookup.marks import SIGNED
from kbapp.lookup.match import ENOUGH, LONG, Met, WordMatch, match_words, without
from kbapp.lookup.parse import Reading, read
from kbapp.lookup.passages import Quoter, Spellings
from kbapp.lookup.postings import Ids
from kbapp.lookup.question import Answer, Hit, Passage, Question, Reason
from kbapp.lookup.synonyms import named_concerns
from kbapp.lookup.vehicles import Known, VehicleNames
from kbapp.lookup.view import Mask, Scores, View

NUMBER: Final = 100.0
PROVED: Final = 0.10
PROVED_ELSEWHERE: Final = 0.06
REPAIRED: Final = 0.03
_NAMED: Final = 0.5
_HELD_BACK: Final = ("came_back", "withdrawn")
_HOLD: Final = 0.5
_BEHIND: Final = 0.9
_DIGITS: Final = 4


@dataclass(frozen=True, slots=True)
class _Asked:
    question: Question
    reading: Reading
    concepts: Concepts
    symptoms: dict[str, float]
    codes: tuple[str, ...]
    vehicle: Known
    names: VehicleNames


@dataclass(frozen=True, slots=True)
class _Matched:
    """Matching live documents, ascending, and whether each matches fully."""

    documents: Ids
    mask: Mask
    full: int


class Answerer:
    """Answers questions; keeps the results of the book taken apart from one question to the next."""

    def __init__(self) -> None:
        self._results = ResultBook()
        self._spellings = Spellings()
        self._names: tuple[View, VehicleNames] | None = None

    def answer(self, view: View, question: Question, stop: Callable[[], bool]) -> Answer:
        """Returns the answer of a view.

        Raises:
            Cancelled: ``stop`` was true.
        """
        started = perf_counter()
        asked = self._understand(view, question)
        words = match_words(view, asked.concepts.all, stop)
        parts = self._parts(view, asked)
        _check(stop)
        matched = self._matched(view, asked, words, parts, stop)
        _check(stop)
        order, ranked = self._ranked(view, asked, words, parts, matched)
        _check(stop)
        terms = frozenset(term for one in words.met for way in one.concept.ways for term in way.terms)
        cards = [view.card(document) for document in order]
        quoted = Quoter(terms, asked.reading.phrases, self._spellings).quote([card["texts"] for card in cards])
        hits = tuple(_hit(*shown) for shown in zip(cards, ranked, quoted, strict=True))
        counted = facets.counts(view, matched.documents, matched.mask)
        _check(stop)
        loosen = () if matched.full else _loosen(view, asked, words)
        return Answer(
            question, (perf_counter() - started) * 1000, len(matched.documents), hits, counted, asked.concepts.did_you_mean,
            loosen=loosen, full=matched.full,
        )  # fmt: skip

    def _understand(self, view: View, question: Question) -> _Asked:
        if self._names is None or self._names[0] is not view:
            self._names = (view, VehicleNames(view))
        names = self._names[1]
        reading = read(question.text)
        concepts = resolve(view, reading, names, typing=question.typing)
        content = [token for token in reading.words if token.word.terms and not token.word.stop]
        symptoms = dict(concepts.concerns)
        for term in named_concerns(reading.text[:1000]) if content else ():
            symptoms[term] = max(symptoms.get(term, 0.0), _NAMED)
        symptoms.update(dict.fromkeys(question.symptoms, 1.0))
        codes = tuple(dict.fromkeys((*map(plain_code, question.codes), *reading.codes)))
        return _Asked(question, reading, concepts, symptoms, codes, names.asked(question, content), names)

    def _parts(self, view: View, asked: _Asked) -> list[Likeness]:
        question = asked.question
        parts: list[Likeness] = []
        if question.system:
            parts.append(likeness.system_part(view, question.system))
        if asked.symptoms:
            parts.append(likeness.symptom_part(view, asked.symptoms))
        if asked.codes:
            parts.append(likeness.code_part(view, asked.codes))
        if not asked.vehicle.empty:
            parts.append(likeness.vehicle_part(view, asked.vehicle, asked.names))
        if question.parts_tried:
            parts += likeness.tried_parts(view, question.parts_tried)
        if question.evidence:
            parts += likeness.evidence_parts(view, question.evidence, self._results)
        if asked.reading.names:
            parts.append(_number_part(view, asked.reading.names))
        return parts

    def _matched(
        self, view: View, asked: _Asked, words: WordMatch, parts: list[Likeness], stop: Callable[[], bool]
    ) -> _Matched:
        live = view.live
        if words.met:
            full = words.full & live
            chosen = full
            if words.content > LONG:
                chosen = chosen | (live & _alike(view, parts, ("symptom", "code"), 0.99 * likeness.SYMPTOM * _NAMED))
            if np.count_nonzero(chosen) < ENOUGH:
                chosen = chosen | (words.partial & live)
        else:
            full = chosen = live if _only_narrowed(asked) else live & _candidates(view, asked, parts)
        numbered = _alike(view, parts, ("number",), 0.0)
        full, chosen = full | (numbered & live), chosen | (numbered & live)
        mask = chosen & facets.narrowed(view, asked.question.narrow)
        for document in view.find(asked.question.not_case) if asked.question.not_case else ():
            mask[document] = False
        if asked.reading.phrases:
            self._keep_quoted(view, asked.reading.phrases, mask, stop)
        return _Matched(np.flatnonzero(mask).astype(np.int32), mask, int(np.count_nonzero(mask & full)))

    def _keep_quoted(
        self, view: View, phrases: tuple[re.Pattern[str], ...], mask: Mask, stop: Callable[[], bool]
    ) -> None:
        """Drops from ``mask`` the documents that lack a quoted phrase; what was looked up once is remembered."""
        for document in np.flatnonzero(mask).tolist():
            _check(stop)
            mask[document] = all(view.says(document, phrase) for phrase in phrases)

    def _ranked(
        self, view: View, asked: _Asked, words: WordMatch, parts: list[Likeness], matched: _Matched
    ) -> tuple[list[int], list[tuple[Reason, ...]]]:
        documents = matched.documents
        worded: Scores = words.score[documents] if words.met else np.zeros(len(documents))
        alike = [part.values[documents] for part in parts]
        total = worded + sum(alike, np.zeros(len(documents)))
        proof = _proof(view, documents, total)
        total = total + proof
        held = _held_back(view, documents, total)
        total = total + held
        top = _top(view, documents, total, asked.question.limit)
        reasons = [
            self._reasons(view, asked, words, parts, int(documents[at]), float(worded[at]), [float(one[at]) for one in alike],
                          float(proof[at]), float(held[at]))
            for at in top
        ]  # fmt: skip
        return [int(documents[at]) for at in top], reasons

    def _reasons(
        self, view: View, asked: _Asked, words: WordMatch, parts: list[Likeness], document: int, worded: float, alike: list[float],
        proof: float, held: float,
    ) -> tuple[Reason, ...]:  # fmt: skip
        reasons = list(_word_reasons(words, document, worded))
        reasons += [
            Reason(part.name, value, part.detail(document)) for part, value in zip(parts, alike, strict=True) if value
        ]
        state = view.vocabulary.values("state")[int(view.single["state"][document])]
        reasons += [Reason("proof", proof, state)] if proof else []
        reasons += [Reason(state, held)] if held else []
        rounded = [Reason(one.name, round(one.value, _DIGITS), one.detail) for one in reasons]
        return tuple(sorted((one for one in rounded if one.value), key=lambda one: -abs(one.value)))


def _hit(card: dict[str, Any], reasons: tuple[Reason, ...], quoted: tuple[Passage, ...]) -> Hit:
    score = float(sum(reason.value for reason in reasons))
    return Hit(
        card["id"], card["number"], score, reasons, card["state"], card["concern"], card["vehicle"], card["cause"], card["signed"], quoted
    )  # fmt: skip


def _check(stop: Callable[[], bool]) -> None:
    if stop():
        raise Cancelled


def _number_part(view: View, names: tuple[str, ...]) -> Likeness:
    values = np.zeros(view.size)
    for name in names:
        for field in ("number", "id"):
            values[view.postings(field, name).ids] = NUMBER
    return Likeness("number", values, lambda _document: "")


def _alike(view: View, parts: list[Likeness], names: tuple[str, ...], least: float) -> Mask:
    mask = np.zeros(view.size, dtype=np.bool_)
    for part in parts:
        if part.name in names:
            mask |= part.values > least
    return mask


def _only_narrowed(asked: _Asked) -> bool:
    question = asked.question
    structured = (question.system, asked.symptoms, asked.codes, question.parts_tried, question.evidence)
    return not any(structured) and asked.vehicle.empty and not asked.reading.names


def _candidates(view: View, asked: _Asked, parts: list[Likeness]) -> Mask:
    """Returns the documents like a question without words: in what it asks beside the vehicle, else in the vehicle."""
    found = _alike(
        view, parts, ("symptom", "code", "evidence", "evidence_against", "part_tried", "tried_was_cause"), 0.0
    )
    found |= _alike(view, parts, ("evidence_against", "tried_was_cause"), 0.0)
    if not found.any():
        found |= _alike(view, parts, ("system",), 0.0)
    if not found.any():
        far = asked.vehicle.family or asked.vehicle.engine
        found |= _alike(view, parts, ("vehicle",), 0.5 if far else 0.0)
    return found


def _proof(view: View, documents: Ids, total: Scores) -> Scores:
    states = view.vocabulary.values("state")
    here = view.single[SIGNED][documents] > 0
    share = np.zeros(len(states))
    for number, state in enumerate(states):
        share[number] = {"proved": PROVED_ELSEWHERE, "repaired": REPAIRED}.get(state, 0.0)
    numbers = view.single["state"][documents]
    factor = share[numbers]
    if "proved" in states:
        factor = np.where(here & (numbers == states.index("proved")), PROVED, factor)
    result: Scores = factor * np.maximum(total, 0.0)
    return result


def _held_back(view: View, documents: Ids, total: Scores) -> Scores:
    """Returns what came-back and withdrawn cases lose: half, and at least so much that none of them leads."""
    states = view.vocabulary.values("state")
    numbers = [number for number, state in enumerate(states) if state in _HELD_BACK]
    held = np.isin(view.single["state"][documents], numbers)
    loss = np.zeros(len(documents))
    if not held.any():
        return loss
    best = float(total[~held].max()) if (~held).any() else np.inf
    keep = np.minimum(total * (1 - _HOLD), np.where(total > 0, _BEHIND * best if best > 0 else best - 1.0, np.inf))
    loss[held] = np.minimum(keep - total, 0.0)[held]
    return loss


def _top(view: View, documents: Ids, total: Scores, limit: int) -> list[int]:
    """Returns the places of the best documents: by score, then newest, then last written."""
    if limit <= 0 or not len(documents):
        return []
    pool: NDArray[Any] = np.arange(len(documents))
    if len(documents) > 4 * limit:
        least = np.partition(total, len(total) - limit)[len(total) - limit]
        pool = np.flatnonzero(total >= least)
    score = np.round(total[pool], _DIGITS)
    order = np.lexsort((-documents[pool], -view.days[documents[pool]], -score))
    return [int(at) for at in pool[order][:limit].tolist()]


def _word_reasons(words: WordMatch, document: int, worded: float) -> list[Reason]:
    """Splits the words' score by how each word was met; the values add up to it."""
    if not worded:
        return []
    met: dict[str, list[tuple[float, str]]] = {}
    for one in words.met:
        value = _score_in(one, document)
        if value:
            name, label = _way_met(one)
            met.setdefault(name, []).append((value * (0.3 if one.concept.light else 1.0), label))
    whole = sum(value for found in met.values() for value, _ in found) or 1.0
    return [
        Reason(name, worded * sum(value for value, _ in found) / whole, ", ".join(label for _, label in sorted(found, reverse=True)))
        for name, found in met.items()
    ]  # fmt: skip


def _score_in(one: Met, document: int) -> float:
    at = int(np.searchsorted(one.ids, document))
    return float(one.scores[at]) if at < len(one.ids) and int(one.ids[at]) == document else 0.0


def _way_met(one: Met) -> tuple[str, str]:
    ways = one.concept.ways
    return (ways[0].reason, ways[0].label or one.concept.label) if ways else ("words", one.concept.label)


def _loosen(view: View, asked: _Asked, words: WordMatch) -> tuple[str, ...]:
    """Returns the narrowings and words whose removal, one at a time, would find something."""
    question = asked.question
    found = []
    for at, one in enumerate(question.narrow):
        rest = (*question.narrow[:at], *question.narrow[at + 1 :])
        full = words.full if words.met else view.live
        if (full & facets.narrowed(view, rest)).any():
            found.append(one.field)
    if len(words.required) > 1:
        kept = facets.narrowed(view, question.narrow)
        for met in words.required[:8]:
            if (without(view, words.required, met) & kept).any():
                found.append(met.concept.label)
    return tuple(found)
