"""Measures Look First beside SQLite FTS5 and tantivy on the same cases.

    python -m tests.bench.look [SIZE...] [--keep DIR]

*As typed* is the whole answer as the screen gets it (ranking, reasons, facets, highlights), warm. *Boolean* is the same
question to all three: all words, the best 20 by BM25 (numbers only, no stored text), counts of four facets. ``--keep``
keeps the built indexes in a folder, so that a second run starts at once.
"""

import argparse
import random
import re
import shutil
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing
from itertools import islice
from pathlib import Path
from typing import Any, Final

import numpy as np
import tantivy

from kbapp.lookup.arrays import contenders, values_at
from kbapp.lookup.document import describe
from kbapp.lookup.facets import counts
from kbapp.lookup.index import CaseIndex
from kbapp.lookup.question import Evidence, Narrowing, Question
from kbapp.lookup.source import SourceCase
from kbapp.lookup.synonyms import key_of
from kbapp.lookup.view import K1
from kbapp.records.case import Case
from tests.bench.generate import generated_cases

FACETS: Final = ("system", "state", "make", "family")
SEED: Final = 1
QUESTIONS: Final = 200
ROUNDS: Final = 3
Ask = Callable[[str], int]


class _Generated:
    """The generated cases as a book."""

    incarnation = "bench"

    def __init__(self, size: int) -> None:
        self._size = size
        self._cases = generated_cases(size, SEED)
        self._at = 0

    def last_change(self) -> int:
        return self._size

    def count(self) -> int:
        return self._size

    def changed_since(self, change: int, limit: int) -> Sequence[SourceCase]:
        assert change == self._at
        page = [SourceCase(self._at + at, one.id, one, True) for at, one in enumerate(islice(self._cases, limit), 1)]
        self._at += len(page)
        return page


def _text(case: Case) -> str:
    texts = describe(SourceCase(1, case.id, case)).card["texts"]
    return "\n".join(texts.values())


def _values(case: Case) -> tuple[str, str, str, str]:
    vehicle = case.vehicle
    return case.concern.system or "", case.state, vehicle.make if vehicle else "", vehicle.family if vehicle else ""


def _typed(cases: Sequence[Case], rng: random.Random) -> Iterator[Question]:
    """Yields what is typed: growing prefixes, narrowed and vehicle questions, and whole open cases."""
    for at in range(QUESTIONS):
        case = rng.choice(cases)
        words = case.concern.text.split()
        start = rng.randrange(max(1, len(words) - 3))
        text = " ".join(words[start : start + rng.randint(1, 4)])
        make, family = _values(case)[2:]
        if at % 4 == 0:
            yield Question(text=text[: rng.randint(2, max(2, len(text)))], typing=True)
        elif at % 4 == 1:
            yield Question(text=text, narrow=(Narrowing("make", (make,)),), typing=True)
        elif at % 4 == 2:
            yield Question(text=f"{family} {text}", typing=True)
        else:
            yield _open_case(case)


def _open_case(case: Case) -> Question:
    tests = [entry for entry in case.timeline if entry.kind == "test" and entry.outcome]
    parts = tuple(entry.part for entry in case.timeline if entry.kind == "part")[:2]
    evidence = tuple(Evidence(one.test, one.outcome) for one in tests[:3])
    vehicle = case.vehicle
    return Question(
        text=case.concern.text,
        system=case.concern.system,
        symptoms=case.concern.symptoms,
        parts_tried=parts,
        make=vehicle.make if vehicle else "",
        family=vehicle.family if vehicle else "",
        codes=tuple(code.code for code in case.codes),
        evidence=evidence,
        not_case=case.id,
    )


def _pairs(cases: Sequence[Case], rng: random.Random) -> Iterator[str]:
    """Yields one to three words that stand together in a case, as all three search them."""
    for _ in range(QUESTIONS):
        words = [word for word in re.findall(r"[a-z]{3,}", _text(rng.choice(cases)).casefold()) if key_of(word)]
        yield " ".join(rng.sample(words, min(len(words), rng.randint(1, 3))))


def _ours(index: CaseIndex) -> Ask:
    view = index.view

    def ask(text: str) -> int:
        lists = sorted(
            (view.postings("text", term) for term in dict.fromkeys(key_of(text))), key=lambda one: len(one.ids)
        )
        documents = lists[0].ids.astype(np.intp)
        weights = [lists[0].weights]
        for other in lists[1:]:
            more = values_at(documents, other.ids.astype(np.intp), other.weights, view.size)
            both = more > 0
            documents, weights = documents[both], [*(one[both] for one in weights), more[both]]
        if view.count < view.size:
            kept = view.live[documents]
            documents, weights = documents[kept], [one[kept] for one in weights]
        norm = view._norm[documents]
        total = np.zeros(len(documents))
        for one, found in zip(weights, lists, strict=True):
            total += view.idf(len(found.ids)) * (one * (K1 + 1)) / (one + norm)
        best = contenders(total, 20)
        _ = documents[best[np.argsort(-total[best])[:20]]]
        counts(view, documents, view.live, FACETS)
        return len(documents)

    return ask


def _fts5(folder: Path, size: int) -> sqlite3.Connection:
    path = folder / f"fts5-{size}.db"
    fresh = not path.exists()
    base = sqlite3.connect(path)
    if fresh:
        base.execute("CREATE VIRTUAL TABLE words USING fts5(text, tokenize='porter unicode61')")
        base.execute("CREATE TABLE facts (id INTEGER PRIMARY KEY, system, state, make, family)")
        for at, case in enumerate(generated_cases(size, SEED), 1):
            base.execute("INSERT INTO words(rowid, text) VALUES (?, ?)", (at, _text(case)))
            base.execute("INSERT INTO facts VALUES (?, ?, ?, ?, ?)", (at, *_values(case)))
        base.execute("INSERT INTO words(words) VALUES ('optimize')")
        base.commit()
    return base


def _ask_fts5(base: sqlite3.Connection) -> Ask:
    def ask(text: str) -> int:
        match = " AND ".join(f'"{word}"' for word in text.split())
        base.execute("SELECT rowid FROM words WHERE words MATCH ? ORDER BY bm25(words) LIMIT 20", (match,)).fetchall()
        base.execute("CREATE TEMP TABLE found AS SELECT rowid AS id FROM words WHERE words MATCH ?", (match,))
        for field in FACETS:
            base.execute(f"SELECT {field}, count(*) FROM facts JOIN found USING (id) GROUP BY {field}").fetchall()
        count = base.execute("SELECT count(*) FROM found").fetchone()[0]
        base.execute("DROP TABLE found")
        return int(count)

    return ask


def _tantivy(folder: Path, size: int) -> tantivy.Index:
    builder = tantivy.SchemaBuilder()
    builder.add_text_field("text", tokenizer_name="en_stem", index_option="freq")
    builder.add_text_field("id", stored=True, tokenizer_name="raw")
    for field in FACETS:
        builder.add_text_field(field, fast=True, tokenizer_name="raw", index_option="basic")
    path = folder / f"tantivy-{size}"
    fresh = not path.exists()
    path.mkdir(exist_ok=True)
    index = tantivy.Index(builder.build(), path=str(path))
    if fresh:
        writer = index.writer(64_000_000, num_threads=1)
        for case in generated_cases(size, SEED):
            facts = dict(zip(FACETS, _values(case), strict=True))
            writer.add_document(tantivy.Document(text=_text(case), id=case.id, **facts))
        writer.commit()
        writer.wait_merging_threads()
    index.reload()
    return index


def _ask_tantivy(index: tantivy.Index) -> Ask:
    searcher = index.searcher()
    wanted = {field: {"terms": {"field": field, "size": 100}} for field in FACETS}

    def ask(text: str) -> int:
        query = index.parse_query(" AND ".join(text.split()), ["text"])
        found = searcher.search(query, 20, count=True)
        searcher.aggregate(query, wanted)
        return int(found.count)  # type: ignore[attr-defined]  # the stub lacks it

    return ask


def _measured(ask: Callable[[Any], Any], questions: Sequence[Any]) -> tuple[float, float]:
    """Returns p50 and p95 in milliseconds; each question counts with the best of its warm rounds."""
    best = [float("inf")] * len(questions)
    for round_number in range(ROUNDS + 1):
        for at, question in enumerate(questions):
            started = time.perf_counter()
            ask(question)
            if round_number:
                best[at] = min(best[at], (time.perf_counter() - started) * 1000)
    return float(np.percentile(best, 50)), float(np.percentile(best, 95))


def _saves(index: CaseIndex, size: int) -> tuple[float, float]:
    """Returns p50 and p95 milliseconds from a save to the case being found."""
    taken = []
    for at, case in enumerate(generated_cases(25, SEED + 1)):
        saved = case.model_copy(update={"lesson": f"unheardof{at}"})
        started = time.perf_counter()
        index.apply([SourceCase(size + at + 1, saved.id, saved, True)])
        assert index.ask(Question(text=f"unheardof{at}")).total == 1
        taken.append((time.perf_counter() - started) * 1000)
        index.tidy()
    return float(np.percentile(taken, 50)), float(np.percentile(taken, 95))


def _resident() -> int:
    status = Path("/proc/self/status")
    found = re.search(r"VmRSS:\s+(\d+)", status.read_text("ascii")) if status.exists() else None
    return int(found[1]) // 1024 if found else 0


def measure(size: int, folder: Path, out: Callable[[str], None]) -> None:
    """Builds (where needed) and measures one size."""
    home = folder / f"kbapp-{size}"
    if not home.exists():
        started = time.perf_counter()
        CaseIndex.build(home, _Generated(size))
        out(f"{size:>7} built in {time.perf_counter() - started:.1f} s")
    sample = list(islice(generated_cases(size, SEED), min(size, 2000)))
    with closing(CaseIndex.open(home, "bench")) as index:
        typed = _measured(index.ask, list(_typed(sample, random.Random(3))))
        _row(out, size, "as typed, full answer", typed)
        out(f"{size:>7} resident {_resident()} MB")
        words = list(_pairs(sample, random.Random(4)))
        _row(out, size, "boolean: this index", _measured(_ours(index), words))
        _row(out, size, "boolean: tantivy", _measured(_ask_tantivy(_tantivy(folder, size)), words))
        with closing(_fts5(folder, size)) as base:
            _row(out, size, "boolean: SQLite FTS5", _measured(_ask_fts5(base), words))
    copy = folder / f"kbapp-{size}-saves"
    shutil.rmtree(copy, ignore_errors=True)
    shutil.copytree(home, copy)
    with closing(CaseIndex.open(copy, "bench")) as index:
        _row(out, size, "save to searchable", _saves(index, size))
    shutil.rmtree(copy, ignore_errors=True)


def _row(out: Callable[[str], None], size: int, name: str, figures: tuple[float, float]) -> None:
    out(f"{size:>7} {name:<28}  p50 {figures[0]:7.2f}  p95 {figures[1]:7.2f} ms")


def main() -> None:
    """Measures the sizes given on the command line."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("sizes", nargs="*", type=int, default=[1000, 10_000])
    parser.add_argument("--keep", type=Path)
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as temporary:
        folder = given.keep or Path(temporary)
        folder.mkdir(parents=True, exist_ok=True)
        for size in given.sizes:
            measure(size, folder, lambda line: print(line, flush=True, file=sys.stdout))


if __name__ == "__main__":
    main()
