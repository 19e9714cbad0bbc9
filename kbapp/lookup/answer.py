"""Answers a question from one view: matches, ranks with named reasons, counts facets, quotes the passages."""

from collections.abc import Callable, Iterable, Sequence
from time import perf_counter
from typing import Any

from kbapp.errors import Cancelled
from kbapp.lookup import facets, likeness
from kbapp.lookup.likeness import Likeness
from kbapp.lookup.match import match_words
from kbapp.lookup.passages import Quoter, Spellings
from kbapp.lookup.question import Answer, Hit, Passage, Question, Reason
from kbapp.lookup.rank import rank
from kbapp.lookup.result_book import ResultBook
from kbapp.lookup.select import loosen, select
from kbapp.lookup.synonyms import NO_TERMS, Table, table_of
from kbapp.lookup.understand import Asked, understand
from kbapp.lookup.vehicles import VehicleNames
from kbapp.lookup.view import View


class Answerer:
    """Answers questions; keeps what is learned of the book's results and spellings from one question to the next."""

    def __init__(self) -> None:
        self._results = ResultBook()
        self._terms: Table = NO_TERMS
        self._spellings = Spellings()
        self._names: tuple[View, VehicleNames] | None = None

    def use_terms(self, lines: Iterable[Sequence[str]]) -> None:
        """Takes the shop's own terms: each line gives names of one thing."""
        self._terms = table_of(lines)

    def answer(self, view: View, question: Question, stop: Callable[[], bool]) -> Answer:
        """Returns the answer of a view.

        Raises:
            Cancelled: ``stop`` was true.
            InputError: ``facet_unknown``.
        """
        started = perf_counter()
        asked = understand(view, question, self._vehicle_names(view), self._terms)
        words = match_words(view, asked.concepts.all, stop)
        parts = self._parts(view, asked)
        _check(stop)
        selected = select(view, asked, words, parts, stop)
        ranked = rank(view, selected.documents, words, parts, question.limit)
        _check(stop)
        cards = [view.card(one.document) for one in ranked]
        terms = frozenset(term for one in words.met for way in one.concept.ways for term in way.terms)
        quoted = Quoter(terms, asked.reading.phrases, self._spellings).quote([card["texts"] for card in cards])
        hits = [_hit(card, one.reasons, text) for card, one, text in zip(cards, ranked, quoted, strict=True)]
        counted = facets.counts(view, selected.documents, selected.mask)
        _check(stop)
        return Answer(
            question,
            (perf_counter() - started) * 1000,
            len(selected.documents),
            tuple(hits),
            counted,
            asked.concepts.did_you_mean,
            loosen=() if selected.full else loosen(view, asked, words),
            full=selected.full,
            ambiguous=asked.ambiguous,
        )

    def _vehicle_names(self, view: View) -> VehicleNames:
        if self._names is None or self._names[0] is not view:
            self._names = (view, VehicleNames(view))
        return self._names[1]

    def _parts(self, view: View, asked: Asked) -> list[Likeness]:
        question = asked.question
        parts: list[Likeness] = []
        if question.system:
            parts.append(likeness.system_part(view, question.system))
        if asked.concerns:
            parts.append(likeness.symptom_part(view, asked.concerns))
        if asked.codes:
            parts.append(likeness.code_part(view, asked.codes))
        if not asked.vehicle.empty:
            parts.append(likeness.vehicle_part(view, asked.vehicle, asked.names))
        if question.parts_tried or asked.told_parts:
            parts += likeness.tried_parts(view, question.parts_tried, asked.told_parts)
        if question.evidence or asked.told_results:
            parts += likeness.evidence_parts(view, question.evidence, asked.told_results, self._results)
        if question.evidence:
            parts.append(likeness.evidence_words(view, question.evidence, asked.names))
        if asked.reading.names:
            parts.append(likeness.number_part(view, asked.reading.names))
        return parts


def _check(stop: Callable[[], bool]) -> None:
    if stop():
        raise Cancelled


def _hit(card: dict[str, Any], reasons: tuple[Reason, ...], quoted: tuple[Passage, ...]) -> Hit:
    score = float(sum(reason.value for reason in reasons))
    return Hit(
        card["id"],
        card["number"],
        score,
        reasons,
        card["state"],
        card["concern"],
        card["vehicle"],
        card["cause"],
        card["signed"],
        quoted,
    )
