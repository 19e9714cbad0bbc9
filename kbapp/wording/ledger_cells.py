"""How the ledger's figures are written: every share with its n and interval, money a currency each."""

from typing import Final

from kbapp.i18n import _
from kbapp.isolation.intervals import Interval
from kbapp.ledger.figures import Amounts, Spread, enough
from kbapp.wording.case_words import moment_words
from kbapp.wording.map_names import minutes as minutes_text
from kbapp.wording.map_names import percent
from kbapp.wording.sheet import Cell

NOTHING: Final = "–"


def words(text: str) -> Cell:
    """Returns a cell of words."""
    return Cell(text or NOTHING, text)


def count(n: int) -> Cell:
    """Returns a cell with a count."""
    return Cell(f"{n:,}", n)


def number(value: float | None, digits: int = 0) -> Cell:
    """Returns a cell with a number."""
    return Cell(NOTHING if value is None else f"{value:,.{digits}f}", value)


def minutes(value: float | None) -> Cell:
    """Returns a cell with minutes."""
    return Cell(NOTHING if value is None else minutes_text(value), value)


def yes_no(value: bool | None) -> Cell:  # noqa: FBT001 - one value, three words
    """Returns a cell that says yes, no or nothing."""
    return Cell(NOTHING if value is None else _("yes") if value else _("no"), None if value is None else int(value))


def share_words(share: Interval) -> str:
    """Returns a share with its n and interval: ``3 of 12: 25 % (9–53 %)``."""
    if not share.of:
        return NOTHING
    said = _("{n} of {of}: {share} ({low}–{high} %)").format(
        n=share.successes, of=share.of, share=percent(share.successes / share.of),
        low=round(share.low * 100), high=round(share.high * 100),
    )  # fmt: skip
    return said if enough(share) else _("{share}, too few to rank").format(share=said)


def share(found: Interval) -> Cell:
    """Returns a cell with a share."""
    return Cell(share_words(found), found)


def money_words(amounts: Amounts) -> str:
    """Returns sums side by side, a currency each."""
    said = (
        _("{amount} {currency}").format(amount=f"{amount.value:,.0f}", currency=amount.currency) for amount in amounts
    )
    return " + ".join(said) or NOTHING


def money(amounts: Amounts) -> Cell:
    """Returns a cell with sums."""
    return Cell(money_words(amounts), amounts)


def month_words(month: str) -> str:
    """Returns a month as ``Mar 2026``."""
    return moment_words(month) or _("without a date")


def spread_words(found: Spread | None) -> str:
    """Returns a median with its interval and quartiles."""
    if found is None:
        return NOTHING
    if found.low is None or found.high is None:
        return _("median {median}, half of them {quarter} to {three_quarters}; too few for an interval").format(
            median=f"{found.median:,.0f}", quarter=f"{found.quarter:,.0f}",
            three_quarters=f"{found.three_quarters:,.0f}",
        )  # fmt: skip
    return _("median {median} ({low} to {high}), half of them {quarter} to {three_quarters}").format(
        median=f"{found.median:,.0f}", low=f"{found.low:,.0f}", high=f"{found.high:,.0f}",
        quarter=f"{found.quarter:,.0f}", three_quarters=f"{found.three_quarters:,.0f}",
    )  # fmt: skip
