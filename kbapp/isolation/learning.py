"""What proved cases teach a map: counts over its own weights (Dirichlet), always with how many cases stand behind."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Final

import numpy as np

from kbapp.isolation.arrays import Floats

MAP_CASES: Final = 20.0
"""How many proved cases the map's own priors weigh."""
TEST_CASES: Final = 20.0
"""How many proved cases the map's own likelihoods of one section weigh."""


@dataclass(frozen=True, slots=True)
class Learned:
    """Counts from proved cases of one map (and concern).

    ``causes``: section id or ``not_on_map`` → cases. ``outcomes``: test id → outcome id → section id → cases in
    which the test, run as the map says, showed that outcome and the cause was found in that section.
    """

    causes: Mapping[str, int] = field(default_factory=dict)
    outcomes: Mapping[str, Mapping[str, Mapping[str, int]]] = field(default_factory=dict)

    def cases(self) -> int:
        """Returns how many proved cases stand behind the priors."""
        return sum(self.causes.values())

    def cases_of(self, test: str) -> int:
        """Returns how many proved cases stand behind a test's likelihoods."""
        return sum(sum(sections.values()) for sections in self.outcomes.get(test, {}).values())


def add_up(all_learned: Iterable[Learned]) -> Learned:
    """Returns the counts of several groups of cases together."""
    causes: Counter[str] = Counter()
    outcomes: dict[str, dict[str, Counter[str]]] = {}
    for learned in all_learned:
        causes.update(learned.causes)
        for test, by_outcome in learned.outcomes.items():
            for outcome, sections in by_outcome.items():
                outcomes.setdefault(test, {}).setdefault(outcome, Counter()).update(sections)
    return Learned(dict(causes), {t: {o: dict(c) for o, c in table.items()} for t, table in outcomes.items()})


def dirichlet_mean(counts: Floats, pseudo: Floats) -> Floats:
    """Returns the mean of a Dirichlet posterior along the first axis: (counts + pseudo) / Σ."""
    total = counts + pseudo
    return np.asarray(total / total.sum(axis=0), dtype=np.float64)


def learned_priors(priors: Floats, counts: Floats, weight: float = MAP_CASES) -> Floats:
    """Returns priors (summing to 1) after proved cases; the map's own weigh as much as ``weight`` cases."""
    return dirichlet_mean(counts, priors * weight)


def learned_table(table: Floats, counts: Floats, weight: float = TEST_CASES) -> Floats:
    """Returns likelihoods (outcomes × hypotheses) after counts of the same shape; Beta for two outcomes."""
    return dirichlet_mean(counts, table * weight)
