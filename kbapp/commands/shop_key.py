"""``kbapp shop-key``: show, back up and restore the key the shop signs packs with."""

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kbapp.commands.context import open_session, show, show_json
from kbapp.commands.passphrase import ask_new_passphrase, ask_passphrase
from kbapp.i18n import _

if TYPE_CHECKING:
    from kbapp.packs.shop_key import KeyDocument


def add(commands: Any, common: argparse.ArgumentParser) -> None:
    """Adds the command, its actions and their arguments."""
    parser = commands.add_parser("shop-key", parents=[common], help=_("the key your shop signs packs with"))
    actions = parser.add_subparsers(title=_("actions"), metavar=_("ACTION"), required=True)
    showing = actions.add_parser(
        "show", parents=[common], help=_("show the fingerprint; make the key if there is none")
    )
    backing = actions.add_parser("backup", parents=[common], help=_("write the key into a file"))
    backing.add_argument("out", type=Path, metavar=_("OUT"))
    backing.add_argument("--seal", action="store_true", help=_("seal the file under a passphrase"))
    restoring = actions.add_parser("restore", parents=[common], help=_("take the key from a backup"))
    restoring.add_argument("file", type=Path, metavar=_("FILE"))
    restoring.add_argument("--replace", action="store_true", help=_("also in place of another key"))
    protecting = actions.add_parser(
        "protect", parents=[common], help=_("seal the key here under a passphrase, or open it")
    )
    renewing = actions.add_parser("renew", parents=[common], help=_("make a new key in place of a lost one"))
    for action, run in (
        (showing, run_show), (backing, run_backup), (restoring, run_restore), (protecting, run_protect),
        (renewing, run_renew),
    ):  # fmt: skip
        action.add_argument("--json", action="store_true")
        action.set_defaults(run=run)


def _tell(arguments: argparse.Namespace, key: "KeyDocument", path: Path, *lines: str) -> int:
    if arguments.json:
        show_json(
            {"fingerprint": key.fingerprint, "public_key": key.public_key, "shop": key.shop.plain(), "path": str(path),
             "sealed": key.needs_passphrase}
        )  # fmt: skip
        return 0
    for line in lines:
        show(line)
    show(_("Fingerprint: {fingerprint}").format(fingerprint=key.fingerprint))
    return 0


def run_show(arguments: argparse.Namespace) -> int:
    """Shows the shop's fingerprint, to be read out by phone."""
    with open_session(arguments) as session:
        keys = session.crate().shop_key
        key, path = keys.own(), keys.path
    sealed = (
        _("It is sealed under a passphrase.") if key.needs_passphrase else _("It is not sealed under a passphrase.")
    )
    return _tell(arguments, key, path, _("The key lies in {path}.").format(path=path), sealed)


def run_backup(arguments: argparse.Namespace) -> int:
    """Writes the key into a file."""
    with open_session(arguments) as session:
        passphrase = ask_new_passphrase() if arguments.seal else ""
        key = session.crate().shop_key.backup(arguments.out, passphrase, ask_passphrase)
    line = _("Whoever has {path} can sign as your shop: keep it as safe as the book.").format(path=arguments.out)
    return _tell(arguments, key, arguments.out, line)


def run_restore(arguments: argparse.Namespace) -> int:
    """Takes the key from a backup."""
    with open_session(arguments) as session:
        keys = session.crate().shop_key
        key, path = keys.restore(arguments.file, replace=arguments.replace), keys.path
    return _tell(arguments, key, path, _("The shop signs with this key now."))


def run_protect(arguments: argparse.Namespace) -> int:
    """Seals the key on this PC under a passphrase, or opens it for good."""
    with open_session(arguments) as session:
        keys = session.crate().shop_key
        keys.seed(ask_passphrase)
        key, path = keys.protect(ask_new_passphrase(), ask_passphrase), keys.path
    done = _("The key is sealed.") if key.needs_passphrase else _("The key is no longer sealed.")
    return _tell(arguments, key, path, done)


def run_renew(arguments: argparse.Namespace) -> int:
    """Makes a new key in place of a lost one."""
    with open_session(arguments) as session:
        keys = session.crate().shop_key
        key, path = keys.renew(), keys.path
    return _tell(arguments, key, path, _("The shop has a new key. Tell the shops that trust yours, by phone."))
