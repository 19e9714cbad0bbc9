"""Kills the program while it writes or reads packs: afterwards there is no half pack and no half import.

    python -m tests.packs.kills --rounds 100

Process death (SIGKILL at a random moment), not power loss.
"""

import argparse
import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from kbapp.app.crate import Crate, Selection
from kbapp.packs.archive import open_archive
from kbapp.packs.verifying import verify
from kbapp.store.book import open_book
from tests.packs.world import PRIVATE, WEIR_LANE, Side, case

CASES = 60

_WRITE = """
import sys
from pathlib import Path
from kbapp.app.crate import Crate, Selection
from kbapp.store.book import open_book
with open_book(sys.argv[1]) as book:
    crate = Crate(book, "IK", lambda change: None)
    digest = crate.review(Selection()).digest
    print("ready", flush=True)
    crate.make(Path(sys.argv[2]), Selection(), digest)
"""
_READ = """
import sys
from pathlib import Path
from kbapp.app.crate import Crate
from kbapp.store.book import open_book
with open_book(sys.argv[1]) as book:
    crate = Crate(book, "PB", lambda change: None)
    print("ready", flush=True)
    crate.read(Path(sys.argv[2]))
"""


def killed(program: str, book: Path, pack: Path, after: float) -> None:
    """Starts a program, kills it ``after`` seconds from the moment it is ready, and waits for its end."""
    with subprocess.Popen(
        [sys.executable, "-c", program, str(book), str(pack)], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
    ) as child:
        assert child.stdout
        assert child.stdout.readline() == b"ready\n"
        time.sleep(after)
        if child.poll() is None:
            os.kill(child.pid, signal.SIGKILL)
        child.wait()


class Scene:
    """A sending and a receiving shop with a sound pack between them."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.weir = folder / "weir"
        side = Side(self.weir, WEIR_LANE, "IK")
        side.add(*(case(number=f"{n}", notes="Call Mrs Tolland-Özer.") for n in range(CASES)), private=PRIVATE)
        self.pack = side.pack(folder / "sound.zip").path
        side.book.close()

    def write(self, after: float, name: str) -> bool:
        """Kills a writer; returns whether the pack was finished. Afterwards a pack can be made as ever."""
        out = self.folder / name
        killed(_WRITE, self.weir, out, after)
        finished = out.exists()
        if finished:
            with open_archive(out) as archive:
                assert len(verify(archive).paths("data/cases/")) == CASES
        with open_book(self.weir) as book:
            crate = Crate(book, "IK", lambda _change: None)
            again = self.folder / f"again-{name}"
            crate.make(again, Selection(), crate.review(Selection()).digest)
            assert again.read_bytes() == self.pack.read_bytes()
            assert book.check() == ()
        return finished

    def read(self, after: float, name: str) -> bool:
        """Kills a reader; returns whether the pack was read. Afterwards it is there whole or not at all."""
        from tests.packs.world import COPPERHILL

        folder = self.folder / name
        Side(folder, COPPERHILL, "PB").book.close()
        killed(_READ, folder, self.pack, after)
        with open_book(folder) as book:
            count = book.count()
            assert count in (0, CASES), count
            assert book.check() == ()
            crate = Crate(book, "PB", lambda _change: None)
            crate.read(self.pack)
            assert book.count() == CASES
            assert book.check() == ()
        return count == CASES


def main() -> int:
    parser = argparse.ArgumentParser(description="kills while packs are written and read")
    parser.add_argument("--rounds", type=int, default=50)
    parser.add_argument("--seed", type=int, default=1)
    arguments = parser.parse_args()
    rng = random.Random(arguments.seed)
    with tempfile.TemporaryDirectory() as folder:
        scene = Scene(Path(folder))
        written = sum(scene.write(rng.uniform(0, 0.6), f"w{n}.zip") for n in range(arguments.rounds))
        read = sum(scene.read(rng.uniform(0, 0.5), f"r{n}") for n in range(arguments.rounds))
    print(f"{arguments.rounds} kills while writing: {written} packs whole, the others not there at all")
    print(f"{arguments.rounds} kills while reading: {read} packs read whole, the others not at all")
    return 0


if __name__ == "__main__":
    sys.exit(main())
