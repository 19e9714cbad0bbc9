"""``kbapp case sheet``: the Hand-Back Sheet of a case as PDF."""

import argparse
from pathlib import Path
from typing import Any

from kbapp.commands.context import open_session, show
from kbapp.errors import UsageError
from kbapp.i18n import _, ngettext


def add_sheet(actions: Any, common: argparse.ArgumentParser) -> None:
    """Adds the action and its arguments. What draws the sheet is named by the command line (``render_sheet``)."""
    sheet = actions.add_parser("sheet", parents=[common], help=_("write the hand-back sheet of a case as PDF"))
    sheet.add_argument("id", help=_("id, start of an id, or number"))
    sheet.add_argument("--out", type=Path, required=True, metavar="X.pdf")
    sheet.add_argument(
        "--for", dest="audience", choices=("customer", "shop"), default="customer",
        help=_("for the customer, or the shop's copy without any private detail"),
    )  # fmt: skip
    sheet.add_argument("--paper", choices=("a4", "letter"), default="a4")
    sheet.set_defaults(run=run_sheet)


def run_sheet(arguments: argparse.Namespace) -> int:
    """Writes the sheet of one case."""
    from kbapp.wording.hand_back import sheet_text

    if arguments.out.suffix.lower() != ".pdf":
        raise UsageError("sheet_not_pdf", path=str(arguments.out))
    with open_session(arguments) as session:
        text = sheet_text(session.sheet(arguments.id, arguments.audience))
    pages: int = arguments.render_sheet(text, arguments.paper, arguments.out)
    show(ngettext("Wrote {path}: {n} page.", "Wrote {path}: {n} pages.", pages).format(path=arguments.out, n=pages))
    if text.across:
        show(text.status)
    return 0
