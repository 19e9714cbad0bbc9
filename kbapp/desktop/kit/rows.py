"""Rows of the Kit List as lines."""

from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING

from kbapp.desktop.widgets.title_lines import TitleLine
from kbapp.wording.drafting import kit_remark, map_tests_words, testable_words

if TYPE_CHECKING:
    from kbapp.app.kit_desk import KitRow
    from kbapp.app.testable import MapTests

_ICONS = {"have": "tick", "borrow": "back", "missing": "x", None: "state_open"}


def kit_lines(rows: Iterable["KitRow"], today: date, wanted: str = "") -> tuple[TitleLine, ...]:
    """Returns the kit a line each, as far as its name holds the wanted words."""
    words = wanted.casefold().split()
    return tuple(
        TitleLine(row.line.name, row.line.name, kit_remark(row, today), _ICONS[row.line.standing])
        for row in rows
        if all(word in row.line.name.casefold() for word in words)
    )


def map_lines(found: Iterable["MapTests"]) -> tuple[TitleLine, ...]:
    """Returns maps with how much of each can be tested."""
    return tuple(
        TitleLine(tests.section_map.id, tests.section_map.title, map_tests_words(tests), "map") for tests in found
    )


def test_lines(tests: "MapTests | None") -> tuple[TitleLine, ...]:
    """Returns the tests of a map with how each can be run."""
    if tests is None:
        return ()
    icons = {True: "tick", False: "unable"}
    return tuple(
        TitleLine(
            found.test.id, found.test.name, testable_words(found), "back" if found.substitute else icons[found.possible]
        )
        for found in tests.tests
    )


test_lines.__test__ = False  # type: ignore[attr-defined]
