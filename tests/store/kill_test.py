"""Kills a process in the middle of saving, again and again, and counts acknowledged saves that are lost.

``python -m tests.store.kill_test --rounds 1000`` runs it on an SQLite book in a temporary folder; ``--book URL`` on an
empty PostgreSQL database. It proves the death of a process (SIGKILL), not the loss of power. Needs POSIX (fork).
"""

import argparse
import os
import random
import signal
import sys
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path

from kbapp.records.private import PrivateDetails
from kbapp.store.book import Book, create_book, open_book
from tests.store.sample import SHOP, case, case_id, changed, full_case

_LONGEST = 0.06


@dataclass(slots=True)
class Tally:
    """What was acknowledged before the kills, and what of it the book no longer has."""

    rounds: int = 0
    acknowledged: int = 0
    lost: list[str] = field(default_factory=list)
    latest: str = ""


def _save_for_ever(location: str, round_number: int, pipe: int) -> None:
    """Runs in the child: saves, and writes a line to the pipe after each save the book acknowledged."""
    with open_book(location, busy_seconds=30) as book:
        n = 0
        stored = book.case(case_id(1))
        while True:
            n += 1
            line = {"id": f"k{round_number}-{n}", "kind": "note", "text": "x" * (n % 7) * 300 + "."}
            lines = [*stored.case.plain().get("timeline", [])[-20:], line]
            saved = book.save(changed(stored.case, timeline=lines), stored.revision, reason=line["id"])
            os.write(pipe, f"{saved.revision} {line['id']}\n".encode())
            stored = book.case(case_id(1))
            if n % 3 == 0:
                book.set_private(case_id(1), PrivateDetails(plate=line["id"]))
                book.files.put(line["id"].encode())
            if n % 5 == 0:
                batch = book.add_many(
                    [case(1000 * round_number + n), full_case(1000 * round_number + n + 1, number="")], origin="outside"
                )
                os.write(pipe, f"batch {batch.id}\n".encode())


def one_round(location: str, round_number: int, rng: random.Random) -> list[str]:
    """Forks a saver, kills it after a random moment, and returns the lines it acknowledged."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        try:
            _save_for_ever(location, round_number, writing)
        finally:
            os._exit(1)
    os.close(writing)
    first = os.read(reading, 65536)  # the child is under way
    time.sleep(rng.uniform(0, _LONGEST))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    rest = b""
    while more := os.read(reading, 65536):
        rest += more
    os.close(reading)
    return (first + rest).decode().splitlines()


def count_lost(book: Book, lines: list[str], tally: Tally) -> None:
    """Looks up every acknowledged save in the book."""
    known = {revision.revision: revision.reason for revision in book.revisions(case_id(1))[: len(lines) + 5]}
    for line in lines:
        what, name = line.split()
        tally.acknowledged += 1
        there = _has_batch(book, name) if what == "batch" else known.get(int(what)) == name
        if not there:
            tally.lost.append(line)


def _has_batch(book: Book, name: str) -> bool:
    return name in {batch.id for batch in book.batches()}


def run(location: str, rounds: int, seed: int = 1) -> Tally:
    """Plays the rounds on a book that has just been made, checks it at the end and returns the tally."""
    with open_book(location) as book:
        book.save(case(1), None)
    rng, tally = random.Random(seed), Tally()
    for tally.rounds in range(1, rounds + 1):
        lines = one_round(location, tally.rounds, rng)
        with open_book(location, busy_seconds=30) as book:
            count_lost(book, lines, tally)
    return tally


def main() -> int:
    """Reads the command line, runs the test and prints what came of it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--book", default="", help="an empty PostgreSQL database; without it an SQLite book is made")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as home:
        location = given.book or str(Path(home) / "book")
        create_book(location, SHOP).close()
        began = time.monotonic()
        tally = run(location, given.rounds, given.seed)
        with open_book(location) as book:
            faults = book.check()
        print(f"{tally.rounds} kills in {time.monotonic() - began:.0f} s; ", end="")
        print(
            f"{tally.acknowledged} saves acknowledged, {len(tally.lost)} lost; {len(faults)} faults found by the check"
        )
        for trouble in (*tally.lost[:20], *faults[:20]):
            print(f"  {trouble}")
    return 1 if tally.lost or faults else 0


if __name__ == "__main__":
    sys.exit(main())
