"""``kbapp jot``: a case in five lines."""

import argparse
import sys
from typing import Any

from kbapp.app.jot import Jot
from kbapp.commands.context import open_session, show, show_json
from kbapp.i18n import N_, _

LINES = (
    ("concern", N_("What does it do?")),
    ("vehicle", N_("On what vehicle?")),
    ("tried", N_("What was tried?")),
    ("split", N_("What split it?")),
    ("fixed", N_("What fixed it?")),
)


def add(commands: Any, common: argparse.ArgumentParser) -> None:
    """Adds the command and its arguments."""
    parser = commands.add_parser(
        "jot",
        parents=[common],
        help=_("record a case in five lines: concern, vehicle, tried, what split it, what fixed it"),
    )
    parser.add_argument(
        "text", nargs="*", metavar=_("TEXT"),
        help=_("the lines, with a line break or | between them; - reads them from a pipe; nothing asks for them"),
    )  # fmt: skip
    parser.add_argument("--json", action="store_true")
    parser.set_defaults(run=run)


def _asked() -> Jot:
    answers = {}
    for name, question in LINES:
        try:
            answers[name] = input(_(question) + " ")
        except EOFError:
            break
    return Jot(answers.get("concern", ""), **{k: v for k, v in answers.items() if k != "concern"})


def _jot_of(arguments: argparse.Namespace) -> Jot:
    if arguments.text == ["-"]:
        return Jot.from_text(sys.stdin.read())
    if not arguments.text:
        return _asked()
    if len(arguments.text) > 1 and any(" " in text for text in arguments.text):
        return Jot.from_text("\n".join(arguments.text))
    return Jot.from_text(" ".join(arguments.text))


def run(arguments: argparse.Namespace) -> int:
    """Records the jot and prints the number it got."""
    jot = _jot_of(arguments)
    with open_session(arguments, records=True) as session:
        changed = session.jot(jot)
        case = session.case(changed.cases[0]).case
    if arguments.json:
        show_json({"id": case.id, "number": case.number, "state": case.state, "change": changed.change})
    else:
        show(_("Recorded as {number}. Look First finds it now.").format(number=case.number))
    return 0
