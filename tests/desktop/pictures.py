"""Takes the pictures of docs/pictures from the practice book: ``python -m tests.desktop.pictures [FOLDER]``.

Everything is done as a user would do it, offscreen.
"""

import os
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication

from kbapp.app.drafting import Piece
from kbapp.app.settings import Settings, write_settings
from kbapp.desktop.bench.screen import BenchScreen
from kbapp.desktop.crate.screen import CrateScreen
from kbapp.desktop.frame.window import MainWindow
from kbapp.desktop.jot.lines import JotText
from kbapp.desktop.jot.screen import JotScreen
from kbapp.desktop.kit.screen import KitScreen
from kbapp.desktop.lead_check.panels import CorrectPanel
from kbapp.desktop.lead_check.screen import LeadCheckScreen
from kbapp.desktop.ledger.screen import LedgerScreen
from kbapp.desktop.look_first.conditions import Condition, Conditions
from kbapp.desktop.look_first.screen import LookFirst
from kbapp.desktop.main import application
from kbapp.desktop.map_drafting.screen import MapDrafting
from kbapp.desktop.program import Program
from kbapp.desktop.sheet.screen import SheetScreen
from kbapp.desktop.split_board.screen import SplitBoard
from kbapp.desktop.theme.theme import ThemeChoice
from kbapp.desktop.theme.tokens import SizeName
from tests.desktop.form_pictures import take_forms
from tests.packs.world import PRIVATE, WEIR_LANE, Side, case

ASKED = "gets hot sitting in traffic, ok on the motorway"
KNOWN = Conditions((
    Condition("family", "Drovane"), Condition("part", "thermostat"),
    Condition("test", "radiator_spread", "cold_outlet"),
))  # fmt: skip
JOTTED = JotText(
    "Runs hot waiting at lights, cools down as soon as it moves",
    "Brennick Drovane B20D 2019 128 400 km",
    "thermostat, no change; radiator, no change",
    "outlet cold at full fan speed",
)


class Studio:
    """One program on a practice book of its own, in a folder that goes away again."""

    def __init__(self, home: Path, out: Path) -> None:
        self.app: QApplication = application()
        settings = home / "config" / "settings.json"
        write_settings(settings, Settings(theme="light", author="IK"))
        self.program = Program(
            self.app, "practice", author="IK", window_state=home / "window.ini", settings=settings
        )  # fmt: skip
        self.window: MainWindow = self.program.start()
        self.out = out
        self.until(lambda: self.program.book.index is not None and self.program.book.index.ready)

    def until(self, condition: Callable[[], bool], seconds: float = 60) -> None:
        """Waits until something is so."""
        end = time.monotonic() + seconds
        while not condition():
            if time.monotonic() > end:
                raise TimeoutError
            self.app.processEvents()
            time.sleep(0.01)

    def rest(self) -> None:
        """Waits until no work is under way."""
        end = time.monotonic() + 0.6
        self.until(lambda: time.monotonic() > end and self.program.tasks.busy == 0)

    def set(self, theme: ThemeChoice, size: SizeName, width: int, height: int) -> None:
        """Chooses theme, size and room."""
        self.program.theme.choose(theme)
        self.program.theme.resize(size)
        self.window.resize(width, height)

    def look(self) -> LookFirst:
        """Shows Look First with the question of the pictures."""
        self.window.go("look")
        page = self.window.screen_of("look")
        assert isinstance(page, LookFirst)
        page.question.put(ASKED, KNOWN)
        self.rest()
        return page

    def ledger(self, question: str) -> LedgerScreen:
        """Shows a question of the Swap Ledger."""
        self.window.go("ledger", question)
        page = self.window.screen_of("ledger")
        assert isinstance(page, LedgerScreen)
        self.rest()
        return page

    def jot(self) -> JotScreen:
        """Shows Jot with its lines half written."""
        self.window.go("jot")
        page = self.window.screen_of("jot")
        assert isinstance(page, JotScreen)
        page.form.put(JOTTED)
        page.form.edits["fixed"].setFocus()
        self.rest()
        self.until(lambda: bool(page.head.kept.text()))
        return page

    def take(self, name: str) -> None:
        """Takes one picture."""
        self.rest()
        image = self.window.grab().toImage().convertToFormat(QImage.Format.Format_RGB888)
        self.out.mkdir(parents=True, exist_ok=True)
        image.save(str(self.out / f"{name}.png"), "PNG", 0)  # type: ignore[call-overload]

    def close(self) -> None:
        """Ends the program."""
        self.program.quit()
        self.program.close()


def _take_board(studio: Studio) -> None:
    studio.set("light", "desk", 1280, 800)
    studio.window.go("split", "2026-0068")
    board = studio.window.screen_of("split")
    assert isinstance(board, SplitBoard)
    studio.until(lambda: board.desk.current)
    studio.take("split-board")
    board.run_test("radiator_spread")
    studio.set("light", "desk", 1280, 800)
    readings = board.panel.test.readings.fields
    for (place, repeat), text in {(0, 0): "104", (1, 0): "41", (0, 1): "105"}.items():
        readings[place, repeat].setText(text)
    board.panel.test.conditions.lines[0].met.click()
    readings[1, 1].setFocus()
    studio.rest()
    studio.take("split-board-recording")
    readings[0, 0].clear()
    board.leave()
    studio.set("light", "across", 1280, 800)
    board.run_test("gas_test")
    studio.take("split-board-across")
    studio.set("light", "desk", 1280, 800)


def _take_ledger(studio: Studio) -> None:
    studio.set("light", "desk", 1280, 800)
    studio.ledger("months")
    studio.take("ledger")
    page = studio.ledger("lesson")
    page._teach(next(row.key for row in page.taught.lines.rows if "2025-0067" in row.title))
    studio.rest()
    page.lesson.choices.pick(2)
    page.lesson.do_button.click()
    page.lesson.known_button.click()
    studio.set("dark", "desk", 1280, 800)
    studio.take("hide-the-answer-dark")
    page.leave()


def _take_crate(studio: Studio, home: Path) -> None:
    shop = Side(home / "weir", WEIR_LANE, "IK")
    shop.add(
        case(number="2026-0147", notes="Ask Mrs Harrow, 01632 960112, before the belt cover goes back on."),
        case(number="2026-0152", notes="Heard from the previous shop on 12 June."),
        private=PRIVATE,
    )
    shop.book.close()
    opened: list[bool] = []
    studio.program.book.switch(str(home / "weir"), lambda: opened.append(True), lambda error: opened.append(False))
    studio.until(lambda: opened == [True])
    studio.set("light", "desk", 1280, 800)
    studio.window.go("crate")
    page = studio.window.screen_of("crate")
    assert isinstance(page, CrateScreen)
    studio.rest()
    page.make.look_through()
    studio.rest()
    rows = page.make.review.list
    name = next(n for n, row in enumerate(rows.lines.rows) if row.cut and "Harrow" in row.cut.text)
    rows.setFocus()
    rows.pick(name)
    rows.scrollTo(rows.lines.index(name, 0), rows.ScrollHint.PositionAtCenter)
    studio.take("case-crate")


def _take_frame(studio: Studio) -> None:
    studio.set("light", "desk", 1280, 800)
    studio.window.go("bench")
    bench = studio.window.screen_of("bench")
    assert isinstance(bench, BenchScreen)
    studio.rest()
    bench.list.setFocus()
    bench.list.pick(next(row for row, line in enumerate(bench.list.lines.rows) if line.state))
    studio.take("bench")
    studio.set("dark", "across", 1280, 800)
    studio.take("bench-across")
    studio.set("light", "desk", 1280, 800)
    for name in ("settings", "welcome"):
        studio.window.go(name)
        studio.take(name)
    studio.window.go("look", ASKED)
    studio.rest()
    ids = tuple(row.hit.id for row in studio.look().results.model.rows[:2])
    studio.window.go("compare", ids)
    studio.take("compare")


def _take_all(studio: Studio) -> None:
    _take_frame(studio)
    studio.set("light", "desk", 1280, 800)
    studio.look()
    studio.take("look-first")
    page = studio.look()
    page.reading.page.verticalScrollBar().setValue(page.reading.timeline.y() + 150)
    page.results.list.setFocus()
    studio.set("dark", "desk", 1280, 800)
    studio.take("look-first-dark")
    studio.set("light", "desk", 1280, 800)
    studio.jot()
    studio.take("jot")
    studio.set("light", "desk", 1024, 700)
    studio.look()._show_narrow()
    studio.take("narrow-by-1024")
    studio.look().leave()
    studio.set("light", "bay", 1280, 800)
    studio.look()
    studio.take("look-first-bay")
    studio.set("dark", "across", 1280, 800)
    studio.jot()
    studio.take("jot-across")
    studio.set("light", "desk", 1280, 800)
    _take_kit_and_map(studio)
    _take_board(studio)
    _take_ledger(studio)
    _take_proof(studio)
    take_forms(studio)


def _take_proof(studio: Studio) -> None:
    studio.window.go("lead", "2025-0067")
    studio.rest()
    page = studio.window.screen_of("lead")
    assert isinstance(page, LeadCheckScreen)
    page.open_correct()
    panel = page.right.currentWidget()
    assert isinstance(panel, CorrectPanel)
    panel.cause.setPlainText("Water pump impeller slips on its shaft when hot")
    panel.reason.setPlainText("It slips when hot, not only when warm.")
    panel.do_button.click()
    studio.rest()
    page.notes.put(None)
    studio.take("lead-check")
    studio.window.go("sheet", "2026-0129")
    studio.rest()
    sheet = studio.window.screen_of("sheet")
    assert isinstance(sheet, SheetScreen)
    sheet.path.setText("sheet-2026-0129.pdf")
    studio.take("sheet")


def _take_kit_and_map(studio: Studio) -> None:
    studio.window.go("kit")
    studio.rest()
    kit = studio.window.screen_of("kit")
    assert isinstance(kit, KitScreen)
    kit.seek.setText("scan tool")
    kit.form.standing.chosen.emit("have")
    studio.rest()
    kit.form.due.done.emit("2027-03-31")
    studio.rest()
    studio.take("kit")
    studio.window.go("map")
    studio.rest()
    page = studio.window.screen_of("map")
    assert isinstance(page, MapDrafting)
    page.shelf.list.show_rows(page.shelf.list.lines.rows, "engine-overheating")
    page.shelf.family.setText("Drovane")
    page.shelf.copy_button.click()
    page.editor.open_piece(Piece("test", 0))
    page.editor.add("test")
    studio.take("map-drafting")


def main(folder: Path) -> int:
    """Takes every picture into a folder."""
    with tempfile.TemporaryDirectory() as home:
        os.environ["KBAPP_HOME"] = home
        studio = Studio(Path(home), folder)
        try:
            _take_all(studio)
            _take_crate(studio, Path(home))
        finally:
            studio.close()
    return 0


if __name__ == "__main__":
    chosen = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).resolve().parents[2] / "docs" / "pictures"
    raise SystemExit(main(chosen))
