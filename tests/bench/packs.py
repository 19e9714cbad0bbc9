"""Makes and reads a pack of many cases, each in a process of its own: how long, and how much memory at most.

python -m tests.bench.packs --cases 10000
"""

import argparse
import json
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from kbapp.app.crate import Crate, Selection
from kbapp.records.case_document import read_case
from kbapp.records.private import PrivateDetails
from kbapp.resources import resource as folder_of
from kbapp.store.book import open_book
from kbapp.store.values import Incoming
from tests.packs.world import COPPERHILL, PRIVATE, WEIR_LANE, Side


def fill(folder: Path, count: int) -> None:
    """Makes a book of practice cases told again under other ids, every second one with private details."""
    side = Side(folder, WEIR_LANE, "IK")
    told = [read_case(path.read_bytes()).unwrap() for path in sorted(folder_of("seed_cases").glob("*.json"))]
    for start in range(0, count, 500):
        step: list[Incoming] = []
        for n in range(start, min(start + 500, count)):
            case_id = f"00000000-0000-4000-8000-{n:012x}"
            again = told[n % len(told)].model_copy(
                update={"id": case_id, "number": f"n{n}", "links": (), "attachments": (), "vehicle_ref": ""}
            )
            private = PRIVATE.model_copy(update={"customer": f"Maria Tolland{n}"}) if n % 2 else PrivateDetails()
            step.append(Incoming(again, private))
        side.book.add_many(step, origin="own")
    side.book.close()


def report(what: str, start: float, count: int) -> None:
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(
        json.dumps(
            {"step": what, "cases": count, "seconds": round(time.monotonic() - start, 1), "peak_mb": round(peak)}
        )
    )


def step(name: str, book: Path, pack: Path) -> None:
    start = time.monotonic()
    with open_book(book) as opened:
        crate = Crate(opened, "IK", lambda _change: None)
        if name == "review":
            review = crate.review(Selection())
            pack.with_suffix(".digest").write_text(review.digest)
            count = len(review.cases)
        elif name == "make":
            count = crate.make(pack, Selection(), pack.with_suffix(".digest").read_text()).cases
        elif name == "plan":
            count = len(crate.plan(pack).items)
        else:
            count = len(crate.read(pack).cases)
    report(name, start, count)


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--cases", type=int, default=10_000)
    parser.add_argument("--step", nargs=3, metavar=("STEP", "BOOK", "PACK"))
    arguments = parser.parse_args()
    if arguments.step:
        name, book, pack = arguments.step
        step(name, Path(book), Path(pack))
        return 0
    with tempfile.TemporaryDirectory() as folder:
        weir, other, pack = Path(folder) / "weir", Path(folder) / "copperhill", Path(folder) / "pack.zip"
        fill(weir, arguments.cases)
        Side(other, COPPERHILL, "PB").book.close()
        for name, book in (("review", weir), ("make", weir), ("plan", other), ("read", other)):
            subprocess.run(
                [sys.executable, "-m", "tests.bench.packs", "--step", name, str(book), str(pack)], check=True
            )
        print(json.dumps({"pack_mb": round(pack.stat().st_size / 1e6, 1)}))
    return 0


if __name__ == "__main__":
    sys.exit(main())
