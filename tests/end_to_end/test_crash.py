"""A process that dies in the middle of typing (kill -9: process death, not power loss) loses at most a second."""

import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from kbapp.app.session import Session
from kbapp.desktop.jot.lines import JotText
from kbapp.records.case import Shop
from kbapp.store.book import create_book
from tests.desktop.conftest import Start
from tests.desktop.conftest import start as start
from tests.end_to_end.typing_child import TEXT

SHOP = Shop(id="3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10", name="Weir Lane Diagnostics")


def _type_and_kill(book: str, home: Path, after: float) -> tuple[list[tuple[int, float]], float]:
    """Returns what had been typed when, and when the process was killed."""
    command = [sys.executable, "-m", "tests.end_to_end.typing_child", book, str(home)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as child:
        assert child.stdout is not None
        first = child.stdout.readline()
        time.sleep(after)
        killed = time.monotonic()
        child.send_signal(signal.SIGKILL)
        lines = [first, *child.stdout.read().splitlines()]
    typed = [(int(count), float(at)) for count, at in (line.split() for line in lines if len(line.split()) == 2)]
    return typed, killed


@pytest.mark.parametrize("after", [1.3, 2.1])
def test_at_most_a_second_of_typing_is_lost(tmp_path: Path, after: float) -> None:
    book = str(tmp_path / "book")
    create_book(book, SHOP).close()
    typed, killed = _type_and_kill(book, tmp_path / "home", after)
    safe = max(count for count, at in typed if at <= killed - 1.0)
    session = Session.open(book, follow=False)
    drafts = session.drafts().all()
    session.close()
    assert len(drafts) == 1
    kept = JotText.from_draft(drafts[0].text).concern
    assert TEXT.startswith(kept)
    assert len(kept) >= safe > 5


def test_what_was_kept_is_offered_at_the_next_start(start: Start, tmp_path: Path) -> None:
    book = str(tmp_path / "book")
    create_book(book, SHOP).close()
    _type_and_kill(book, tmp_path / "home", 1.5)
    running = start(book, screen="jot")
    running.until(lambda: running.jot.notes.note is not None, "offered")
    note = running.jot.notes.note
    assert note is not None
    assert "hums above ninety" in note.text()
