"""What is said about a VIN that was typed or scanned: its form, its check digit, the model years it can mean."""

from dataclasses import dataclass
from typing import Literal

from kbapp.i18n import _
from kbapp.records.vin import LENGTH, fold_vin, read_vin
from kbapp.wording.terms import term

Tone = Literal["plain", "good", "caution", "danger"]


@dataclass(frozen=True, slots=True)
class VinWords:
    """The verdict in plain words, its tone, the model years to offer and the likelier of them (0: none)."""

    words: str
    tone: Tone = "plain"
    years: tuple[int, ...] = ()
    likelier: int = 0


def vin_words(text: str, latest: int) -> VinWords:
    """Returns what to say about a number; ``latest`` is the latest model year there can be. Blank: nothing."""
    if not text.strip():
        return VinWords("")
    checked = read_vin(text)
    if checked.value is None:
        return VinWords(_wrong(text), "caution")
    years = checked.value.model_years(latest)
    offered = tuple(year for year in years.years if year <= latest)
    verdict = checked.value.check_digit
    tone: Tone = {"agrees": "good", "disagrees": "caution", "not_applicable": "plain"}[verdict]  # type: ignore[assignment]
    return VinWords(term("check_digit", verdict), tone, offered, years.likelier or 0)


def _wrong(text: str) -> str:
    folded = fold_vin(text)
    said = []
    if len(folded) != LENGTH:
        said.append(_("{found} characters; a VIN has {wanted}.").format(found=len(folded), wanted=LENGTH))
    letters = sorted({char for char in folded if char in "IOQ"})
    if letters:
        said.append(_("No VIN has the letters I, O or Q: look again at {letters}.").format(letters=", ".join(letters)))
    elif any(fault.code == "vin_character" for fault in read_vin(text).faults):
        said.append(_("It holds characters no VIN has."))
    said.append(_("It is kept as you wrote it."))
    return " ".join(said)
