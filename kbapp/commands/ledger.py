"""``kbapp ledger``: the Swap Ledger, as tables, JSON or CSV."""

import argparse
import re
from typing import Any

from kbapp.app.places import places
from kbapp.app.settings import read_settings
from kbapp.commands.context import open_session, show, show_json
from kbapp.errors import UsageError
from kbapp.i18n import _
from kbapp.ledger.plain import as_plain
from kbapp.ledger.question import LedgerQuestion, Outside
from kbapp.ledger.report import Ledger
from kbapp.records.vocabulary import SYSTEMS
from kbapp.wording.ledger_sheets import Maps, honesty_sheet, learned_sheet, ledger_sheets
from kbapp.wording.ledger_text import basis_words, bias_words, ledger_lines, left_out_words
from kbapp.wording.sheet import Sheet, csv_lines, csv_table, text_table

TABLES = (
    "parts", "months", "vain", "to_isolation", "tests", "comebacks", "guard", "lacking", "maps", "learned",
    "calibration",
)  # fmt: skip
_DAY = re.compile(r"(19|20)\d\d(-(0[1-9]|1[0-2])(-(0[1-9]|[12]\d|3[01]))?)?")


def add(commands: Any, common: argparse.ArgumentParser) -> None:
    """Adds the command and its arguments."""
    parser = commands.add_parser("ledger", parents=[common], help=_("figures over the book: swaps, tests, comebacks"))
    parser.add_argument("--system", choices=SYSTEMS, default="")
    parser.add_argument("--symptom", default="", metavar=_("TERM"))
    parser.add_argument("--make", default="")
    parser.add_argument("--family", default="")
    parser.add_argument(
        "--since", default="", metavar=_("DAY"), help=_("opened on this day or later: 2026, 2026-03, 2026-03-01")
    )
    parser.add_argument("--until", default="", metavar=_("DAY"), help=_("opened on this day or earlier"))
    parser.add_argument("--whose", choices=("own", "reported"), default="", help=_("parts of this shop, or of others"))
    parser.add_argument("--outside", choices=("none", "accepted", "all"), help=_("which cases of other shops count"))
    parser.add_argument("--table", choices=TABLES, help=_("only this table"))
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true")
    form.add_argument("--csv", action="store_true", help=_("with --table one table, else a line a figure"))
    parser.set_defaults(run=run)


def question_of(arguments: argparse.Namespace, outside: Outside) -> LedgerQuestion:
    """Returns the question the arguments ask.

    Raises:
        UsageError: ``day_wrong``.
    """
    for option in ("since", "until"):
        if getattr(arguments, option) and not _DAY.fullmatch(getattr(arguments, option)):
            raise UsageError("day_wrong", option=f"--{option}", text=getattr(arguments, option))
    names = ("system", "symptom", "make", "family", "since", "until")
    return LedgerQuestion(
        **{name: getattr(arguments, name) for name in names},
        source=arguments.whose,
        outside=arguments.outside or outside,
    )


def run(arguments: argparse.Namespace) -> int:
    """Prints the ledger, and returns 1 when no case is asked about."""
    settings = read_settings(places().settings)[0]
    question = question_of(arguments, settings.ledger_outside)
    with open_session(arguments) as session:
        desk = session.ledger()
        found = desk.ask(question, settings.currency)
        maps = desk.maps(line.map_id for line in found.maps)
        extra: dict[str, Sheet] = {}
        if arguments.table == "learned":
            extra["learned"] = learned_sheet(desk.learned(), maps, switched_on=settings.learned)
        elif arguments.table == "calibration":
            extra["calibration"] = honesty_sheet(desk.honesty(question.outside))
    sheets = {sheet.key: sheet for sheet in ledger_sheets(found, maps)} | extra
    _show(arguments, found, maps, sheets)
    return 0 if found.asked else 1


def _show(arguments: argparse.Namespace, found: Ledger, maps: Maps, sheets: dict[str, Sheet]) -> None:
    one = sheets.get(arguments.table or "")
    if arguments.json:
        show_json({"table": one.key, "rows": one.records()} if one is not None else as_plain(found))
    elif arguments.csv:
        text = csv_table(one) if one is not None else csv_lines(tuple(sheets.values()))
        show(text.replace("\r\n", "\n").rstrip("\n"))
    elif one is not None:
        for line in (basis_words(found), left_out_words(found), bias_words(), "", *text_table(one)):
            show(line)
    else:
        for line in ledger_lines(found, maps):
            show(line)
