"""Probes the window's thread while results are recorded on a large map: ``python -m tests.bench.board [RESULTS]``.

A timer of no interval measures how long each turn of the event loop takes. Printed: turns, the longest ones with what
was being done, and how long advice takes on its worker. Exits with 1 where the window's thread itself worked for more
than 50 ms in a turn; the time on the clock also holds what other threads and programs of the PC took.
"""

import os
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Final, NamedTuple

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QEventLoop
from PySide6.QtWidgets import QApplication

from kbapp.app.settings import Settings, write_settings
from kbapp.desktop.program import Program
from kbapp.desktop.split_board.screen import SplitBoard
from kbapp.records.case import CASE_FORMAT, Case, Concern, MapReference, Shop
from kbapp.records.section_map import MAP_FORMAT, MapOutcome, MapPart, MapReadings, MapSection, MapTest, SectionMap
from kbapp.store.book import create_book, open_book

SECTIONS: Final = 40
TESTS: Final = 60
LIMIT: Final = 0.050
CASE_ID: Final = "11111111-2222-4333-8444-555555555555"


def _named(n: int) -> tuple[str, ...]:
    return tuple(f"s{(n * 3 + k) % SECTIONS}" for k in range(1 + n % 9))


def large_map() -> SectionMap:
    """Returns a map of forty sections in chains of eight, and sixty tests with readings."""
    sections = tuple(
        MapSection(
            id=f"s{n}", name=f"Section {n} of the large map", prior=1.0 + n % 5,
            feeds=(f"s{n + 1}",) if n % 8 != 7 else (),
            parts=(MapPart(id=f"p{n}", name=f"part {n}", cost=100.0 + n, labour_minutes=30.0),),
        )
        for n in range(SECTIONS)
    )  # fmt: skip
    tests = tuple(
        MapTest(
            id=f"t{n}", name=f"Test {n}", setup_minutes=3.0, run_minutes=4.0 + n % 7, repeats=3,
            readings=MapReadings(places=("LF", "RF", "LR", "RR"), unit="mm", resolution=1.0, margin=3.0),
            outcomes=(
                MapOutcome(id="a", name="stands out", points_to=_named(n)),
                MapOutcome(id="b", name="none"),
            ),
        )
        for n in range(TESTS)
    )  # fmt: skip
    return SectionMap(format=MAP_FORMAT, id="large", title="Large", sections=sections, not_on_map=2.0, tests=tests)


def _book(home: Path) -> str:
    location = str(home / "book")
    create_book(location, Shop(id="3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10", name="Weir Lane Diagnostics")).close()
    book = open_book(location, author="IK")
    book.put_shelved("map", "large", large_map().model_dump_json(exclude_defaults=True), "IK")
    case = Case(
        format=CASE_FORMAT, id=CASE_ID, state="open", concern=Concern(text="Works on a large map"),
        map=MapReference(id="large", version=1),
    )  # fmt: skip
    book.save(case, None)
    book.close()
    return location


class Turn(NamedTuple):
    """A turn of the loop: seconds it took, seconds the window's thread itself worked in it, and during what."""

    seconds: float
    worked: float
    doing: str


class Probe:
    """Turns the event loop and notes how long each turn took, and during what."""

    def __init__(self, app: QApplication) -> None:
        self._app = app
        self.turns: list[Turn] = []
        self.doing = ""

    def turn(self) -> None:
        """Lets the loop handle what is waiting."""
        self._measure(lambda: self._app.processEvents(QEventLoop.ProcessEventsFlag.AllEvents), self.doing)
        time.sleep(0.001)

    def _measure(self, act: Callable[[], object], doing: str) -> None:
        began, worked = time.perf_counter(), time.thread_time()
        act()
        self.turns.append(Turn(time.perf_counter() - began, time.thread_time() - worked, doing))

    def do(self, doing: str, act: Callable[[], object]) -> None:
        """Does something on the window's thread as one turn of its own."""
        self.doing = doing
        self._measure(act, f"{doing}: the act itself")
        self.turn()


def record(probe: Probe, board: SplitBoard, number: int) -> float:
    """Records one result and returns the seconds until the advice on it stood on the board."""
    form = board.panel.test
    probe.do("open the form", lambda: board.run_test(f"t{number}"))
    for place in range(4):
        for repeat in range(3):
            field = form.readings.fields[place, repeat]
            probe.do("type a reading", lambda f=field: f.setText("6"))  # type: ignore[misc]
    began = time.perf_counter()
    probe.do("press the outcome", form.outcome_buttons["b"].click)
    probe.doing = "wait for advice"
    while board.desk.busy or not board.desk.current:
        probe.turn()
    for _turn in range(30):
        probe.turn()
    return time.perf_counter() - began


def main(results: int = 12) -> int:
    """Records results and prints what the probe saw."""
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        os.environ["KBAPP_HOME"] = folder
        location, settings = _book(home), home / "config" / "settings.json"
        write_settings(settings, Settings(theme="light", author="IK"))
        app = QApplication.instance() or QApplication([])
        assert isinstance(app, QApplication)
        program = Program(app, location, author="IK", window_state=home / "window.ini", settings=settings)
        window = program.start()
        probe = Probe(app)
        while program.book.index is None or not program.book.index.ready:
            probe.turn()
        board = window.screen_of("split")
        assert isinstance(board, SplitBoard)
        window.go("split", CASE_ID)
        while not board.desk.current:
            probe.turn()
        probe.turns.clear()
        waits = [record(probe, board, number * 4) for number in range(results)]
        program.quit()
        program.close()
    turns = sorted(probe.turns, reverse=True)
    print(f"{len(turns)} turns, {SECTIONS} sections, {TESTS} tests, {results} results of 12 readings")
    for turn in turns[:8]:
        print(f"  {turn.seconds * 1000:6.1f} ms, of them {turn.worked * 1000:5.1f} ms own work: {turn.doing}")
    print(f"  longest own work {max(turn.worked for turn in turns) * 1000:.1f} ms")
    print(f"advice after a result: median {sorted(waits)[len(waits) // 2]:.2f} s, longest {max(waits):.2f} s")
    return int(max(turn.worked for turn in turns) > LIMIT)


if __name__ == "__main__":
    sys.exit(main(*(int(word) for word in sys.argv[1:2])))
