"""``kbapp advise``: where can the fault still be, what to test next, what the swap guard says."""

import argparse
from pathlib import Path
from typing import Any

from kbapp.app.advising import Ask, advise_case, case_from_file, map_from_file, map_of_case
from kbapp.app.places import places
from kbapp.app.settings import Settings, read_settings
from kbapp.commands.context import open_session, say, show, show_json
from kbapp.i18n import _
from kbapp.isolation.advice import Advice
from kbapp.wording.advice_text import advice_json, advice_lines


def add(commands: Any, common: argparse.ArgumentParser) -> None:
    """Adds the command and its arguments."""
    parser = commands.add_parser(
        "advise", parents=[common], help=_("where the fault can still be, and which test splits it next")
    )
    parser.add_argument("case", metavar=_("ID|FILE"), help=_("a case of the book, or a case file"))
    parser.add_argument("--map", type=Path, metavar=_("FILE"), help=_("a section map of your own"))
    parser.add_argument("--missing", action="append", default=[], metavar=_("KIT"), help=_("kit you do not have"))
    parser.add_argument("--by", choices=("gain", "cost"), help=_("what ranks the tests"))
    parser.add_argument(
        "--learned", action=argparse.BooleanOptionalAction, default=None,
        help=_("reason with what the book's proved cases taught, or not (by default as in the settings)"),
    )  # fmt: skip
    parser.add_argument("--json", action="store_true")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Prints the advice."""
    settings = read_settings(places().settings)[0]
    if arguments.learned is not None:
        settings = settings.model_copy(update={"learned": arguments.learned})
    advice = _advice(arguments, settings)
    if arguments.json:
        show_json(advice_json(advice, settings.currency))
    else:
        for line in advice_lines(advice, settings.currency):
            show(line)
    return 0


def _advice(arguments: argparse.Namespace, settings: Settings) -> Advice:
    ask = Ask(frozenset(arguments.missing), arguments.by)
    own_map = map_from_file(arguments.map) if arguments.map else None
    path = Path(arguments.case)
    if path.is_file():
        case = case_from_file(path)
        section_map = own_map or map_of_case(case)
        _say_proposal(case.map is None and own_map is None, section_map.id)
        return advise_case(case, section_map, ask, settings)
    with open_session(arguments) as session:
        case = session.case(arguments.case).case
        section_map = own_map or session.map_of(case)
        _say_proposal(case.map is None and own_map is None, section_map.id)
        return session.advise(case, section_map, ask, settings)


def _say_proposal(proposed: bool, map_id: str) -> None:  # noqa: FBT001 - one private use
    if proposed:
        say(_("The case names no map; this one fits its concern best: {map}").format(map=map_id))
