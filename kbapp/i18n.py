"""Translation of every user-visible string through gettext.

``KBAPP_LANG`` names the language; ``pseudo`` wraps and accents every string, so that a test (or an eye) finds
the ones that escaped translation. Without a catalogue for the language the English source strings show.
"""

import gettext
import os
from functools import lru_cache

from kbapp.resources import locale_folder

_ACCENTED = str.maketrans("aeiouAEIOUcn", "àéîöûÀÉÎÖÛçñ")


class PseudoTranslations(gettext.NullTranslations):
    """Accents letters outside ``{placeholders}`` and brackets the whole string."""

    def gettext(self, message: str) -> str:
        """Returns the message bracketed and accented."""
        return pseudo(message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """Returns the fitting form bracketed and accented."""
        return pseudo(msgid1 if n == 1 else msgid2)


def pseudo(message: str) -> str:
    """Returns ``message`` accented outside its placeholders, between ⟦ and ⟧."""
    out, depth = [], 0
    for char in message:
        depth += (char == "{") - (char == "}")
        out.append(char if depth else char.translate(_ACCENTED))
    return "⟦" + "".join(out) + "⟧"


@lru_cache(maxsize=4)
def _catalogue(language: str) -> gettext.NullTranslations:
    if language == "pseudo":
        return PseudoTranslations()
    folder = locale_folder()
    return gettext.translation("kbapp", folder, languages=[language] if language else None, fallback=True)


def _current() -> gettext.NullTranslations:
    return _catalogue(os.environ.get("KBAPP_LANG", ""))


def _(message: str) -> str:
    """Returns the translation of ``message`` in the current language."""
    return _current().gettext(message)


def ngettext(singular: str, plural: str, n: int) -> str:
    """Returns the translated form for ``n`` things."""
    return _current().ngettext(singular, plural, n)


def N_(message: str) -> str:  # noqa: N802 - gettext's customary mark
    """Marks a string for translation without translating it yet."""
    return message
