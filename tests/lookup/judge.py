"""Judges Look First by the labelled set: ``python -m tests.lookup.judge [--part …] [--system …] [--worst N]``."""

import argparse
import math
import sys
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from statistics import fmean

import ir_measures
from ir_measures import nDCG

from kbapp.lookup.question import Question
from tests.lookup import peers
from tests.lookup.books import index_of
from tests.lookup.labelled_set import TYPES, Labelled, Part, cases, questions
from tests.lookup.measures import interval, ndcg, pair_kept, reciprocal_rank

SYSTEMS = ("ours", "fts5", "bm25")


@dataclass(frozen=True, slots=True)
class Judged:
    """What came of one question: all cases found, best first, and the measures. ``pair`` is None without a pair."""

    labelled: Labelled
    ranked: tuple[str, ...]
    ndcg: float
    rr: float
    pair: float | None


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table: means over the questions of a type, with 95 % intervals."""

    name: str
    questions: int
    ndcg: float
    ndcg_range: tuple[float, float]
    mrr: float
    mrr_range: tuple[float, float]
    pairs: int
    pairs_kept: float
    pairs_range: tuple[float, float]


@contextmanager
def searching(system: str) -> Iterator[peers.Ask]:
    """Gives one of ``SYSTEMS`` over the practice cases and the extra ones.

    Raises:
        KeyError: there is no such system.
    """
    if system != "ours":
        with {"fts5": peers.fts5, "bm25": peers.bm25}[system](cases()) as ask:
            yield ask
        return
    with tempfile.TemporaryDirectory() as home, index_of(Path(home) / "index", cases()) as index:

        def look(question: Question) -> list[str]:
            return [hit.id for hit in index.ask(question).hits]

        yield look


def judge(system: str, asked: Sequence[Labelled]) -> tuple[Judged, ...]:
    """Asks a system all questions and measures the answers."""
    everything = len(cases())
    out = []
    with searching(system) as ask:
        for one in asked:
            ranked = tuple(ask(replace(one.question, limit=everything)))
            pair = pair_kept(ranked, one.pair) if one.pair else None
            gain, rr = ndcg(ranked, one.judged), reciprocal_rank(ranked, one.judged)
            out.append(Judged(one, ranked, gain, rr, pair))
    return tuple(out)


def library_ndcg(found: Sequence[Judged]) -> dict[str, float]:
    """Returns nDCG@10 of each question as the library ``ir_measures`` computes it."""
    grades = {one.labelled.id: one.labelled.judged for one in found}
    runs = {one.labelled.id: {case: -float(place) for place, case in enumerate(one.ranked)} for one in found}
    values = {metric.query_id: metric.value for metric in ir_measures.iter_calc([nDCG @ 10], grades, runs)}
    return {question: values.get(question, 0.0) for question in grades}


def row(name: str, found: Sequence[Judged]) -> Row:
    """Returns the means of some questions."""
    gains, ranks = [one.ndcg for one in found], [one.rr for one in found]
    pairs = [one.pair for one in found if one.pair is not None]
    return Row(
        name, len(found), fmean(gains), interval(gains), fmean(ranks), interval(ranks),
        len(pairs), fmean(pairs) if pairs else math.nan, interval(pairs),
    )  # fmt: skip


def rows(found: Sequence[Judged]) -> tuple[Row, ...]:
    """Returns a row for each type and one for all."""
    by_type = {name: [one for one in found if one.labelled.type == name] for name in TYPES}
    return (*(row(name, some) for name, some in by_type.items() if some), row("all", found))


def table(system: str, part: str, found: Sequence[Judged]) -> str:
    """Returns the rows as text."""
    lines = [
        f"{system}, {part} part",
        f"{'type':<11}{'n':>4}  {'nDCG@10':<20}{'MRR':<20}{'pairs':>5}  kept",
    ]
    for one in rows(found):
        kept = _mean(one.pairs_kept, one.pairs_range) if one.pairs else "–"
        ndcg_text, mrr_text = _mean(one.ndcg, one.ndcg_range), _mean(one.mrr, one.mrr_range)
        lines.append(f"{one.name:<11}{one.questions:>4}  {ndcg_text:<20}{mrr_text:<20}{one.pairs:>5}  {kept}")
    return "\n".join(lines)


def _mean(value: float, between: tuple[float, float]) -> str:
    return f"{value:.3f} [{between[0]:.3f}–{between[1]:.3f}]"


def worst(found: Sequence[Judged], count: int) -> str:
    """Returns the questions that fail worst, with the five cases found first and the wanted ones."""
    numbers = {one.id: f"{one.number} {one.state}" for one in cases()}
    lines = []
    for one in sorted(found, key=lambda item: item.ndcg)[:count]:
        judged = one.labelled.judged
        top = ", ".join(f"{numbers[case]} ({judged.get(case, '-')})" for case in one.ranked[:5])
        place = {case: n for n, case in enumerate(one.ranked, 1)}
        want = ", ".join(f"{numbers[case]} @{place.get(case, '–')}" for case, grade in judged.items() if grade == 3)
        lost = "  PAIR LOST" if one.pair == 0 else ""
        head = f"{one.ndcg:.3f} {one.labelled.id}{lost}"
        lines.append(f"{head}\n  {_shown(one.labelled.question)}\n  first: {top}\n  wanted: {want}")
    return "\n".join(lines)


def _shown(question: Question) -> str:
    tests = (f"[{one.test} → {one.outcome}]" for one in question.evidence)
    known = (question.make, question.family, question.generation, question.engine, *question.symptoms, *question.codes)
    tried = (f"(tried {part})" for part in question.parts_tried)
    return " ".join(filter(None, (question.text, *known, *tried, *tests)))


def main(arguments: Sequence[str] | None = None) -> int:
    """Prints the tables asked for; the sealed part shows no single question."""
    parser = argparse.ArgumentParser(prog="tests.lookup.judge", description="Judges Look First by the labelled set.")
    parser.add_argument("--part", choices=("tune", "final"), default="tune")
    parser.add_argument("--system", choices=SYSTEMS, help="only this one (all three otherwise)")
    parser.add_argument("--worst", type=int, default=0, metavar="N", help="also list the N questions that fail worst")
    given = parser.parse_args(arguments)
    part: Part = given.part
    if given.worst and part == "final":
        parser.error("the final part is sealed: its questions are not listed")
    for system in (given.system,) if given.system else SYSTEMS:
        found = judge(system, questions(part))
        by_library = library_ndcg(found)
        if any(abs(by_library[one.labelled.id] - one.ndcg) > 1e-9 for one in found):
            sys.stderr.write("nDCG@10: own arithmetic and ir_measures differ\n")
            return 1
        print(table(system, part, found), end="\n\n")
        if given.worst:
            print(worst(found, given.worst), end="\n\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
