"""A running program in a test: waits for what is under way, presses keys, reads screens."""

from collections.abc import Callable
from typing import TypeVar

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from kbapp.desktop.bench.screen import BenchScreen
from kbapp.desktop.frame.window import MainWindow
from kbapp.desktop.jot.screen import JotScreen
from kbapp.desktop.look_first.screen import LookFirst
from kbapp.desktop.program import Program

S = TypeVar("S", bound=QWidget)
WAIT_MS = 15_000
POPUP = ("This plugin does not support raise\\(\\)", "This plugin does not support grabbing the keyboard")
"""What offscreen Qt prints when a list of suggestions or a menu pops up."""


class Running:
    """Program, window and the hands that use it."""

    def __init__(self, program: Program, window: MainWindow, qtbot: QtBot) -> None:
        self.program, self.window, self.qtbot = program, window, qtbot

    def until(self, condition: Callable[[], bool], what: str) -> None:
        """Waits until something is so."""

        def check() -> None:
            assert condition(), what

        self.qtbot.waitUntil(check, timeout=WAIT_MS)

    def rest(self) -> None:
        """Waits until no work is under way and nothing is about to start."""
        for _turn in range(3):
            self.qtbot.wait(10)
            self.until(lambda: self.program.tasks.busy == 0, "work ends")

    def screen(self, kind: type[S], key: str) -> S:
        """Returns a screen."""
        page = self.window.screen_of(key)
        assert isinstance(page, kind)
        return page

    @property
    def bench(self) -> BenchScreen:
        """The Bench."""
        return self.screen(BenchScreen, "bench")

    @property
    def look(self) -> LookFirst:
        """Look First."""
        return self.screen(LookFirst, "look")

    @property
    def jot(self) -> JotScreen:
        """Jot."""
        return self.screen(JotScreen, "jot")

    def activate(self) -> None:
        """Brings the window to the front, so that keys reach it."""
        self.window.activateWindow()
        self.until(self.window.isActiveWindow, "the window is active")

    def type(self, text: str) -> None:
        """Types where the focus is."""
        focus = QApplication.focusWidget()
        assert focus is not None
        QTest.keyClicks(focus, text)

    def press(self, key: Qt.Key, modifier: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
        """Presses a key where the focus is."""
        focus = QApplication.focusWidget() or self.window
        QTest.keyClick(focus, key, modifier)

    def ask(self, text: str) -> None:
        """Writes a question by keyboard, asks it and waits for the answer."""
        edit = self.look.question.edit
        edit.setFocus()
        edit.clear()
        QTest.keyClicks(edit, text)
        QTest.keyClick(edit, Qt.Key.Key_Return)
        self.rest()
