"""The command line: ``kbapp`` and its commands. Every failure is one sentence and an exit code."""

import argparse
import json
import os
import sys
import traceback
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from kbapp import __version__
from kbapp.errors import KbError
from kbapp.i18n import _

if TYPE_CHECKING:
    from pathlib import Path

    from kbapp.wording.hand_back import SheetText

EXIT_DONE, EXIT_REFUSED, EXIT_USAGE = 0, 1, 2


def build_parser() -> argparse.ArgumentParser:
    """Returns the parser of the whole command line."""
    from kbapp.commands import advise, book, case, jot, ledger, look, maps, pack, shop_key

    common = argparse.ArgumentParser(add_help=False)
    common.add_argument(
        "--book",
        metavar=_("PATH|URL"),
        default=argparse.SUPPRESS,
        help=_("the book to use: a folder, a PostgreSQL address, or practice"),
    )
    parser = argparse.ArgumentParser(
        prog="kbapp",
        parents=[common],
        description=_(
            "Provebook: a workshop's memory of proved repairs. Without a command the desktop program starts."
        ),
    )
    parser.add_argument("--version", action="version", version=f"Provebook {__version__}")
    parser.set_defaults(run=_desktop, render_sheet=_render_sheet)
    commands = parser.add_subparsers(title=_("commands"), metavar=_("COMMAND"))
    demo = commands.add_parser("demo", parents=[common], help=_("start the desktop program on a fresh practice book"))
    demo.set_defaults(run=_demo)
    for module in (look, jot, case, advise, maps, ledger, pack, shop_key, book):
        module.add(commands, common)
    return parser


def _desktop(arguments: argparse.Namespace) -> int:
    from kbapp.commands.context import author_name, book_location, make_book
    from kbapp.desktop.main import run

    make_book(arguments)
    return run(book_location(arguments), author=author_name())


def _render_sheet(text: "SheetText", paper: str, out: "Path") -> int:
    from kbapp.desktop.sheet.render import write_sheet

    return write_sheet(text, paper, out)


def _demo(_arguments: argparse.Namespace) -> int:
    from kbapp.app.places import PRACTICE
    from kbapp.app.practice import fresh_practice_book
    from kbapp.commands.context import author_name
    from kbapp.desktop.main import run

    fresh_practice_book()
    return run(PRACTICE, author=author_name())


def _refuse(error: KbError, *, as_json: bool) -> int:
    from kbapp.wording import fault_sentence, faults_in, sentence

    text = sentence(error)
    if as_json:
        answer = {
            "error": error.code,
            "sentence": text,
            "faults": [{**fault.as_dict(), "sentence": fault_sentence(fault)} for fault in faults_in(error)],
        }
        print(json.dumps(answer, ensure_ascii=False, indent=1))
    print(text, file=sys.stderr)
    return error.exit_code


def _own_fault(error: Exception) -> int:
    """Keeps the report of a fault of our own in a file, so that nobody has to read a traceback."""
    from kbapp.app.places import places

    stamp = datetime.now(tz=UTC).strftime("%Y%m%dT%H%M%S")
    path = places().data / "reports" / f"report-{stamp}.txt"
    report = f"Provebook {__version__}, Python {sys.version}\n" + "".join(traceback.format_exception(error))
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(report, encoding="utf-8")
    except OSError:
        text = _("Provebook itself made a mistake ({what}). Nothing was half-written.")
        print(text.format(what=type(error).__name__), file=sys.stderr)
        return EXIT_REFUSED
    print(
        _(
            "Provebook itself made a mistake. Nothing was half-written. A report is in {path}; please pass it on."
        ).format(path=path),
        file=sys.stderr,
    )
    return EXIT_REFUSED


def main(argv: Sequence[str] | None = None) -> int:
    """Runs one command and returns its exit code: 0 done, 1 refused or nothing found, 2 wrong usage, 3 damage."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    arguments = build_parser().parse_args(argv)
    run: Callable[[argparse.Namespace], int] = arguments.run
    try:
        return run(arguments)
    except KbError as error:
        return _refuse(error, as_json=bool(getattr(arguments, "json", False)))
    except KeyboardInterrupt:
        print(_("Stopped."), file=sys.stderr)
        return 130
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        return EXIT_DONE
    except Exception as error:
        return _own_fault(error)
