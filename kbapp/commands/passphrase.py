"""Asks for the passphrase of the shop's key: ``KBAPP_KEY_PASSPHRASE``, else on the terminal, never as an argument."""

import getpass
import os
import sys
from typing import Final

from kbapp.i18n import _

VARIABLE: Final = "KBAPP_KEY_PASSPHRASE"


def ask_passphrase() -> str:
    """Returns the passphrase that opens the shop's key, empty where nobody can be asked."""
    given = os.environ.get(VARIABLE)
    if given is not None:
        return given
    return getpass.getpass(_("Passphrase of the shop's key: ")) if sys.stdin.isatty() else ""


def ask_new_passphrase() -> str:
    """Returns a new passphrase, asked for twice; empty for none."""
    given = os.environ.get(VARIABLE)
    if given is not None:
        return given
    while sys.stdin.isatty():
        first = getpass.getpass(_("New passphrase (empty for none): "))
        if first == getpass.getpass(_("Once more: ")):
            return first
        print(_("The two differ. Again."), file=sys.stderr)
    return ""
