"""One of several processes that edit the same cases: ``python -m tests.store.edit_many LOCATION NAME EDITS``."""

import random
import sys

from kbapp.records.case import Case
from kbapp.store.book import Book, open_book
from tests.store.sample import case_id, changed

CASES = 5


def edit(book: Book, name: str, n: int, rng: random.Random) -> int:
    """Adds one line to one of the shared cases, based on a version that may be old by now, and returns its revision."""
    stored = book.case(case_id(1 + rng.randrange(CASES)))
    line = {"id": f"{name}-{n}", "kind": "note", "by": name, "text": f"line {n} of {name}"}
    mine: Case = changed(stored.case, timeline=[*stored.case.plain().get("timeline", []), line])
    return book.save(mine, stored.revision, name).revision


def main(location: str, name: str, edits: int) -> None:
    """Makes the edits, and prints each line once the book has acknowledged it."""
    rng = random.Random(name)
    with open_book(location, busy_seconds=60) as book:
        for n in range(edits):
            revision = edit(book, name, n, rng)
            sys.stdout.write(f"{name}-{n} {revision}\n")
            sys.stdout.flush()


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], int(sys.argv[3]))
