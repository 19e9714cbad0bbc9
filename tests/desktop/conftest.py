"""Real windows on real books, offscreen; nothing may be left alive when a test ends."""

import os

os.environ["QT_QPA_PLATFORM"] = "offscreen"

import gc
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
import shiboken6
from PySide6.QtCore import QCoreApplication, QEvent, QTimer
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from kbapp.app.settings import Settings, write_settings
from kbapp.desktop.frame.window import MainWindow
from kbapp.desktop.program import Program
from kbapp.desktop.theme.theme import Theme
from tests.desktop.running import Running


def _settle() -> None:
    for _round in range(4):
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
        QCoreApplication.processEvents()


@pytest.fixture(autouse=True)
def _nothing_left(qapp: QApplication) -> Iterator[None]:
    before = set(map(id, QApplication.topLevelWidgets()))
    yield
    _settle()
    left = [widget for widget in QApplication.topLevelWidgets() if id(widget) not in before and widget.isVisible()]
    assert left == [], "windows left open"
    windows = [widget for widget in QApplication.topLevelWidgets() if isinstance(widget, MainWindow)]
    assert windows == [], "windows left alive"


def _running_timers() -> list[QTimer]:
    return [
        timer
        for timer in gc.get_objects()
        if isinstance(timer, QTimer) and shiboken6.isValid(timer) and timer.isActive()
    ]


@pytest.fixture
def theme(qapp: QApplication) -> Iterator[Theme]:
    """A light theme at desk size, on its own."""
    made = Theme(qapp, "light", "desk")
    yield made
    made.deleteLater()


Start = Callable[..., Running]


@pytest.fixture
def start(qapp: QApplication, qtbot: QtBot, tmp_path: Path) -> Iterator[Start]:
    """Starts the program on a book, shows a screen (blank: the one it starts with) and waits until the book is open."""
    programs: list[Program] = []

    def begin(
        location: str = "practice", *, wait: bool = True, width: int = 1280, height: int = 800, screen: str = "look",
        first_run: bool = False,
    ) -> Running:  # fmt: skip
        settings = tmp_path / "home" / "config" / "settings.json"
        if not first_run and not settings.exists():
            write_settings(settings, Settings())
        program = Program(
            qapp,
            location,
            author="IK",
            window_state=tmp_path / "window.ini",
            settings=settings,
        )
        programs.append(program)
        window = program.start()
        window.resize(width, height)
        if screen and not first_run:
            window.go(screen)
        running = Running(program, window, qtbot)
        if wait:
            running.until(lambda: program.book.index is not None and program.book.index.ready, "the index is ready")
            running.rest()
        return running

    yield begin
    for program in programs:
        program.quit()
        program.close()
        program.deleteLater()
    _settle()
    assert _running_timers() == [], "timers left running"
