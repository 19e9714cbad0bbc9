"""The program as it is started: it runs until its last window is closed, and leaves nothing behind."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

from kbapp.desktop.frame.window import MainWindow
from kbapp.desktop.main import run


def _windows() -> list[MainWindow]:
    return [widget for widget in QApplication.topLevelWidgets() if isinstance(widget, MainWindow)]


@pytest.mark.parametrize("wait_until_open", [True, False])
def test_it_runs_until_the_last_window_is_closed(
    qapp: QApplication, practice: Path, tmp_path: Path, wait_until_open: bool
) -> None:
    hook, states = sys.excepthook, []
    timer = QTimer()

    def look() -> None:
        for window in _windows():
            state = window.context.book.state
            if state == "open" or not wait_until_open:
                states.append(state)
                timer.stop()
                window.close()

    timer.timeout.connect(look)
    timer.start(5)
    assert run("practice", author="IK", window_state=tmp_path / "w.ini", settings=tmp_path / "s.json") == 0
    assert states
    assert (states == ["open"]) or not wait_until_open
    assert sys.excepthook is hook
    assert (tmp_path / "w.ini").is_file()


def test_an_exception_in_a_slot_is_shown_in_the_window(qapp: QApplication, practice: Path, tmp_path: Path) -> None:
    notes: list[str] = []
    timer = QTimer()

    def look() -> None:
        for window in _windows():
            if window.context.book.state == "open":
                sys.excepthook(ValueError, ValueError("x"), None)
                note = window.screen_of(window.current).notes.note
                notes.append(note.text() if note is not None else "")
                timer.stop()
                window.close()

    timer.timeout.connect(look)
    timer.start(5)
    run("practice", author="IK", window_state=tmp_path / "w.ini", settings=tmp_path / "s.json")
    assert len(notes) == 1
    assert "made a mistake" in notes[0]


def test_the_window_needs_neither_database_nor_index_to_show() -> None:
    code = "import sys, kbapp.desktop.program; print(' '.join(m for m in sys.modules if '.' not in m))"
    loaded = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, env={**os.environ}
    ).stdout.split()  # fmt: skip
    assert {"sqlalchemy", "whoosh", "numpy", "alembic", "markdown", "nh3"}.isdisjoint(loaded)
