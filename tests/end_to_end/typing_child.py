"""Types into a jot until it is killed, and prints after each key how many characters stand there and since when."""

import os
import sys
import time
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtTest import QTest

from kbapp.desktop.main import application
from kbapp.desktop.program import Program

TEXT = "hums above ninety and stops when it is lifted, worse in the wet, " * 20


def main(location: str, home: Path) -> None:
    """Runs the program on a book and types."""
    app = application()
    program = Program(app, location, author="IK", window_state=home / "w.ini", settings=home / "settings.json")
    window = program.start()
    window.go("jot")
    edit = window.screen_of("jot").form.edits["concern"]  # type: ignore[attr-defined]
    while program.book.state != "open":
        app.processEvents()
        time.sleep(0.005)
    for count, char in enumerate(TEXT, 1):
        QTest.keyClicks(edit, char)
        print(count, time.monotonic(), flush=True)
        until = time.monotonic() + 0.02
        while time.monotonic() < until:
            app.processEvents()
            time.sleep(0.002)


if __name__ == "__main__":
    main(sys.argv[1], Path(sys.argv[2]))
