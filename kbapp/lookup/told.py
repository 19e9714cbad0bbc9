"""What running text tells of tests and parts: "links off and it is gone", "coil moved, misfire stayed".

A clause tells of a test where it names something done or measured (``ACTIONS``) and an outcome; an outcome that stands
alone belongs to the clause before it. Words of a complaint alone are no test.
"""

import re
from collections.abc import Iterator
from functools import lru_cache
from typing import Final

from kbapp.lookup.evidence import Result, is_outcome_word, read_result
from kbapp.lookup.result_words import ACTIONS
from kbapp.lookup.words import NOT, content_stems, tokens

MOST_CLAUSES: Final = 8
_LONGEST: Final = 600
_CLAUSE: Final = re.compile(r"[,;:!?\n]|\.(?!\d)|\b(?:and|but|then|although|though)\b", re.IGNORECASE)
_BARE: Final = 2
_AWAY: Final = re.compile(r"^(?:\w+ ){1,3}(?:off|out|removed|away)$", re.IGNORECASE)
_NO_ACTION: Final = frozenset(("off", "moving", "lost", "loses", "losing", "loss"))
"""Forms of words of a test that a complaint uses in another sense."""
_RENEWED: Final = frozenset(
    [
        "new",
        "renewed",
        "replaced",
        "changed",
        "fitted",
        "swapped",
        "exchanged",
        "third",
        "second",
        "3rd",
        "2nd",
        "another",
        "already",
        "twice",
        "tried",
        "had",
    ]
)
_IN_VAIN: Final = re.compile(
    r"\b(?:no (?:help|odds|change|difference|better|good|effect|use)|not help|(?:did|does)(?: not|n.t) (?:help|change)"
    r"|in vain|still|unchanged|same|nothing|without success|already|third|3rd|another)\b",
    re.IGNORECASE,
)


def told_results(text: str) -> tuple[Result, ...]:
    """Returns the results that a text tells of."""
    return tuple(_results(text[:_LONGEST]))[:MOST_CLAUSES]


def _results(text: str) -> Iterator[Result]:
    clauses = [one.strip() for one in _CLAUSE.split(text) if one and one.strip()]
    for at, clause in enumerate(clauses):
        result = _read(clause)
        if not _acts(clause):
            continue
        behind = clauses[at + 1] if at + 1 < len(clauses) else ""
        if behind and _is_outcome(behind) and not (any(result.sides) and _says_more(clause)):
            yield _read(clause, behind)
        elif _says_more(clause) or result.amounts or _denies(result):
            yield result


def _acts(clause: str) -> bool:
    """Returns whether a clause tells of something done or measured."""
    spoken = " ".join(
        clause[token.start : token.end] for token in tokens(clause) if not _NO_ACTION & set(token.word.plain)
    )
    return bool(read_result(spoken, "").test_stems & ACTIONS or _AWAY.match(clause))


@lru_cache(maxsize=2_000)
def _read(clause: str, outcome: str = "") -> Result:
    return read_result(_without_outcome(clause), outcome or clause)


def _without_outcome(clause: str) -> str:
    """Returns a clause without the words that only tell of its outcome."""
    kept = [
        clause[token.start : token.end]
        for token in tokens(clause)
        if not (token.word.terms and is_outcome_word(token.word.terms[0]) and not _names_action(token.word.plain[0]))
    ]
    return " ".join(kept)


@lru_cache(maxsize=2_000)
def _names_action(word: str) -> bool:
    return bool(read_result(word, "").test_stems & ACTIONS)


def _is_outcome(clause: str) -> bool:
    """Returns whether a clause is little more than an outcome: "it is gone", "misfire stayed"."""
    result = _read(clause)
    return any(result.sides) and len(result.test_stems) <= _BARE and not result.test_stems & ACTIONS


def _says_more(clause: str) -> bool:
    """Returns whether an action's clause has an outcome of its own beside the words of the action."""
    return not _AWAY.match(clause) and any(
        token.word.terms and is_outcome_word(token.word.terms[0]) and not _names_action(token.word.plain[0])
        for token in tokens(clause)
    )


def _denies(result: Result) -> bool:
    return any(word.startswith(NOT) for word in result.outcome_stems)


def told_parts(text: str) -> tuple[frozenset[str], ...]:
    """Returns, as stems, the clauses of a text that tell of a part fitted in vain."""
    clauses = [one.strip() for one in _CLAUSE.split(text[:_LONGEST]) if one and one.strip()]
    found = []
    for at, clause in enumerate(clauses):
        words = {form for token in tokens(clause) for form in token.word.plain}
        if words & _RENEWED and _IN_VAIN.search(", ".join(clauses[at : at + 2])):
            found.append(content_stems(clause))
    return tuple(found[:MOST_CLAUSES])
