"""``kbapp book``: check, back up, restore, reindex and describe the book."""

import argparse
from pathlib import Path
from typing import Any

from kbapp.commands.context import Progress, book_location, counted_cases, open_session, show, show_json
from kbapp.errors import DamageError
from kbapp.i18n import _
from kbapp.wording import fault_sentence


def add(commands: Any, common: argparse.ArgumentParser) -> None:
    """Adds the command, its actions and their arguments."""
    parser = commands.add_parser("book", parents=[common], help=_("check, back up or restore the book"))
    actions = parser.add_subparsers(title=_("actions"), metavar=_("ACTION"), required=True)
    for name, run, text in (
        ("info", run_info, _("what the book is and holds")),
        ("check", run_check, _("prove that documents, digests, files and figures agree")),
        ("reindex", run_reindex, _("build the index anew")),
    ):
        action = actions.add_parser(name, parents=[common], help=text)
        action.add_argument("--json", action="store_true")
        action.set_defaults(run=run)
    backing = actions.add_parser("backup", parents=[common], help=_("write the whole book into one file"))
    backing.add_argument("out", type=Path, metavar=_("OUT"))
    backing.set_defaults(run=run_backup)
    restoring = actions.add_parser("restore", parents=[common], help=_("make a book from a backup, at --book"))
    restoring.add_argument("file", type=Path, metavar=_("FILE"))
    restoring.set_defaults(run=run_restore)


def run_info(arguments: argparse.Namespace) -> int:
    """Says what the book is."""
    with open_session(arguments) as session:
        facts = session.facts()
    if arguments.json:
        show_json(facts)
    else:
        for name, value in facts.items():
            show(f"{name}: {value}")
    return 0


def run_check(arguments: argparse.Namespace) -> int:
    """Proves that the book agrees with itself; every fault is listed."""
    progress = Progress(_("Checking: {done} of {of} cases"))
    with open_session(arguments) as session:
        faults = session.check(progress)
        count = session.count()
    progress.end()
    if arguments.json:
        show_json({"cases": count, "faults": [{**f.as_dict(), "sentence": fault_sentence(f)} for f in faults]})
    elif faults:
        for fault in faults:
            show(fault_sentence(fault))
    else:
        show(_("The book is sound: {cases}.").format(cases=counted_cases(count)))
    return DamageError.exit_code if faults else 0


def run_reindex(arguments: argparse.Namespace) -> int:
    """Builds the index anew."""
    progress = Progress(_("Building the index: {done} of {of} cases"))
    with open_session(arguments) as session:
        session.rebuild_index(progress)
        count = session.count()
    progress.end()
    if arguments.json:
        show_json({"cases": count})
    else:
        show(_("Index built: {cases}.").format(cases=counted_cases(count)))
    return 0


def run_backup(arguments: argparse.Namespace) -> int:
    """Writes the whole book into one file."""
    progress = Progress(_("Backing up: {done} of {of}"))
    with open_session(arguments) as session:
        session.backup(arguments.out, progress)
        count = session.count()
    progress.end()
    show(_("Backed up {cases} to {path}.").format(cases=counted_cases(count), path=arguments.out))
    show(_("The file holds private details of customers, also those erased here later: keep it as safe as the book."))
    return 0


def run_restore(arguments: argparse.Namespace) -> int:
    """Makes a book from a backup."""
    from kbapp.app.session import restore_book

    progress = Progress(_("Restoring: {done} of {of}"))
    location = book_location(arguments)
    count = restore_book(arguments.file, location, progress)
    progress.end()
    show(_("Restored {cases} to {path}.").format(cases=counted_cases(count), path=location))
    return 0
