"""Answers a question from the database by plain words, for as long as there is no index."""

import re
import time

from kbapp.lookup.question import Answer, Hit, Question, Reason
from kbapp.store.book import Book
from kbapp.store.values import CaseRow

_WORD = re.compile(r"\w[\w-]*")


def row_vehicle(row: CaseRow) -> str:
    """Returns the vehicle of a row in one line."""
    names = " ".join(filter(None, (row.make, row.family, row.generation, row.engine)))
    return ", ".join(filter(None, (names, str(row.model_year or ""))))


def text_answer(book: Book, question: Question) -> Answer:
    """Returns cases that hold every word asked, newest first; a single reason ``plain_text``, no facets."""
    start = time.perf_counter()
    asked = " ".join(
        (question.text, *question.symptoms, *question.codes, question.make, question.family, question.engine)
    )
    words = " ".join(list(dict.fromkeys(word.casefold() for word in _WORD.findall(asked)))[:12])
    rows = book.text_search(words, question.limit) if words else book.list_cases(limit=question.limit)
    hits = tuple(
        Hit(row.id, row.number, 1.0, (Reason("plain_text", 1.0),), row.state, row.concern, row_vehicle(row), row.cause,
            row.signed_here)
        for row in rows
    )  # fmt: skip
    took = (time.perf_counter() - start) * 1000
    return Answer(question, took, len(hits), hits, by_text_only=True)
