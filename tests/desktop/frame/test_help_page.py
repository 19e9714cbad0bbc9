import re
import tomllib
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from kbapp.desktop.frame.about_page import AboutPage
from kbapp.desktop.frame.help_page import HelpPage, page_beside
from kbapp.desktop.frame.help_search import Page, read_help, search
from kbapp.desktop.screens import all_screens
from kbapp.desktop.theme.fonts import MONO, SLAB, TEXT
from kbapp.resources import resource
from tests.desktop.conftest import Start

Ctrl = Qt.KeyboardModifier.ControlModifier


@pytest.mark.parametrize(
    ("page", "link", "leads"),
    [
        ("a.md", "b.md", "b.md"),
        ("a.md", "b.md#part", "b.md"),
        ("deep/a.md", "../b.md", "b.md"),
        ("deep/a.md", "./b.md", "deep/b.md"),
        ("a.md", "../secret.md", ""),
        ("a.md", "/etc/a.md", ""),
        ("a.md", "file:///etc/a.md", ""),
        ("a.md", "https://example.org/a.md", ""),
        ("a.md", "picture.png", ""),
    ],
)
def test_links_lead_to_pages_beside_and_nowhere_else(page: str, link: str, leads: str) -> None:
    assert page_beside(page, link) == leads


def test_pages_are_listed_by_their_first_heading_the_guide_and_the_screens_first(tmp_path: Path) -> None:
    (tmp_path / "deep").mkdir()
    for name, text in (
        ("b.md", "# Second\n"), ("a.md", "no heading\n"), ("deep/c.md", "\n# Deep\n"), ("guide.md", "# Guide\n"),
        ("jot.md", "# Jot\n"),
    ):  # fmt: skip
        (tmp_path / name).write_text(text, encoding="utf-8")
    assert [(page.name, page.title) for page in read_help(tmp_path)] == [
        ("guide.md", "Guide"), ("jot.md", "Jot"), ("a.md", "a"), ("b.md", "Second"), ("deep/c.md", "Deep"),
    ]  # fmt: skip


PAGES = (
    Page("one.md", "The Bench", ("Cases that wait.", "A scanner types the VIN into the first line.")),
    Page("two.md", "Scanner", ("Nothing about cases.",)),
    Page("three.md", "Jot", ("Five lines.",)),
)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("", ["one.md", "two.md", "three.md"]),
        ("scanner", ["two.md", "one.md"]),
        ("VIN scanner", ["one.md"]),
        ("five", ["three.md"]),
        ("nowhere to be found", []),
    ],
)
def test_the_help_is_searched_over_all_pages_headings_first(text: str, found: list[str]) -> None:
    assert [line.key for line in search(PAGES, text)] == found


def test_a_page_found_shows_the_line_that_holds_the_words() -> None:
    assert search(PAGES, "vin")[0].remark == "A scanner types the VIN into the first line."


@pytest.mark.parametrize("entry", all_screens(), ids=lambda entry: entry.key)
def test_every_screen_has_a_help_page(entry: object) -> None:
    assert (resource("docs") / entry.help_page).is_file()  # type: ignore[attr-defined]


def test_help_is_searched_by_keyboard_and_shows_the_words(start: Start, practice: Path) -> None:
    running = start()
    running.activate()
    running.press(Qt.Key.Key_F, Ctrl | Qt.KeyboardModifier.ShiftModifier)
    page = running.screen(HelpPage, "help")
    running.until(lambda: bool(page._pages), "the help is read")
    running.type("scanner VIN")
    running.rest()
    assert page._list.rows[0].key == "bench.md"
    assert "scanner" in page._list.rows[0].remark
    running.press(Qt.Key.Key_Return)
    running.rest()
    assert QApplication.focusWidget() is page.pages
    assert page.text.textCursor().selectedText().casefold() == "scanner"
    page.search.setText("qqqzz")
    assert page.notes.note is not None


def test_about_names_the_licences_of_everything_that_ships(start: Start, practice: Path) -> None:
    running = start()
    running.window.go("about")
    running.rest()
    text = running.screen(AboutPage, "about").text.toPlainText()
    assert "GNU Lesser General Public License 3" in text
    assert text.count("SIL OPEN FONT LICENSE Version 1.1") == 3
    for name in (TEXT, MONO, SLAB):
        assert name in text
    with (Path(__file__).resolve().parents[3] / "pyproject.toml").open("rb") as file:
        needed = tomllib.load(file)["project"]["dependencies"]
    for requirement in needed:
        name = re.split(r"[<>=\[ ]", requirement)[0].removesuffix("-Essentials")
        assert name.casefold() in text.casefold(), f"{name} is not named"
