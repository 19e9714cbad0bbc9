"""Measures the window: how soon it is usable after start, and whether typing a question ever makes it stand still.

    python -m tests.bench.desktop [SIZE...] [--keep DIR] [--starts N]

*Start*: a fresh process with a warm file cache, from its creation until (a) the window is painted, (b) the Bench is
read, (c) a question is answered; the median of ten, and the processor time, which tells a busy machine from a slow
program. *Typing*: questions are typed key by key, quickly and slowly in
turn so that answers come and are shown between the keys, while a timer in the window's thread should fire every 4 ms;
what it comes late is a stall. ``--keep`` keeps the books built in a folder, so that a second run starts at once.
"""

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Final

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from tests.bench.generate import generated_cases

SEED: Final = 1
TARGET_START: Final = 1.5
TARGET_STALL: Final = 0.050
KEY_SECONDS: Final = (0.08, 0.22, 0.1, 0.4)
"""How long the hands rest after a key, in turn."""
TICK_MS: Final = 4
QUESTIONS: Final = (
    "gets hot sitting in traffic ok on the motorway", "brake pedal sinks slowly at the lights",
    "battery flat after two nights", "p0171 lean at idle", "pulls to the left when braking",
)  # fmt: skip


def build(home: Path, size: int) -> str:
    """Returns a book of a size with its index, built where it is not there yet."""
    os.environ["KBAPP_HOME"] = str(home)
    from kbapp.app.session import Session
    from kbapp.app.settings import Settings, write_settings
    from kbapp.records.case import Shop
    from kbapp.store.book import create_book

    where = home / "data" / f"book-{size}"
    write_settings(home / "config" / "settings.json", Settings(theme="light", author="IK"))
    if not (where / "book.db").exists():
        book = create_book(where, Shop(id="3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10", name="Weir Lane Diagnostics"))
        book.add_many(generated_cases(size, SEED), origin="own", title="bench")
        book.close()
    session = Session.open(str(where), follow=False)
    if not session.index_state().ready:
        session.rebuild_index()
    session.prepare_index()
    session.close()
    return str(where)


class Child:
    """The program in this process, driven from its own event loop."""

    def __init__(self, location: str, home: Path) -> None:
        from kbapp.desktop.main import application
        from kbapp.desktop.program import Program

        self.app = application()
        self.program = Program(
            self.app, location, author="IK", window_state=home / "bench.ini",
            settings=home / "config" / "settings.json",
        )  # fmt: skip

    def until(self, condition: Callable[[], bool], seconds: float = 120) -> None:
        """Lets the program run undisturbed in its own event loop until something is so."""
        from PySide6.QtCore import QEventLoop, QTimer

        loop, look = QEventLoop(), QTimer()
        end = time.monotonic() + seconds
        look.timeout.connect(lambda: loop.quit() if condition() or time.monotonic() > end else None)
        look.start(5)
        loop.exec()
        look.stop()
        if not condition():
            raise TimeoutError

    def close(self) -> None:
        """Ends the program."""
        self.program.quit()
        self.program.close()


def start_once(location: str, home: Path) -> None:
    """Starts the program and prints when it was painted, read and able to answer (seconds of the clock)."""
    child = Child(location, home)
    window = child.program.start()
    window.go("bench")
    child.app.processEvents()
    painted = time.time()
    bench, book = window.screen_of("bench"), child.program.book
    child.until(lambda: bool(bench.list.lines.rows) and book.state == "open")  # type: ignore[attr-defined]
    read, busy = time.time(), time.process_time()
    window.go("look", QUESTIONS[0])
    look = window.screen_of("look")
    child.until(lambda: look._base is not None and bool(look.results.model.rows))  # type: ignore[attr-defined]
    print(painted, read, time.time(), busy, flush=True)
    child.close()


def type_questions(location: str, home: Path) -> None:
    """Types questions and prints how late the timer of the window's thread came, in milliseconds."""
    from PySide6.QtCore import Qt, QTimer
    from PySide6.QtTest import QTest

    child = Child(location, home)
    window = child.program.start()
    window.resize(1280, 800)
    window.go("look")
    look = window.screen_of("look")
    book = child.program.book
    child.until(lambda: book.index is not None and book.index.ready and child.program.tasks.busy == 0)
    late: list[float] = []
    last = time.perf_counter()

    def tick() -> None:
        nonlocal last
        now = time.perf_counter()
        late.append(max(0.0, now - last - TICK_MS / 1000))
        last = now

    timer = QTimer()
    timer.setTimerType(Qt.TimerType.PreciseTimer)
    timer.timeout.connect(tick)
    timer.start(TICK_MS)
    answers: list[float] = []
    look.results.model.modelReset.connect(lambda: answers.append(time.perf_counter()))  # type: ignore[attr-defined]
    edit = look.question.edit  # type: ignore[attr-defined]
    for question in QUESTIONS:
        edit.clear()
        for count, char in enumerate(question):
            QTest.keyClicks(edit, char)
            end = time.perf_counter() + KEY_SECONDS[count % len(KEY_SECONDS)]
            while time.perf_counter() < end:
                child.app.processEvents()
                time.sleep(0.001)
    timer.stop()
    late.sort()
    stalls = sum(x > TARGET_STALL for x in late)
    print(max(late) * 1e3, late[int(len(late) * 0.99)] * 1e3, stalls, len(answers), flush=True)
    child.close()


def _child(kind: str, location: str, home: Path) -> list[float]:
    """Runs one of the two in a fresh process and returns what it printed."""
    command = [sys.executable, "-m", "tests.bench.desktop", "--child", kind, "--book", location, "--keep", str(home)]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    return [float(word) for word in done.stdout.split()]


def measure(home: Path, size: int, starts: int) -> bool:
    """Prints the figures of a size and returns whether they reach the targets."""
    location = build(home, size)
    _child("start", location, home)  # warms the file cache
    marks = []
    for _round in range(starts):
        began = time.time()
        *ends, busy = _child("start", location, home)
        marks.append([*(mark - began for mark in ends), busy])
    painted, read, answered, busy = (statistics.median(column) for column in zip(*marks, strict=True))
    worst, p99, stalls, answers = _child("type", location, home)
    print(f"{size:>7} cases, start: window {painted:.2f} s, Bench read {read:.2f} s, first answer {answered:.2f} s "
          f"(medians of {starts}; {busy:.2f} s of processor until the Bench is read)")  # fmt: skip
    print(f"{size:>7} cases, typing with {answers:.0f} answers: latest tick {worst:.0f} ms, 99 % within {p99:.1f} ms, "
          f"{stalls:.0f} over 50 ms")  # fmt: skip
    return read <= TARGET_START and worst <= TARGET_STALL * 1e3


def main() -> int:
    """Measures every size asked for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("sizes", nargs="*", type=int, default=[10_000])
    parser.add_argument("--keep", type=Path)
    parser.add_argument("--starts", type=int, default=10)
    parser.add_argument("--child", choices=("start", "type"))
    parser.add_argument("--book", default="")
    arguments = parser.parse_args()
    if arguments.child:
        run = start_once if arguments.child == "start" else type_questions
        run(arguments.book, arguments.keep)
        return 0
    with tempfile.TemporaryDirectory() as temporary:
        home = arguments.keep or Path(temporary)
        home.mkdir(parents=True, exist_ok=True)
        os.environ["KBAPP_HOME"] = str(home)
        reached = [measure(home, size, arguments.starts) for size in arguments.sizes]
        return 0 if all(reached) else 1


if __name__ == "__main__":
    raise SystemExit(main())
