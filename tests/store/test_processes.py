"""Two processes on one book: nothing is lost, and who follows the feed sees every change once and in order."""

import os
import subprocess
import sys
import time

import pytest

from kbapp.store.book import Book
from tests.store.edit_many import CASES
from tests.store.sample import case, case_id

EDITS = 500 if os.environ.get("KBAPP_FULL") else 60


def _follow(book: Book, seen: list[int]) -> None:
    while batch := book.changes_since(seen[-1] if seen else 0, limit=7):
        seen.extend(item.number for item in batch)


@pytest.mark.timeout(600)
def test_two_processes_lose_nothing(book: Book, location: str) -> None:
    for n in range(1, CASES + 1):
        book.save(case(n), None)
    command = [sys.executable, "-m", "tests.store.edit_many", location]
    workers = [
        subprocess.Popen([*command, name, str(EDITS)], stdout=subprocess.PIPE, text=True) for name in ("left", "right")
    ]
    seen: list[int] = []
    while any(worker.poll() is None for worker in workers):
        _follow(book, seen)
        time.sleep(0.02)
    printed = [line.split() for worker in workers for line in worker.communicate()[0].splitlines()]
    assert [worker.returncode for worker in workers] == [0, 0]
    _follow(book, seen)
    acknowledged = {line[0]: int(line[1]) for line in printed}
    assert len(acknowledged) == 2 * EDITS
    kept = {entry.id for n in range(1, CASES + 1) for entry in book.case(case_id(n)).case.timeline}
    assert set(acknowledged) == kept
    assert len(set(acknowledged.values())) == 2 * EDITS
    assert seen == list(range(1, CASES + 2 * EDITS + 1))
    assert book.check() == ()
