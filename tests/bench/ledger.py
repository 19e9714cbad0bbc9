"""How long the Swap Ledger takes: read and counted from nothing, and counted again for another question.

python -m tests.bench.ledger --cases 100000 [--book FOLDER]
"""

import argparse
import json
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

LIMIT_SECONDS = 2.0
ROUNDS = 5


def fill(folder: Path, count: int) -> None:
    """Makes a book of generated cases of the shop's own."""
    from kbapp.records.case import Shop
    from kbapp.store.book import create_book
    from tests.bench.generate import generated_cases

    shop = Shop(id="3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10", name="Weir Lane Diagnostics")
    with create_book(str(folder), shop, author="IK") as book:
        book.add_many(generated_cases(count), origin="own")


def one_round(folder: Path) -> None:
    """Asks the ledger in this process and prints the seconds: first question, then one narrowed to a system."""
    from kbapp.app.ledger import LedgerDesk
    from kbapp.ledger.question import LedgerQuestion
    from kbapp.store.book import open_book

    with open_book(str(folder)) as book:
        desk = LedgerDesk(book)
        start, busy = time.perf_counter(), time.process_time()
        found = desk.ask(LedgerQuestion(), "EUR")
        first, busy = time.perf_counter() - start, time.process_time() - busy
        start = time.perf_counter()
        desk.ask(LedgerQuestion(system="brakes_hydraulic", source="reported"), "EUR")
        again = time.perf_counter() - start
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(json.dumps({"counted": found.counted, "first": first, "busy": busy, "again": again, "peak_mb": round(peak)}))


def measure(folder: Path, count: int) -> int:
    """Runs rounds, each in a process of its own, and returns 1 where the median misses the limit."""
    rounds = []
    for _ in range(ROUNDS + 1):
        command = [sys.executable, "-m", "tests.bench.ledger", "--round", str(folder)]
        rounds.append(json.loads(subprocess.run(command, capture_output=True, text=True, check=True).stdout))
    warm = rounds[1:]  # the first one reads the file into the cache
    first = statistics.median(found["first"] for found in warm)
    again = statistics.median(found["again"] for found in warm)
    quickest, busy = (min(found[name] for found in warm) for name in ("first", "busy"))
    print(json.dumps({
        "cases": count, "counted": warm[0]["counted"], "seconds_first": round(first, 2),
        "quickest_first": round(quickest, 2), "cpu_seconds_first": round(busy, 2),
        "seconds_again": round(again, 2), "peak_mb": max(found["peak_mb"] for found in warm), "limit": LIMIT_SECONDS,
    }))  # fmt: skip
    return int(first > LIMIT_SECONDS)


def main() -> int:
    """Measures a book that is there, or one made for it."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--cases", type=int, default=100_000)
    parser.add_argument("--book", type=Path)
    parser.add_argument("--round", type=Path)
    arguments = parser.parse_args()
    if arguments.round:
        one_round(arguments.round)
        return 0
    if arguments.book:
        return measure(arguments.book, arguments.cases)
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder) / "book"
        fill(place, arguments.cases)
        return measure(place, arguments.cases)


if __name__ == "__main__":
    raise SystemExit(main())
