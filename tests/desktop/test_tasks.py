import threading
import time
from collections.abc import Iterator

import pytest
from PySide6.QtCore import QCoreApplication, QObject
from pytestqt.qtbot import QtBot

from kbapp.desktop.tasks import Control, Latest, Tasks
from kbapp.errors import Cancelled, InputError


@pytest.fixture
def tasks() -> Iterator[Tasks]:
    made = Tasks()
    yield made
    made.close()


def test_results_arrive_on_the_gui_thread(tasks: Tasks, qtbot: QtBot) -> None:
    owner, seen = QObject(), []

    def work(_control: Control) -> int:
        return threading.get_ident()

    tasks.run("read", owner, work, lambda worker: seen.append((worker, threading.get_ident())))
    qtbot.waitUntil(lambda: bool(seen))
    assert seen[0][0] != threading.get_ident() == seen[0][1]


def test_changes_run_one_after_the_other_in_their_order(tasks: Tasks, qtbot: QtBot) -> None:
    owner = QObject()
    begun: list[int] = []
    done: list[int] = []

    def change(n: int) -> int:
        begun.append(n)
        time.sleep(0.005 if n % 2 else 0)
        assert begun[-1] == n
        return n

    for n in range(12):
        tasks.run("change", owner, lambda _control, n=n: change(n), done.append)  # type: ignore[misc]
    qtbot.waitUntil(lambda: len(done) == 12)
    assert done == list(range(12))


def test_reads_go_on_while_a_change_takes_long(tasks: Tasks, qtbot: QtBot) -> None:
    owner, go, done = QObject(), threading.Event(), []
    tasks.run("change", owner, lambda _control: go.wait(5), lambda _r: done.append("change"))
    tasks.run("draft", owner, lambda _control: None, lambda _r: done.append("draft"))
    tasks.run("read", owner, lambda _control: None, lambda _r: done.append("read"))
    qtbot.waitUntil(lambda: len(done) == 2)
    assert set(done) == {"draft", "read"}
    go.set()
    qtbot.waitUntil(lambda: "change" in done)


def test_only_the_newest_read_is_heard_and_older_ones_are_told_to_stop(tasks: Tasks, qtbot: QtBot) -> None:
    owner = QObject()
    heard: list[int] = []
    stopped: list[int] = []
    latest = Latest(tasks, owner)

    def work(control: Control, n: int) -> int:
        end = time.monotonic() + 2
        while n < 3 and time.monotonic() < end:
            if control.stopped():
                stopped.append(n)
                raise Cancelled
            time.sleep(0.002)
        return n

    for n in range(4):
        latest.ask(lambda control, n=n: work(control, n), heard.append)  # type: ignore[misc]
    qtbot.waitUntil(lambda: bool(heard) and tasks.busy == 0)
    assert heard == [3]
    assert set(stopped) <= {0, 1, 2}
    assert not latest.waiting


def test_an_error_goes_to_whom_it_concerns(tasks: Tasks, qtbot: QtBot) -> None:
    owner = QObject()
    failed: list[Exception] = []
    unhandled: list[Exception] = []
    tasks.unhandled.connect(unhandled.append)

    def work(_control: Control) -> None:
        raise InputError("jot_without_concern")

    tasks.run("read", owner, work, failed=failed.append)
    tasks.run("read", owner, work)
    qtbot.waitUntil(lambda: bool(failed) and bool(unhandled))
    assert [error.code for error in (*failed, *unhandled) if isinstance(error, InputError)] == [
        "jot_without_concern"
    ] * 2


def test_nobody_is_called_once_the_owner_is_gone(tasks: Tasks, qtbot: QtBot) -> None:
    owner, go = QObject(), threading.Event()
    heard: list[bool] = []
    tasks.run("read", owner, lambda _control: go.wait(5), heard.append)
    owner.deleteLater()
    QCoreApplication.sendPostedEvents(owner, 0)
    qtbot.wait(10)
    go.set()
    qtbot.waitUntil(lambda: tasks.busy == 0)
    assert heard == []


def test_progress_arrives_in_order(tasks: Tasks, qtbot: QtBot) -> None:
    owner = QObject()
    moved: list[tuple[int, int]] = []
    done: list[None] = []

    def work(control: Control) -> None:
        for n in range(5):
            control.progress(n, 5)

    tasks.run("change", owner, work, done.append, moved=lambda n, of: moved.append((n, of)))
    qtbot.waitUntil(lambda: bool(done))
    assert moved == [(n, 5) for n in range(5)]


def test_closing_lets_changes_end_and_runs_the_last_thing_behind_them() -> None:
    tasks, owner, order = Tasks(), QObject(), []

    def change(_control: Control) -> None:
        time.sleep(0.05)
        order.append("change")

    tasks.run("change", owner, change)
    tasks.close(lambda: order.append("last"))
    assert order == ["change", "last"]
    assert tasks.run("change", owner, change).finished
    assert order == ["change", "last"]
