"""``kbapp pack``: make packs for other shops, check and read theirs."""

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from kbapp.commands.context import Progress, counted_cases, open_session, show, show_json
from kbapp.errors import UsageError
from kbapp.i18n import _

if TYPE_CHECKING:
    from kbapp.app.pack_making import Selection
    from kbapp.app.views import CaseFilter

_TEXT_FIELDS: Final = (
    "symptom", "make", "family", "generation", "engine", "vehicle_ref", "opened_from", "opened_to",
)  # fmt: skip
_FIELDS: Final = ("state", "system", "origin", *_TEXT_FIELDS)


def add(commands: Any, common: argparse.ArgumentParser) -> None:
    """Adds the command, its actions and their arguments."""
    parser = commands.add_parser("pack", parents=[common], help=_("exchange cases with other shops"))
    actions = parser.add_subparsers(title=_("actions"), metavar=_("ACTION"), required=True)
    _add_make(actions, common)
    checking = actions.add_parser("check", parents=[common], help=_("prove a pack and say what it holds"))
    checking.add_argument("file", type=Path, metavar=_("FILE"))
    reading = actions.add_parser("read", parents=[common], help=_("read a pack as one import"))
    reading.add_argument("file", type=Path, metavar=_("FILE"))
    reading.add_argument("--dry-run", action="store_true", help=_("show the plan, write nothing"))
    reading.add_argument(
        "--take", action="append", default=[], metavar=_("CASE=FIELD"),
        help=_("in a clash, take this field from the pack (* for all); may be repeated"),
    )  # fmt: skip
    undoing = actions.add_parser("undo", parents=[common], help=_("take back what a pack brought"))
    undoing.add_argument("id", metavar=_("ID"), help=_("the pack's id, its batch, or the beginning of one"))
    trusting = actions.add_parser("trust", parents=[common], help=_("trust a shop's key after comparing it by phone"))
    trusting.add_argument("fingerprint", nargs="+", metavar=_("FINGERPRINT"), help=_("40 figures, spaces allowed"))
    trusting.add_argument("--revoke", action="store_true", help=_("refuse this key from now on"))
    listing = actions.add_parser("list", parents=[common], help=_("packs made and read, and the keys known"))
    for action, run in (
        (checking, run_check), (reading, run_read), (undoing, run_undo), (trusting, run_trust), (listing, run_list),
    ):  # fmt: skip
        action.add_argument("--json", action="store_true")
        action.set_defaults(run=run)


def _add_make(actions: Any, common: argparse.ArgumentParser) -> None:
    making = actions.add_parser("make", parents=[common], help=_("make a pack: look through the removals, then write"))
    making.add_argument("out", type=Path, metavar=_("OUT"))
    making.add_argument(
        "--select", action="append", default=[], metavar=_("FIELD=VALUE"), help=_("which cases; may be repeated")
    )
    making.add_argument("--case", action="append", default=[], metavar=_("ID"), help=_("one case; may be repeated"))
    making.add_argument("--without", action="append", default=[], metavar=_("ID"), help=_("leave this case out"))
    making.add_argument("--title", default="", help=_("a line the other shop sees"))
    making.add_argument("--keep", action="append", default=[], metavar=_("REMOVAL"), help=_("do not make this removal"))
    choice = making.add_mutually_exclusive_group(required=True)
    choice.add_argument("--review", action="store_true", help=_("show every removal and the digest of the plan"))
    choice.add_argument("--accept", metavar=_("DIGEST"), help=_("write exactly the plan with this digest"))
    making.add_argument("--json", action="store_true")
    making.set_defaults(run=run_make)


def _filter(texts: list[str]) -> "CaseFilter":
    from kbapp.app.views import CaseFilter
    from kbapp.records.vocabulary import STATES, SYSTEMS

    values: dict[str, list[str]] = {}
    for text in texts:
        field, mark, value = text.partition("=")
        if not mark or not value.strip():
            raise UsageError("option_not_a_pair", option="--select", text=text)
        if field not in _FIELDS:
            raise UsageError("select_unknown_field", field=field, fields=", ".join(_FIELDS))
        allowed = {"state": STATES, "system": SYSTEMS, "origin": ("own", "outside")}.get(field)
        if allowed and value not in allowed:
            raise UsageError("select_wrong_value", field=field, value=value, values=", ".join(allowed))
        values.setdefault(field, []).append(value.strip())
    single: dict[str, Any] = {name: values[name][-1] for name in _TEXT_FIELDS if name in values}
    several: dict[str, Any] = {
        f"{name}s": tuple(values[name]) for name in ("state", "system", "origin") if name in values
    }
    return CaseFilter(**single, **several)


def _selection(arguments: argparse.Namespace) -> "Selection":
    from kbapp.app.pack_making import Selection

    wanted = _filter(arguments.select) if arguments.select else None
    return Selection(wanted, tuple(arguments.case), frozenset(arguments.without))


def run_make(arguments: argparse.Namespace) -> int:
    """Shows what would leave the book, or writes exactly that."""
    from kbapp.commands.pack_text import review_json, review_lines
    from kbapp.commands.passphrase import ask_passphrase

    selection = _selection(arguments)
    progress = Progress(_("Blanking: {done} of {of} cases"))
    with open_session(arguments) as session:
        crate = session.crate()
        if arguments.review:
            review = crate.review(selection, arguments.title, arguments.keep, progress)
            progress.end()
            if arguments.json:
                show_json(review_json(review))
            else:
                _show_all(review_lines(review))
            return 0
        made = crate.make(
            arguments.out, selection, arguments.accept, arguments.title, arguments.keep, ask_passphrase, progress
        )
    progress.end()
    if arguments.json:
        show_json(
            {"pack": made.pack_id, "path": str(made.path), "cases": made.cases, "files": made.files, "size": made.size,
             "fingerprint": made.fingerprint}
        )  # fmt: skip
    else:
        show(_("Wrote {cases} to {path}, read it back and found nothing personal in it.").format(
            cases=counted_cases(made.cases), path=made.path))  # fmt: skip
        show(
            _("Pack {pack}. Your shop's fingerprint: {fingerprint}").format(
                pack=made.pack_id[:12], fingerprint=made.fingerprint
            )
        )
    return 0


def _show_all(lines: Any) -> None:
    for line in lines:
        show(line)


def run_check(arguments: argparse.Namespace) -> int:
    """Proves a pack and says what reading it would do."""
    return _plan(
        arguments, arguments.file, lambda plan: 1 if plan.items and plan.count("refused") == len(plan.items) else 0
    )


def _plan(arguments: argparse.Namespace, path: Path, code: Callable[[Any], int]) -> int:
    from kbapp.commands.pack_text import plan_json, plan_lines

    progress = Progress(_("Checking: {done} of {of}"))
    with open_session(arguments) as session:
        plan = session.crate().plan(path, progress)
    progress.end()
    if arguments.json:
        show_json(plan_json(plan))
    else:
        _show_all(plan_lines(plan))
    return code(plan)


def _choices(texts: list[str]) -> dict[str, set[str]]:
    choices: dict[str, set[str]] = {}
    for text in texts:
        case_id, mark, field = text.partition("=")
        if not mark or not field.strip():
            raise UsageError("option_not_a_pair", option="--take", text=text)
        choices.setdefault(case_id.strip().lower(), set()).add(field.strip())
    return choices


def run_read(arguments: argparse.Namespace) -> int:
    """Reads a pack as one import; with ``--dry-run`` only the plan is shown."""
    from kbapp.commands.pack_text import plan_json, plan_lines

    choices = _choices(arguments.take)
    if arguments.dry_run:
        return _plan(arguments, arguments.file, lambda plan: 0 if plan.trust.may_be_read else 1)
    progress = Progress(_("Reading: {done} of {of}"))
    with open_session(arguments) as session:
        done = session.crate().read(arguments.file, choices, progress)
    progress.end()
    if arguments.json:
        show_json(
            {**plan_json(done.plan), "batch": done.batch, "taken": list(done.cases), "offered_maps": list(done.maps)}
        )
    else:
        _show_all(plan_lines(done.plan))
        show(_("Took in {cases}.").format(cases=counted_cases(len(done.cases))))
        if done.cases:
            show(_("To take that back: kbapp pack undo {pack}").format(pack=done.plan.pack_id[:12]))
    return 0 if done.cases or done.maps or done.plan.count("here") else 1


def run_undo(arguments: argparse.Namespace) -> int:
    """Takes back what a pack brought."""
    with open_session(arguments) as session:
        undone = session.crate().undo(arguments.id)
    if arguments.json:
        show_json(
            {"pack": undone.pack.pack_id, "removed": list(undone.removed), "set_back": list(undone.set_back),
             "kept": list(undone.kept)}
        )  # fmt: skip
        return 0
    show(_("Taken out of view: {cases}.").format(cases=counted_cases(len(undone.removed))))
    if undone.set_back:
        show(_("Set back to the version before: {cases}.").format(cases=counted_cases(len(undone.set_back))))
    if undone.kept:
        show(_("Kept, because they were changed since: {cases}.").format(cases=counted_cases(len(undone.kept))))
    return 0


def run_trust(arguments: argparse.Namespace) -> int:
    """Trusts a key, or refuses it from now on."""
    typed = " ".join(arguments.fingerprint)
    with open_session(arguments) as session:
        ring = session.crate().trusted
        key = ring.revoke(typed) if arguments.revoke else ring.pin(typed)
    if arguments.json:
        show_json({"fingerprint": key.fingerprint, "state": key.state, "shop": key.shop})
    elif key.state == "revoked":
        show(_("Packs signed with {fingerprint} are refused from now on.").format(fingerprint=key.fingerprint))
    else:
        show(_("Packs signed with {fingerprint} are trusted from now on.").format(fingerprint=key.fingerprint))
    return 0


def run_list(arguments: argparse.Namespace) -> int:
    """Lists packs made, packs read and the keys known."""
    from kbapp.commands.pack_text import list_json, list_lines

    with open_session(arguments) as session:
        crate = session.crate()
        made, read = crate.history()
        keys = crate.trusted.keys()
    if arguments.json:
        show_json(list_json(made, read, keys))
    else:
        _show_all(list_lines(made, read, keys))
    return 0 if made or read or keys else 1
