"""The ledger in words: what stands behind its figures, and all of it as lines for a terminal."""

from collections.abc import Iterator
from typing import Final

from kbapp.i18n import N_, _, ngettext
from kbapp.ledger.basis import LEFT_OUT, LeftOut
from kbapp.ledger.report import Ledger
from kbapp.wording.ledger_sheets import Maps, ledger_sheets
from kbapp.wording.sheet import text_table

MOST_ROWS: Final = 15
"""How many rows of each table are printed when all of them are."""
_LEFT_OUT: Final[dict[LeftOut, str]] = {
    "not_proved": N_("{n} not proved yet"),
    "came_back": N_("{n} came back"),
    "withdrawn": N_("{n} withdrawn"),
    "superseded": N_("{n} replaced by a later case"),
    "not_separated": N_("{n} with several changes at once"),
    "same_job": N_("{n} recorded twice"),
    "signed_elsewhere": N_("{n} signed elsewhere, not accepted by your lead"),
    "imported": N_("{n} of other shops"),
}


def basis_words(found: Ledger) -> str:
    """Returns how many cases stand behind the figures."""
    if not found.asked:
        return _("No case is asked about.")
    cases = ngettext("{n} of {of} case counts", "{n} of {of} cases count", found.counted).format(
        n=f"{found.counted:,}", of=f"{found.asked:,}"
    )
    vehicles = ngettext("on {n} vehicle", "on {n} vehicles", found.vehicles).format(n=f"{found.vehicles:,}")
    return _("{cases}, {vehicles}.").format(cases=cases, vehicles=vehicles)


def left_out_words(found: Ledger) -> str:
    """Returns which cases do not count and why, blank where all do."""
    said = ", ".join(
        _(_LEFT_OUT[why]).format(n=f"{found.left_out[why]:,}") for why in LEFT_OUT if why in found.left_out
    )
    return _("Left out: {reasons}.").format(reasons=said) if said else ""


def bias_words() -> str:
    """Returns what a diagnostic shop's figures cannot tell."""
    return _(
        "These vehicles came to you because others had not found the fault. The figures tell how such jobs end, not how "
        "often a part fails on the road. Only proved, independent cases count, each vehicle once."
    )


def ledger_lines(found: Ledger, maps: Maps) -> Iterator[str]:
    """Yields the ledger as lines: what stands behind it, then each table."""
    yield basis_words(found)
    if left_out_words(found):
        yield left_out_words(found)
    yield bias_words()
    for sheet in ledger_sheets(found, maps):
        yield ""
        yield from text_table(sheet, most=MOST_ROWS)
