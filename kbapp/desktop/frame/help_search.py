"""Searches the help: every word in a page, with the line that holds them best."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import Final

from kbapp.desktop.screens import all_screens
from kbapp.desktop.widgets.title_lines import TitleLine
from kbapp.i18n import _

_MARKS: Final = re.compile(r"!?\[([^\]]*)\]\([^)]*\)|[*`#|>]+")
_LONGEST: Final = 110
GUIDE: Final = "guide.md"


@dataclass(frozen=True, slots=True)
class Page:
    """A help page: its file, its first heading and its lines as plain words."""

    name: str
    title: str
    lines: tuple[str, ...]


def read_help(folder: Path) -> tuple[Page, ...]:
    """Returns the help pages of a folder: the guide and the screens first, then its other pages, deeper ones last."""
    first = (GUIDE, *(entry.help_page for entry in all_screens()))

    def order(path: Path) -> tuple[int, int, str]:
        inside = path.relative_to(folder)
        name = inside.as_posix()
        return (first.index(name) if name in first else len(first), len(inside.parts), name)

    paths = sorted(folder.rglob("*.md"), key=order)
    return tuple(_page(path.relative_to(folder).as_posix(), path.read_text(encoding="utf-8")) for path in paths)


def _page(name: str, text: str) -> Page:
    title = next((line[2:].strip() for line in text.splitlines() if line.startswith("# ")), PurePosixPath(name).stem)
    lines = (" ".join(_MARKS.sub(r"\1", line).split()) for line in text.splitlines())
    return Page(name, title, tuple(line for line in lines if line.strip("- :")))


def title_lines(pages: tuple[Page, ...]) -> tuple[TitleLine, ...]:
    """Returns every page as a line."""
    return tuple(TitleLine(page.name, page.title) for page in pages)


def search(pages: tuple[Page, ...], text: str) -> tuple[TitleLine, ...]:
    """Returns the pages that hold every word asked, those with all of them in the heading first, each with a line."""
    words = text.casefold().split()
    if not words:
        return title_lines(pages)
    found = sorted(_found(pages, words), key=lambda item: -item[0])
    return tuple(line for _rank, line in found)


def _found(pages: tuple[Page, ...], words: list[str]) -> Iterator[tuple[int, TitleLine]]:
    for page in pages:
        whole = " ".join((page.title, *page.lines)).casefold()
        if not all(word in whole for word in words):
            continue
        best = max(page.lines, key=lambda line: _held(line, words), default="")
        rank = 100 * _held(page.title, words) + min(99, sum(whole.count(word) for word in words))
        yield rank, TitleLine(page.name, page.title, _cut(best, words) or _("in the heading"))


def _held(line: str, words: list[str]) -> int:
    folded = line.casefold()
    return sum(word in folded for word in words)


def _cut(line: str, words: list[str]) -> str:
    """Returns a line around the first word it holds, short enough for a list."""
    at = min((place for word in words if (place := line.casefold().find(word)) >= 0), default=0)
    start = max(0, at - 24)
    start = line.rfind(" ", 0, start) + 1 if start else 0
    return ("… " if start else "") + line[start : start + _LONGEST]
