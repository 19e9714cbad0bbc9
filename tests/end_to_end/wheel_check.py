"""Run with an installed wheel, outside the clone: migrates an old book, opens the desktop, finds the help pages."""

import sys
import tempfile
import time
import zipfile
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QApplication

import kbapp
from kbapp.app.places import places
from kbapp.desktop.frame.help_search import read_help
from kbapp.desktop.main import application
from kbapp.desktop.program import Program
from kbapp.resources import resource
from kbapp.store.book import open_book

BOOKS = Path(__file__).resolve().parents[1] / "fixtures" / "books"


def check_migration() -> None:
    """Opens the oldest book ever shipped: it is backed up and brought up to date with the migrations of the wheel."""
    with tempfile.TemporaryDirectory() as folder:
        with zipfile.ZipFile(BOOKS / "0001.zip") as archive:
            archive.extractall(folder)
        home = next(path.parent for path in Path(folder).rglob("book.db"))
        with open_book(home) as book:
            assert book.count() > 0
            assert book.check() == ()
            print("migrated a book of format 0001 to", book.info.format)


def _wait(what: str, ready: Callable[[], bool], seconds: float = 60) -> None:
    deadline = time.monotonic() + seconds
    while not ready():
        QCoreApplication.processEvents()
        assert time.monotonic() < deadline, what
        time.sleep(0.01)


def check_desktop() -> None:
    """Starts the program on the practice book and waits until its window shows the book."""
    app = application()
    assert isinstance(app, QApplication)
    where = places()
    program = Program(app, "practice", author="IK", window_state=where.window_state, settings=where.settings)
    window = program.start()
    _wait("the book did not open", lambda: program.book.state == "open" and program.book.cases > 0)
    assert program.book.cases == 132
    for _turn in range(50):
        QCoreApplication.processEvents()
        time.sleep(0.02)
    image = window.grab().toImage()
    colours = {image.pixelColor(x, y).name() for x in range(0, image.width(), 7) for y in range(0, image.height(), 7)}
    assert len(colours) > 20, "the window is empty"
    program.quit()
    program.close()
    print("the window opened with", len(colours), "colours in sight")


def main() -> int:
    """Checks everything and returns the exit code."""
    assert "site-packages" in kbapp.__file__, kbapp.__file__
    check_migration()
    check_desktop()
    pages = read_help(resource("docs"))
    assert len(pages) > 8
    assert resource("schema").joinpath("case.schema.json").is_file()
    print("help pages:", len(pages))
    return 0


if __name__ == "__main__":
    sys.exit(main())
