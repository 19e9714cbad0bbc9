"""The Hand-Back Sheet as plain data: what goes to the customer, and what the shop files; no words are chosen here."""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Final, Literal

from kbapp.app.advising import find_map
from kbapp.errors import InputError
from kbapp.isolation.gaps import gaps
from kbapp.isolation.model import build
from kbapp.isolation.picture import picture
from kbapp.isolation.retest import Missing, RetestComparison, comparisons, missing_proof
from kbapp.records.case import Case, FollowUp
from kbapp.records.case_document import check_case
from kbapp.records.private import PrivateDetails
from kbapp.records.section_map import SectionMap
from kbapp.records.timeline import FindingEntry
from kbapp.store.book import Book

Audience = Literal["customer", "shop"]
_SHORTEST: Final = 3
"""Private details shorter than this stand in too many words to be taken out of running text."""
_HIDDEN: Final = "…"
_NO_TEXT: Final = (
    "id", "case", "sha256", "format", "state", "kind", "system", "stage", "purpose", "effect", "source", "status",
    "strength", "result", "unit", "at", "opened", "since", "due", "done", "repeats", "repeat_of", "supersedes", "entry",
)  # fmt: skip
"""Fields that hold terms, ids and moments, never words of a person."""


@dataclass(frozen=True, slots=True, eq=False)
class SheetFacts:
    """All that a sheet says. ``private`` is empty in the shop's version, whose texts are also free of its values.

    ``untested`` are sections of the case's map that no result names; ``conclusion`` is the last finding of the
    timeline; ``missing`` is what keeps the retest from proving the repair.
    """

    audience: Audience
    case: Case
    proved: bool
    signed_here: bool
    shop: str
    revision: int
    private: PrivateDetails
    comparisons: tuple[RetestComparison, ...]
    missing: Missing | None
    untested: tuple[str, ...]
    conclusion: FindingEntry | None
    section_map: SectionMap | None
    asked_after: tuple[FollowUp, ...]


def sheet_facts(book: Book, reference: str, audience: Audience) -> SheetFacts:
    """Returns what the sheet of a case says, for the customer or for the shop.

    Raises:
        InputError: ``case_unknown`` and kin.
    """
    stored = book.case(reference)
    private = book.private(stored.case.id)
    case = stored.case if audience == "customer" else without_private(stored.case, private)
    section_map = _map(case, book)
    return SheetFacts(
        audience=audience,
        case=case,
        proved=case.state == "proved",
        signed_here=stored.signed_here,
        shop=book.info.shop.name,
        revision=stored.revision,
        private=private if audience == "customer" else PrivateDetails(),
        comparisons=comparisons(case),
        missing=missing_proof(case),
        untested=untested(case, section_map),
        conclusion=_conclusion(case),
        section_map=section_map,
        asked_after=tuple(one for one in case.follow_ups if one.done is None),
    )


def untested(case: Case, section_map: SectionMap | None) -> tuple[str, ...]:
    """Returns the names of the sections no result names, the most suspect first; none without a map."""
    if section_map is None:
        return ()
    model = build(section_map, case.concern.symptoms)
    view = picture(case, model)
    names = {section.id: section.name for section in section_map.sections}
    cause = case.cause.section if case.cause is not None else ""
    return tuple(names[gap.section] for gap in gaps(model, view.evidence, view.shares) if gap.section != cause)


def without_private(case: Case, private: PrivateDetails) -> Case:
    """Returns a case in which the values of its private record are taken out of every text."""
    values = [value for value in private.plain().values() if len(str(value).strip()) >= _SHORTEST]
    words = sorted({str(value).strip() for value in values}, key=len, reverse=True)
    if not words:
        return case
    # a part of a name counts as it is written: "May" is a person, "may" is not
    patterns = [*map(_spaced, words), *(f"(?-i:{re.escape(part)})" for part in _name_parts(private))]
    pattern = re.compile("|".join(rf"(?<!\w)(?:{one})(?!\w)" for one in patterns), re.IGNORECASE)
    plain = _replaced(case.plain(), lambda text: pattern.sub(_HIDDEN, text))
    return check_case(plain).unwrap()


def _name_parts(private: PrivateDetails) -> Iterable[str]:
    """Returns the parts of the customer's name, so that the surname alone is found, too."""
    return (part for part in private.customer.split() if len(part.strip(".,")) >= _SHORTEST)


def _spaced(word: str) -> str:
    """Returns a pattern of a value however it is spaced: plates and phones are written in several ways."""
    pieces = [re.escape(piece) for piece in re.split(r"[\s\-/.]+", word) if piece]
    return r"[\s\-/.]*".join(pieces)


def _replaced(value: object, change: Callable[[str], str]) -> object:
    if isinstance(value, str):
        return change(value)
    if isinstance(value, list):
        return [_replaced(one, change) for one in value]
    if isinstance(value, dict):
        return {name: one if name in _NO_TEXT else _replaced(one, change) for name, one in value.items()}
    return value


def _map(case: Case, book: Book) -> SectionMap | None:
    if case.map is None:
        return None
    try:
        return find_map(case.map.id, book)
    except InputError:
        return None


def _conclusion(case: Case) -> FindingEntry | None:
    found = [entry for entry in case.timeline if isinstance(entry, FindingEntry) and entry.text.strip()]
    return found[-1] if found else None
