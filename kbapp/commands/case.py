"""``kbapp case``: add, show, list and import cases."""

import argparse
from dataclasses import asdict
from pathlib import Path
from typing import Any

from kbapp.app.adding import read_cases
from kbapp.app.importing import ImportPlan
from kbapp.app.session import Session
from kbapp.app.text_answer import row_vehicle
from kbapp.app.views import CaseFilter
from kbapp.commands.case_text import case_lines
from kbapp.commands.context import counted_cases, open_session, say, show, show_json
from kbapp.commands.sheet import add_sheet
from kbapp.errors import UsageError
from kbapp.i18n import _
from kbapp.records.fault import DocumentFaults
from kbapp.records.vocabulary import STATES, SYSTEMS
from kbapp.wording import fault_sentence
from kbapp.wording.terms import term


def add(commands: Any, common: argparse.ArgumentParser) -> None:
    """Adds the command, its actions and their arguments."""
    parser = commands.add_parser("case", parents=[common], help=_("add, show, list or import cases"))
    actions = parser.add_subparsers(title=_("actions"), metavar=_("ACTION"), required=True)
    adding = actions.add_parser("add", parents=[common], help=_("add cases from JSON files: all of them or none"))
    adding.add_argument("files", nargs="+", type=Path, metavar=_("FILE"))
    adding.add_argument(
        "--files", dest="attachments", type=Path, metavar=_("DIR"), help=_("attachments by their SHA-256")
    )
    adding.add_argument("--json", action="store_true")
    adding.set_defaults(run=run_add)
    showing = actions.add_parser("show", parents=[common], help=_("show one case"))
    showing.add_argument("id", help=_("id, start of an id, or number"))
    showing.add_argument("--json", action="store_true")
    showing.set_defaults(run=run_show)
    listing = actions.add_parser("list", parents=[common], help=_("list cases, newest first"))
    listing.add_argument("--state", choices=STATES)
    listing.add_argument("--system", choices=SYSTEMS)
    listing.add_argument("--limit", type=int, default=100)
    listing.add_argument("--json", action="store_true")
    listing.set_defaults(run=run_list)
    add_sheet(actions, common)
    importing = actions.add_parser("import", parents=[common], help=_("bring old records in from a CSV file"))
    importing.add_argument("file", type=Path, metavar="FILE.csv")
    importing.add_argument(
        "--columns", action="append", default=[], metavar=_("FIELD=COLUMN"),
        help=_("which column feeds which field; may be given several times or with commas"),
    )  # fmt: skip
    importing.add_argument("--dry-run", action="store_true", help=_("show what would be recorded, record nothing"))
    importing.add_argument("--json", action="store_true")
    importing.set_defaults(run=run_import)


def run_add(arguments: argparse.Namespace) -> int:
    """Adds every case of the files, or none."""
    cases = read_cases(tuple(arguments.files))
    with open_session(arguments, records=True) as session:
        changed = session.add(cases, arguments.attachments)
        views = [session.case(case_id) for case_id in changed.cases]
    if arguments.json:
        show_json(
            {
                "added": [{"id": v.case.id, "number": v.case.number, "signed_here": v.signed_here} for v in views],
                "change": changed.change,
            }
        )
        return 0
    show(_("Added {cases}.").format(cases=counted_cases(len(views))))
    elsewhere = sum(view.case.state == "proved" and not view.signed_here for view in views)
    if elsewhere:
        show(
            _("{cases} proved and signed elsewhere: out of the statistics until your lead accepts.").format(
                cases=counted_cases(elsewhere)
            )
        )
    return 0


def run_show(arguments: argparse.Namespace) -> int:
    """Shows one case."""
    with open_session(arguments) as session:
        view = session.case(arguments.id)
    if arguments.json:
        show_json(
            {
                "case": view.case.plain(),
                "revision": view.revision,
                "saved_at": view.saved_at,
                "author": view.author,
                "origin": view.origin,
                "signed_here": view.signed_here,
            }
        )
    else:
        for line in case_lines(view):
            show(line)
    return 0


def run_list(arguments: argparse.Namespace) -> int:
    """Lists cases, newest first."""
    if arguments.limit < 1:
        raise UsageError("limit_too_small", limit=arguments.limit)
    with open_session(arguments) as session:
        wanted = CaseFilter(
            states=(arguments.state,) if arguments.state else (),
            systems=(arguments.system,) if arguments.system else (),
        )
        rows = session.list_cases(wanted, arguments.limit)
    if arguments.json:
        show_json({"cases": [asdict(row) for row in rows]})
    else:
        for row in rows:
            concern = " ".join(row.concern.split())[:70]
            show(
                f"{row.number or row.id[:8]:<12} {term('state', row.state):<12} {row_vehicle(row)[:32]:<32}  {concern}"
            )
    return 0 if rows else 1


def _columns(texts: list[str]) -> dict[str, str]:
    pairs = [pair for text in texts for pair in text.split(",") if pair.strip()]
    columns = {}
    for pair in pairs:
        field, mark, column = pair.partition("=")
        if not mark or not column.strip():
            raise UsageError("option_not_a_pair", option="--columns", text=pair)
        columns[field.strip()] = column.strip()
    return columns


def run_import(arguments: argparse.Namespace) -> int:
    """Imports a CSV file: all rows or none; with ``--dry-run`` only the plan is shown."""
    wanted = _columns(arguments.columns)
    with open_session(arguments, records=not arguments.dry_run) as session:
        plan = session.plan_import(arguments.file, wanted)
        for field, column in plan.columns.items():
            say(_("{column} feeds {field}").format(column=column, field=field))
        if plan.ignored:
            say(_("Not used: {columns}").format(columns=", ".join(plan.ignored)))
        if plan.faults and not arguments.dry_run:
            raise DocumentFaults(plan.faults, arguments.file.name)
        if arguments.dry_run:
            return _show_plan(arguments, plan.cases, [fault_sentence(fault) for fault in plan.faults])
        return _import(arguments, session, plan)


def _show_plan(arguments: argparse.Namespace, cases: Any, faults: list[str]) -> int:
    if arguments.json:
        show_json({"cases": [case.plain() for case in cases], "faults": faults})
    else:
        show(_("Would record {cases}.").format(cases=counted_cases(len(cases))))
        for fault in faults:
            show(fault)
    return 1 if faults else 0


def _import(arguments: argparse.Namespace, session: Session, plan: ImportPlan) -> int:
    changed = session.import_cases(plan.cases, plan.private)
    if arguments.json:
        show_json({"added": list(changed.cases), "change": changed.change})
    else:
        show(_("Recorded {cases}.").format(cases=counted_cases(len(changed.cases))))
    return 0
