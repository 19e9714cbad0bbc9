"""Look First on text that nobody here wrote: maintenance work orders of excavators.

Source: data set ``excavators-cleaned.csv`` of the package nist-nestor 0.4.4 (public domain), 5,485 orders [S]; 1,426 of
them name a system and a failure mode. Download and unzip the wheel, do not install it, and name the file in
``KBAPP_WORK_ORDERS``. The labels are weak: an order counts as relevant (1) where it has the system of the one asked
with, and as very relevant (2) where it has the failure mode too. Two figures are printed, whatever they are: searching
only the labelled orders, and searching all of them with the unlabelled ones then left out of the lists. The second is
unkind to a search that ends its list where matches end.
"""

import csv
import os
import random
import re
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing
from pathlib import Path

import pytest

from kbapp.lookup.index import CaseIndex
from kbapp.lookup.question import Question
from kbapp.records.case import Case
from tests.lookup.books import case, index_of
from tests.lookup.measures import interval, ndcg

QUESTIONS = 300
LEAST_ALIKE = 3
NAMED = "KBAPP_WORK_ORDERS"

Labels = dict[str, tuple[str, str]]


def _orders() -> list[dict[str, str]]:
    path = os.environ.get(NAMED, "")
    if not path or not Path(path).is_file():
        pytest.skip(f"the work orders are not here: set {NAMED} to excavators-cleaned.csv of nist-nestor 0.4.4")
    with Path(path).open(encoding="utf-8", newline="") as stream:
        return [row for row in csv.DictReader(stream) if row["OriginalShorttext"].strip()]


def _book(orders: Sequence[dict[str, str]]) -> tuple[list[Case], Labels]:
    cases, labels = [], {}
    for number, order in enumerate(orders, 1):
        made = case(number, order["OriginalShorttext"].strip(), state="repaired", opened=order["BscStartDate"])
        cases.append(made)
        if "NA" not in (order["MajorSystem"], order["FM"]):
            labels[made.id] = (order["MajorSystem"], order["FM"])
    return cases, labels


def _grades(asked: str, labels: Labels) -> dict[str, int]:
    system, mode = labels[asked]
    return {
        other: 2 if found == mode else 1
        for other, (where, found) in labels.items()
        if other != asked and where == system
    }


def _fts5(cases: Sequence[Case]) -> Iterator[Callable[[Case], list[str]]]:
    with closing(sqlite3.connect(":memory:")) as base:
        base.execute("CREATE VIRTUAL TABLE words USING fts5(id UNINDEXED, text, tokenize='porter unicode61')")
        base.executemany("INSERT INTO words VALUES (?, ?)", [(one.id, one.concern.text) for one in cases])

        def ask(about: Case) -> list[str]:
            match = " OR ".join(f'"{word}"' for word in re.findall(r"\w+", about.concern.text))
            query = "SELECT id FROM words WHERE words MATCH ? ORDER BY bm25(words) LIMIT 200"
            return [row[0] for row in base.execute(query, (match,)) if row[0] != about.id]

        yield ask


def _ours(index: CaseIndex) -> Callable[[Case], list[str]]:
    def ask(about: Case) -> list[str]:
        return [hit.id for hit in index.ask(Question(text=about.concern.text, not_case=about.id, limit=200)).hits]

    return ask


def _judge(name: str, ask: Callable[[Case], list[str]], asked: Sequence[Case], labels: Labels) -> float:
    gains = [ndcg([found for found in ask(one) if found in labels], _grades(one.id, labels)) for one in asked]
    low, high = interval(gains)
    mean = sum(gains) / len(gains)
    print(f"{name:<22} nDCG@10 {mean:.3f} [{low:.3f}-{high:.3f}] over {len(gains)} orders")
    return mean


@pytest.mark.outside
@pytest.mark.timeout(600)
def test_work_orders_of_excavators(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    cases, labels = _book(_orders())
    assert (len(cases), len(labels)) == (5485, 1426)
    wanted = [one for one in labels if sum(grade == 2 for grade in _grades(one, labels).values()) >= LEAST_ALIKE]
    chosen = set(random.Random(1).sample(wanted, QUESTIONS))
    labelled = [one for one in cases if one.id in labels]
    for what, searched in (("labelled", labelled), ("all", cases)):
        asked = [one for one in searched if one.id in chosen]
        with index_of(tmp_path / what, searched) as index, capsys.disabled():
            ours = _judge(f"Look First, {what}", _ours(index), asked, labels)
            for ask in _fts5(searched):
                theirs = _judge(f"SQLite FTS5, {what}", ask, asked, labels)
        assert ours > 0.65
        assert ours > theirs - 0.02
