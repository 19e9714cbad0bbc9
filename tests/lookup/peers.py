"""Two general-purpose searches over the same cases to compare with: SQLite FTS5 and Whoosh's own BM25F.

Both stem (Porter), search the words of a question with *or*, are given its structured fields as further words, and
weigh the fields of a case alike: concern and cause heaviest.
"""

import re
import sqlite3
from collections.abc import Callable, Iterable, Iterator
from contextlib import closing, contextmanager

from whoosh.analysis import StemmingAnalyzer
from whoosh.fields import ID, TEXT, Schema
from whoosh.filedb.filestore import RamStorage
from whoosh.qparser import MultifieldParser, OrGroup

from kbapp.lookup.question import Question
from kbapp.records.case import Case
from kbapp.records.timeline import PartEntry, TestEntry

Ask = Callable[[Question], list[str]]
WEIGHTS = {
    "concern": 4.0, "cause": 4.0, "symptoms": 3.0, "codes": 3.0, "correction": 2.0, "parts": 2.0, "tests": 2.0,
    "lesson": 2.0, "vehicle": 1.0, "rest": 1.0,
}  # fmt: skip


def fields(case: Case) -> dict[str, str]:
    """Returns the words of a case, field by field in the order of ``WEIGHTS``."""
    cause, correction, car = case.cause, case.correction, case.vehicle
    parts = (entry for entry in case.timeline if isinstance(entry, PartEntry))
    tests = (entry for entry in case.timeline if isinstance(entry, TestEntry))
    return {
        "concern": case.concern.text,
        "cause": f"{cause.text} {cause.section} {cause.part} {cause.position}" if cause else "",
        "symptoms": " ".join(case.concern.symptoms),
        "codes": " ".join(code.code for code in case.codes),
        "correction": correction.text if correction else "",
        "parts": " ".join(f"{one.part} {one.position} {one.section} {one.found} {one.text}" for one in parts),
        "tests": " ".join(f"{one.test} {one.outcome} {one.isolates} {one.text}" for one in tests),
        "lesson": case.lesson,
        "vehicle": f"{car.make} {car.family} {car.generation} {car.engine} {car.model_year or ''}" if car else "",
        "rest": " ".join(
            (*case.concern.conditions, case.concern.began, case.notes, case.withdrawn_reason,
             *(one.text for one in case.timeline if one.kind in ("note", "finding", "service")))
        ),
    }  # fmt: skip


def words(question: Question) -> list[str]:
    """Returns the words of a question, those of its structured fields among them."""
    system = (question.system or "").replace("_", " ")
    texts = (
        question.text, system, *question.symptoms, question.make, question.family, question.generation, question.engine,
        *question.codes, *question.parts_tried, *(f"{one.test} {one.outcome}" for one in question.evidence),
    )  # fmt: skip
    return re.findall(r"\w+", " ".join(texts).lower())


@contextmanager
def fts5(cases: Iterable[Case]) -> Iterator[Ask]:
    """Gives SQLite's full-text search (FTS5, porter, bm25 with weights) over the cases."""
    names = ", ".join(WEIGHTS)
    marks = ", ".join("?" * (len(WEIGHTS) + 1))
    rank = ", ".join(str(weight) for weight in (0.0, *WEIGHTS.values()))
    with closing(sqlite3.connect(":memory:")) as book:
        book.execute(f"CREATE VIRTUAL TABLE entry USING fts5(id UNINDEXED, {names}, tokenize='porter unicode61')")
        book.executemany(f"INSERT INTO entry VALUES ({marks})", [(one.id, *fields(one).values()) for one in cases])

        def ask(question: Question) -> list[str]:
            match = " OR ".join(f'"{word}"' for word in words(question))
            found = book.execute(
                f"SELECT id FROM entry WHERE entry MATCH ? ORDER BY bm25(entry, {rank}), id LIMIT ?",
                (match, question.limit),
            )
            return [row[0] for row in found]

        yield ask


@contextmanager
def bm25(cases: Iterable[Case]) -> Iterator[Ask]:
    """Gives Whoosh's own search (BM25F over stemmed, weighted fields) over the cases."""
    stem = StemmingAnalyzer(stoplist=None, minsize=1)
    texts = {name: TEXT(analyzer=stem, field_boost=weight) for name, weight in WEIGHTS.items()}
    index = RamStorage().create_index(Schema(id=ID(stored=True), **texts))
    writer = index.writer()
    for one in cases:
        writer.add_document(id=one.id, **fields(one))
    writer.commit()
    parser = MultifieldParser(list(WEIGHTS), index.schema, fieldboosts=WEIGHTS, group=OrGroup)
    with index.searcher() as searcher:

        def ask(question: Question) -> list[str]:
            # No operators: words such as "not" and "or" are words of the question here.
            asked = parser.parse(" ".join(f'"{word}"' for word in words(question)))
            return [hit["id"] for hit in searcher.search(asked, limit=question.limit)]

        yield ask
