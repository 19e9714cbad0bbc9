"""Offers the trouble codes of a scan report for confirmation."""

from collections.abc import Callable

from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.note import Note
from kbapp.i18n import _, ngettext
from kbapp.records.case import CodeRecord

SHOWN = 12


def codes_note(
    theme: Theme, name: str, codes: tuple[CodeRecord, ...], take: Callable[[], object], leave: Callable[[], object]
) -> Note:
    """Returns a note that names the codes of a file with status and module, and asks whether to take them over."""
    said = ngettext("{name} holds {n} trouble code", "{name} holds {n} trouble codes", len(codes))
    lines = [" ".join(filter(None, (code.code, code.status, code.module))) for code in codes[:SHOWN]]
    more = len(codes) - SHOWN
    if more > 0:
        lines.append(_("and {n} more").format(n=more))
    words = ngettext("Take over {n} code", "Take over {n} codes", len(codes)).format(n=len(codes))
    taking = Button(theme, words, "primary", "tick")
    leaving = Button(theme, _("Leave them in the file"), "plain")
    taking.clicked.connect(lambda _on=False: take())
    leaving.clicked.connect(lambda _on=False: leave())
    return Note(theme, "test", "info", said.format(name=name, n=len(codes)), "; ".join(lines), [taking, leaving])
