"""Builds an index in a process of its own: ``python -m kbapp.app.rebuild FOLDER``, the book's address on its input.

Prints ``done of`` lines while it works; ends with 0, or with the code of an error on standard error.
"""

import sys
from pathlib import Path

from kbapp.app.source import BookSource
from kbapp.errors import KbError
from kbapp.lookup.index import CaseIndex
from kbapp.store.book import open_book


def build(location: str, folder: Path) -> None:
    """Builds the index of the book at ``location`` in ``folder``."""
    book = open_book(location)
    try:
        CaseIndex.build(folder, BookSource(book), _report, lambda: False)
    finally:
        book.close()


def _report(done: int, of: int) -> None:
    sys.stdout.write(f"{done} {of}\n")
    sys.stdout.flush()


def main() -> int:
    """Runs the rebuild and returns the exit code."""
    try:
        build(sys.stdin.readline().strip(), Path(sys.argv[1]))
    except KbError as error:
        sys.stderr.write(error.code + "\n")
        return 1
    except BrokenPipeError:
        return 1
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
