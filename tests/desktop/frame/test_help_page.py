from pathlib import Path

import pytest

from kbapp.desktop.frame.help_page import page_beside, read_pages
from kbapp.desktop.screens import all_screens
from kbapp.resources import resource


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


def test_pages_are_listed_by_their_first_heading(tmp_path: Path) -> None:
    (tmp_path / "deep").mkdir()
    (tmp_path / "b.md").write_text("# Second\n", encoding="utf-8")
    (tmp_path / "a.md").write_text("no heading\n", encoding="utf-8")
    (tmp_path / "deep" / "c.md").write_text("\n# Deep\n", encoding="utf-8")
    assert [(line.key, line.title) for line in read_pages(tmp_path)] == [
        ("a.md", "a"), ("b.md", "Second"), ("deep/c.md", "Deep"),
    ]  # fmt: skip


@pytest.mark.parametrize("entry", all_screens(), ids=lambda entry: entry.key)
def test_every_screen_has_a_help_page(entry: object) -> None:
    assert (resource("docs") / entry.help_page).is_file()  # type: ignore[attr-defined]
