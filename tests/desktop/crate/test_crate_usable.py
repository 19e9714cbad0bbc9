"""Every part of the Case Crate at every size and width: names, targets, nothing cut, nothing untranslated."""

from pathlib import Path

import pytest

from kbapp.desktop.crate.screen import CrateScreen
from kbapp.desktop.theme.tokens import SIZES, SizeName
from tests.desktop.conftest import Start
from tests.desktop.walker import faults, untranslated
from tests.packs.world import COPPERHILL, PRIVATE, WEIR_LANE, Side, case


@pytest.fixture
def books(tmp_path: Path) -> tuple[Path, Path]:
    side = Side(tmp_path / "weir", WEIR_LANE, "IK")
    side.add(case(number="1", notes="Ask Mrs Harrow, 01632 960112, again."), private=PRIVATE)
    changed = side.book.list_cases()[0].id
    theirs = side.book.case(changed).case.model_copy(update={"lesson": "Check the shaft first."})
    side.book.close()
    other = Side(tmp_path / "copperhill", COPPERHILL, "PB")
    other.add(theirs, case(number="7"))
    pack = other.pack(tmp_path / "theirs.zip", title="Two").path
    other.book.close()
    return tmp_path / "weir", pack


@pytest.mark.parametrize(
    ("size", "room"), [("desk", (1024, 700)), ("bay", (1024, 700)), ("across", (1280, 800)), ("across", (1024, 700))]
)
def test_every_part_can_be_used(
    start: Start, books: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch, size: SizeName, room: tuple[int, int]
) -> None:
    monkeypatch.setenv("KBAPP_LANG", "pseudo")
    weir, pack = books
    running = start(str(weir), width=room[0], height=room[1], screen="crate")
    running.program.resize(size)
    screen = running.screen(CrateScreen, "crate")
    wrong: list[str] = []

    def check(state: str) -> None:
        # families are words of the book, and the index is the frame's
        running.rest()
        found = (*faults(screen, SIZES[size].row), *untranslated(running.window))
        wrong.extend(f"{state}: {fault}" for fault in found if not fault.endswith("Pallow") and fault[:6] != "title:")

    check("choosing")
    screen.make.look_through()
    check("review")
    screen.show_part("read")
    check("no pack")
    screen._take_path(pack)
    check("plan")
    plan = screen.read.plan
    assert plan is not None
    clash = next(item.case_id for item in plan.items if item.verdict == "clash")
    place = next(n for n, row in enumerate(screen.read.list.lines.rows) if row.key == clash)
    screen.read._open_clash(place)
    check("clash")
    screen.read.leave()
    screen.read.read()
    check("read")
    screen.show_part("history")
    check("history")
    screen.show_part("key")
    check("key")
    assert (running.window.width(), running.window.height()) == room
    assert wrong == [], "\n".join(wrong)
