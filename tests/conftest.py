"""What every test gets: a home of its own, and an end that leaves no thread behind."""

import os
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

pytest_plugins = ["tests.practice"]
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")


@pytest.fixture(autouse=True)
def _own_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("KBAPP_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("KBAPP_AUTHOR", "IK")
    monkeypatch.delenv("KBAPP_LANG", raising=False)


@pytest.fixture(autouse=True)
def _no_thread_left() -> Iterator[None]:
    before = set(threading.enumerate())
    yield
    deadline = time.monotonic() + 5
    while time.monotonic() < deadline:
        left = [t for t in threading.enumerate() if t not in before and t.is_alive() and not t.name.startswith("pydev")]
        if not left:
            return
        time.sleep(0.02)
    pytest.fail(f"threads left alive: {[t.name for t in left]}")
