"""The Bench, settings, first run, books, help, about and compare, at every size and width they must be usable at."""

from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from kbapp.desktop.frame.book_page import BookPage
from kbapp.desktop.frame.help_page import HelpPage
from kbapp.desktop.theme.tokens import SIZES, SizeName
from tests.desktop.conftest import Start
from tests.desktop.running import Running
from tests.desktop.walker import faults

ROOM = [(1280, 800), (1024, 700)]
REPORT = "ECM\nP0217 stored over temperature\nP0480 pending fan 1\nABS\nC0035 history left front sensor\n"


class Walk:
    """Goes from state to state and keeps what is wrong in each."""

    def __init__(self, running: Running) -> None:
        self.running, self.wrong = running, list[str]()
        self._least = SIZES[running.program.theme.size].row

    def check(self, state: str) -> None:
        self.running.rest()
        window = self.running.window
        self.wrong += [f"{state}: {fault}" for fault in faults(window, self._least) if not self._of_docs(state, fault)]

    @staticmethod
    def _of_docs(state: str, fault: str) -> bool:
        # help pages are translated as whole pages, not through gettext
        return state.startswith("help") and "Help pages" in fault.replace("⟦Hélp pàgés⟧", "Help pages")


def _bench(walk: Walk) -> None:
    running = walk.running
    running.window.go("bench")
    walk.check("bench")
    bench = running.bench
    row = next(n for n, line in enumerate(bench.list.lines.rows) if line.state)
    bench.list.pick(row)
    walk.check("bench, a case with a map")
    bench.visits.edit.setText("nobody")
    bench.visits.edit.returnPressed.emit()
    walk.check("bench, no visit")
    bench.visits.clear()
    walk.check("bench again")


def _pages(walk: Walk) -> None:
    window = walk.running.window
    for key in ("settings", "welcome", "open-book", "about", "keys"):
        window.go(key)
        walk.check(key)
    window.go("settings")
    page = window.screen_of("settings")
    page.labour.edit.setText("a lot")  # type: ignore[attr-defined]
    page.labour.edit.editingFinished.emit()  # type: ignore[attr-defined]
    walk.check("settings, faulty")
    books = walk.running.screen(BookPage, "open-book")
    window.go("open-book")
    books.open(str(Path("nowhere").absolute()))
    walk.running.until(lambda: not books._opening, "refused")
    walk.check("open-book, no book there")
    window.go("help", "search")
    help_page = walk.running.screen(HelpPage, "help")
    walk.running.until(lambda: bool(help_page._pages), "help is read")
    help_page.search.setText("retest bench")
    walk.check("help, searched")
    help_page.search.setText("zzzz")
    walk.check("help, nothing found")


def _look(walk: Walk) -> None:
    running = walk.running
    running.window.go("look", "overheats in traffic")
    running.rest()
    QApplication.clipboard().setText(REPORT)
    running.look.question.open_report()
    walk.check("scan report")
    running.look.question.close_report()
    running.until(lambda: running.look.reading.view is not None, "a case is read")
    running.look.reading.compare()
    walk.check("one case waits to be compared")
    running.look.results.step(1)
    running.rest()
    running.look.reading.compare()
    walk.check("compare")
    assert running.window.current == "compare"


@pytest.mark.parametrize("room", ROOM, ids=["1280", "1024"])
@pytest.mark.parametrize("size", ["desk", "bay", "across"])
def test_the_frame_has_names_sizes_and_translations(
    start: Start, practice: Path, monkeypatch: pytest.MonkeyPatch, size: SizeName, room: tuple[int, int]
) -> None:
    monkeypatch.setenv("KBAPP_LANG", "pseudo")
    running = start(width=room[0], height=room[1])
    running.program.resize(size)
    walk = Walk(running)
    _bench(walk)
    _pages(walk)
    _look(walk)
    assert running.window.width() == room[0], "the window is wider than it was asked to be"
    assert walk.wrong == [], "\n".join(walk.wrong)
