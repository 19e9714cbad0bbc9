"""What every command shares: opening the book that was named, printing, progress on a terminal."""

import argparse
import getpass
import json
import os
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any

from kbapp.app.first_use import ensure_book
from kbapp.app.places import places
from kbapp.app.session import Session
from kbapp.app.settings import read_settings
from kbapp.i18n import _
from kbapp.wording import sentence


def author_name() -> str:
    """Returns who is at the keyboard: ``KBAPP_AUTHOR``, the initials in the settings, or the login name."""
    named = os.environ.get("KBAPP_AUTHOR") or read_settings(places().settings)[0].author
    if named:
        return named
    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):
        return ""


def book_location(arguments: argparse.Namespace) -> str:
    """Returns the book that was named, or the one in the settings, or the user's own."""
    named: str | None = getattr(arguments, "book", None)
    return named or read_settings(places().settings)[0].book or str(places().own_book)


def make_book(arguments: argparse.Namespace) -> None:
    """Makes a new book where the place that was named holds none, and says so."""
    location = book_location(arguments)
    if ensure_book(location) and getattr(arguments, "book", None):
        say(_("A new book was made at the place you named."))


@contextmanager
def open_session(arguments: argparse.Namespace, *, records: bool = False) -> Iterator[Session]:
    """Opens the named book for one command and closes it again.

    A command that ``records`` makes a new book where the place that was named holds none.
    """
    if records:
        make_book(arguments)
    session = Session.open(book_location(arguments), author=author_name())
    try:
        for warning in session.info.warnings:
            say(sentence(warning))
        yield session
    finally:
        session.close()


def show(text: str) -> None:
    """Prints one line of an answer."""
    print(text)


def say(text: str) -> None:
    """Prints one line beside the answer (progress, warnings)."""
    print(text, file=sys.stderr)


def show_json(value: Mapping[str, Any] | list[Any]) -> None:
    """Prints an answer as JSON."""
    print(json.dumps(value, ensure_ascii=False, indent=1))


class Progress:
    """Counts on a terminal, and keeps quiet in a pipe."""

    def __init__(self, template: str) -> None:
        self._template = template
        self._on = sys.stderr.isatty()
        self._shown = False

    def __call__(self, done: int, of: int) -> None:
        """Shows how far the work is."""
        if self._on and of:
            self._shown = True
            print("\r" + self._template.format(done=done, of=of), end="", file=sys.stderr, flush=True)

    def end(self) -> None:
        """Ends the line."""
        if self._shown:
            print(file=sys.stderr)


def counted_cases(n: int) -> str:
    """Returns ``1 case`` or ``n cases``."""
    return _("1 case") if n == 1 else _("{n} cases").format(n=n)
