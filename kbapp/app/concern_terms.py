"""Reads what the trade calls it out of free words: the terms of the vocabulary a concern may mean."""

import re
from typing import Final

from kbapp.lookup.synonyms import meanings, named_concerns
from kbapp.lookup.words import tokens

MOST: Final = 6
_CLAUSE: Final = re.compile(r"[.;!?\n]+|,\s|\bbut\b|\band\b", re.IGNORECASE)
_SENTENCE: Final = re.compile(r"[.;!?\n]+")
_LONGEST: Final = 2_000


def terms_in(text: str) -> tuple[str, ...]:
    """Returns the terms a text names or whose sayings it holds, the surest first; nothing is chosen for the user.

    A saying that can mean several concerns offers all of them: distinct concerns are never merged.
    """
    text = text[:_LONGEST]
    found: dict[str, float] = {}
    for pattern, weight in ((_CLAUSE, 1.0), (_SENTENCE, 0.9)):
        for clause in pattern.split(text):
            for term in named_concerns(clause):
                found[term] = max(found.get(term, 0.0), weight)
    leads = [token.word.terms[0] for token in tokens(text) if token.word.terms and not token.word.stop]
    for meaning in meanings(leads[:200]):
        found[meaning.symptom] = max(found.get(meaning.symptom, 0.0), 0.8 / meaning.among)
    return tuple(sorted(found, key=lambda term: -found[term])[:MOST])
