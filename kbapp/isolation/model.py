"""A section map made ready to reason with: hypotheses, log priors and a likelihood table a test."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from kbapp.isolation.arrays import Floats, normalised
from kbapp.isolation.groups import SharedErrors, shared_errors
from kbapp.isolation.learning import Learned, learned_priors, learned_table
from kbapp.isolation.strength import floored, weakened
from kbapp.records.likelihood import likelihoods, stated_strength
from kbapp.records.section_map import MapTest, SectionMap
from kbapp.records.timeline import Strength


@dataclass(frozen=True, slots=True, eq=False)
class Model:
    """What the engine reasons with.

    ``hypotheses``: section ids, ``not_on_map`` last; ``log_prior`` in that order; ``tables``: test id → outcomes ×
    hypotheses as the map states them.
    """

    section_map: SectionMap
    hypotheses: tuple[str, ...]
    index: Mapping[str, int]
    log_prior: Floats
    tables: Mapping[str, Floats]
    learned: Learned
    groups: Mapping[str, SharedErrors]

    def table(self, test: MapTest, strength: Strength) -> Floats:
        """Returns P(outcome | hypothesis) of a test at a strength, floored."""
        return floored(weakened(self.tables[test.id], stated_strength(test), strength))

    def find_test(self, words: str) -> MapTest | None:
        """Returns the test of that id, else of exactly that name, or None."""
        found = self.section_map.test(words)
        if found is not None:
            return found
        folded = words.casefold()
        return next((test for test in self.section_map.tests if test.name.casefold() == folded), None)


def build(section_map: SectionMap, symptoms: Iterable[str] = (), learned: Learned | None = None) -> Model:
    """Returns the model of a map for a concern's symptoms, with what proved cases taught."""
    learned = learned or Learned()
    hypotheses = section_map.hypotheses()
    index = {name: n for n, name in enumerate(hypotheses)}
    priors = _priors(section_map, symptoms)
    counts = np.array([learned.causes.get(name, 0) for name in hypotheses], dtype=np.float64)
    if counts.any():
        priors = learned_priors(priors, counts)
    tables = {test.id: _table(section_map, test, index, learned) for test in section_map.tests}
    return Model(
        section_map, hypotheses, index, normalised(np.log(priors)), tables, learned, _groups(section_map, tables)
    )


def _groups(section_map: SectionMap, tables: Mapping[str, Floats]) -> dict[str, SharedErrors]:
    members: dict[str, list[Floats]] = {}
    for test in section_map.tests:
        if test.group:
            members.setdefault(test.group, []).append(floored(tables[test.id]))
    return {group: shared_errors(of_group) for group, of_group in members.items()}


def _priors(section_map: SectionMap, symptoms: Iterable[str]) -> Floats:
    """Returns the priors, summing to 1: the map's, or the mean of those it gives for the concern's symptoms."""
    own = np.array([*(s.prior for s in section_map.sections), section_map.not_on_map], dtype=np.float64)
    asked = {symptom.casefold() for symptom in symptoms}
    tables = [table for symptom, table in section_map.priors_by_symptom.items() if symptom.casefold() in asked]
    if not tables:
        return np.asarray(own / own.sum(), dtype=np.float64)
    rows = [
        np.array([table.get(name, weight) for name, weight in zip(section_map.hypotheses(), own, strict=True)])
        for table in tables
    ]
    return np.asarray(np.mean([row / row.sum() for row in rows], axis=0), dtype=np.float64)


def _table(section_map: SectionMap, test: MapTest, index: Mapping[str, int], learned: Learned) -> Floats:
    table = np.array(likelihoods(section_map, test), dtype=np.float64)
    counted = learned.outcomes.get(test.id)
    if not counted:
        return table
    counts = np.zeros_like(table)
    for row, outcome in enumerate(test.outcomes):
        for section, cases in counted.get(outcome.id, {}).items():
            if section in index:
                counts[row, index[section]] = cases
    return learned_table(table, counts)
