"""The thumb index where the window is too low for every tab."""

import itertools
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from kbapp.desktop.frame.thumb_index import Tab
from kbapp.desktop.screens import all_screens
from kbapp.desktop.theme.tokens import SizeName
from tests.desktop.conftest import Start
from tests.desktop.running import POPUP


@pytest.mark.qt_log_ignore(*POPUP, extend=True)
@pytest.mark.parametrize(("size", "height"), [("desk", 800), ("bay", 700), ("across", 700), ("across", 480)])
def test_tabs_never_overlap_and_every_screen_stays_within_reach(
    start: Start, practice: Path, size: SizeName, height: int
) -> None:
    running = start(width=1024, height=height)
    running.activate()
    running.program.resize(size)
    running.rest()
    index = running.window.index
    tabs = sorted((tab for tab in index.findChildren(Tab) if tab.isVisible()), key=lambda tab: tab.y())
    for above, below in itertools.pairwise(tabs):
        assert above.y() + above.height() <= below.y()
    assert tabs[-1].y() + tabs[-1].height() <= index.height()
    hidden = [entry for entry in all_screens() if index.tab(entry.key).isHidden()]
    assert index.more_tab.isVisible() == bool(hidden)
    if not hidden:
        return
    QTest.mouseClick(index.more_tab, Qt.MouseButton.LeftButton)
    assert [entry.text() for entry in index.more.actions()] == [entry.name for entry in hidden]
    index.more.actions()[-1].trigger()
    index.more.close()
    assert running.window.current == hidden[-1].key
    assert index.tab(hidden[-1].key).isVisible()
