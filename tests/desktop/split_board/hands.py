"""Hands on the Split Board: opens a case, presses what is in sight, reads what stands there."""

from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QWidget

from kbapp.app.board import Outlook
from kbapp.desktop.split_board.screen import SplitBoard
from kbapp.records.case import CASE_FORMAT, Case, Concern, MapReference, Vehicle
from kbapp.records.section_map import SectionMap
from kbapp.records.timeline import PartEntry
from tests.desktop.running import Running

CASE_ID = "11111111-2222-4333-8444-555555555555"


def overheating(*, with_map: bool = True) -> Case:
    """Returns the situation: a van that overheats in traffic, two thermostats fitted elsewhere in vain."""
    fitted = {"kind": "part", "by": "previous shop", "source": "reported", "part": "thermostat", "effect": "unchanged"}
    return Case(
        format=CASE_FORMAT,
        id=CASE_ID,
        number="2026-0900",
        state="open",
        vehicle=Vehicle(make="Brennick", family="Drovane", generation="B", engine="B20D", model_year=2019),
        concern=Concern(
            text="Runs hot in traffic, falls once moving", system="hvac_cooling", symptoms=("overheats in traffic",)
        ),
        map=MapReference(id="engine-overheating", version=1) if with_map else None,
        timeline=(
            PartEntry.model_validate({"id": "e1", "at": "2026-08-12", **fitted}),
            PartEntry.model_validate({"id": "e2", "at": "2026-09-01", **fitted}),
        ),
    )


class Board:
    """The board of a running program."""

    def __init__(self, running: Running) -> None:
        self.running = running
        page = running.window.screen_of("split")
        assert isinstance(page, SplitBoard)
        self.page = page

    def put(self, case: Case, section_map: SectionMap | None = None) -> "Board":
        """Puts a case (and a map) into the book and opens the case on the board."""
        session = self.running.program.book._session
        assert session is not None
        if section_map is not None:
            session._book.put_shelved("map", section_map.id, section_map.model_dump_json(exclude_defaults=True), "IK")
        session.save(case, None)
        return self.open(case.id)

    def open(self, case_id: str) -> "Board":
        """Opens a case and waits for the advice on it."""
        self.running.window.go("split", case_id)
        self.settle()
        return self

    def settle(self) -> None:
        """Waits until the advice on the case as it stands is shown."""
        self.running.until(lambda: self.page.desk.current and not self.page.desk.busy, "advice")
        self.running.rest()

    @property
    def case(self) -> Case:
        """The case as the board has it."""
        view = self.page.desk.view
        assert view is not None
        return view.case

    @property
    def outlook(self) -> Outlook:
        """The advice on it."""
        assert self.page.desk.outlook is not None
        return self.page.desk.outlook

    def share(self, section: str) -> float:
        """Returns the share of a section."""
        assert self.outlook.advice is not None
        return self.outlook.advice.picture.share(section)

    def click(self, button: QWidget) -> None:
        """Clicks into the middle of a control in sight."""
        assert button.isVisible(), f"{button.accessibleName()} is not in sight"
        assert not isinstance(button, QAbstractButton) or button.isEnabled()
        QTest.mouseClick(button, Qt.MouseButton.LeftButton, pos=QPoint(button.width() // 2, button.height() // 2))

    def record_outcome(self, outcome: str) -> None:
        """Clicks an outcome and waits for what follows."""
        self.click(self.page.panel.test.outcome_buttons[outcome])
        self.settle()

    def write(self, edit: QWidget, text: str) -> None:
        """Clicks into a field and types."""
        self.click(edit)
        QTest.keyClicks(edit, text)

    def run(self, test: str) -> None:
        """Clicks a test in the list of next tests and Run it, after showing all of them."""
        side = self.page.side
        if all(row.test != test for row in side.next.lines.rows):
            self.click(side.all_button)
        place = next(n for n, row in enumerate(side.next.lines.rows) if row.test == test)
        side.next.pick(place)
        side.ensureWidgetVisible(side.run_button)
        self.click(side.run_button)
