"""Lead Check, Retest, History and the Hand-Back Sheet at every size and width they must be usable at."""

from pathlib import Path

import pytest

from kbapp.desktop.lead_check.retest_page import RetestPage
from kbapp.desktop.lead_check.screen import LeadCheckScreen
from kbapp.desktop.theme.tokens import SIZES, SizeName
from tests.desktop.conftest import Start
from tests.desktop.running import Running
from tests.desktop.walker import faults

ROOM: list[tuple[SizeName, tuple[int, int]]] = [
    ("desk", (1024, 700)), ("bay", (1024, 700)), ("bay", (1280, 800)), ("across", (1280, 800)),
]  # fmt: skip
"""The tightest of each size; a desk with more room has less to go wrong."""


def _walk(running: Running) -> list[str]:
    wrong: list[str] = []
    window, least = running.window, SIZES[running.program.theme.size].row

    def check(state: str) -> None:
        running.rest()
        wrong.extend(f"{state}: {fault}" for fault in faults(window, least))

    window.go("lead")
    check("queue")
    window.go("lead", "2025-0067")
    check("a proved case")
    page = running.screen(LeadCheckScreen, "lead")
    for name in ("correct", "comeback", "withdraw", "same", "people"):
        getattr(page, f"open_{name}")()
        check(name)
        page.close_panel()
    window.go("lead", "2026-0129")
    running.rest()
    page.open_send_back()
    check("send back")
    page.close_panel()
    case_id = page._view.case.id if page._view is not None else ""
    page.prove()
    window.go("retest", "2025-0067")
    running.rest()
    retest = running.screen(RetestPage, "retest")
    for edit in retest.readings.values():
        edit.setText("92 93")
    retest.result.buttons["failed"].click()
    check("retest")
    window.go("retest", case_id)
    check("retest without a baseline")
    window.go("history", case_id)
    check("history")
    window.go("sheet", "2025-0067")
    check("sheet")
    return wrong


@pytest.mark.parametrize(("size", "room"), ROOM)
def test_everything_has_a_name_a_size_and_a_translation(
    start: Start, practice: Path, monkeypatch: pytest.MonkeyPatch, size: SizeName, room: tuple[int, int]
) -> None:
    monkeypatch.setenv("KBAPP_LANG", "pseudo")
    running = start(width=room[0], height=room[1])
    running.program.resize(size)
    assert running.window.width() == room[0], "the window is wider than it was asked to be"
    wrong = _walk(running)
    assert wrong == [], "\n".join(dict.fromkeys(wrong))
