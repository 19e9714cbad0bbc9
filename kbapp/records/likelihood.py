"""What a test's outcomes are worth: P(outcome | section) as the map states it, before any weakening."""

from kbapp.records.section_map import (
    DEFAULT_STRENGTH,
    ELSEWHERE,
    NOT_ON_MAP,
    STRENGTHS,
    MapOutcome,
    MapTest,
    SectionMap,
)
from kbapp.records.timeline import Strength


def is_short_form(test: MapTest) -> bool:
    """Returns whether a test has two outcomes and names, on the first, the sections it points to."""
    return len(test.outcomes) == 2 and all(outcome.likelihood is None for outcome in test.outcomes)


def stated_strength(test: MapTest) -> Strength:
    """Returns the strength the map gives a test; likelihoods of its own count as strong unless it says otherwise."""
    return test.strength or DEFAULT_STRENGTH


def named_sections(test: MapTest) -> frozenset[str]:
    """Returns the sections a result of the test touches: those pointed to, or with a likelihood of their own."""
    named = {section for outcome in test.outcomes for section in outcome.points_to or ()}
    named |= {section for outcome in test.outcomes for section in outcome.likelihood or {}}
    return frozenset(named - {ELSEWHERE, NOT_ON_MAP})


def own_likelihood(outcome: MapOutcome, hypothesis: str) -> float | None:
    """Returns P(outcome | hypothesis) from the outcome's own table, or None where it says nothing about it."""
    table = outcome.likelihood or {}
    return table.get(hypothesis, table.get(ELSEWHERE))


def likelihoods(section_map: SectionMap, test: MapTest) -> tuple[tuple[float, ...], ...]:
    """Returns P(outcome | hypothesis) as stated: a row an outcome, a column a hypothesis (``not_on_map`` last)."""
    hypotheses = section_map.hypotheses()
    if is_short_form(test):
        inside, elsewhere = STRENGTHS[stated_strength(test)]
        pointed = set(test.outcomes[0].points_to or ())
        first = tuple(inside if name in pointed else elsewhere for name in hypotheses)
        return first, tuple(1 - value for value in first)
    return tuple(
        tuple(value if (value := own_likelihood(outcome, name)) is not None else 0.0 for name in hypotheses)
        for outcome in test.outcomes
    )
