"""The tests that can still be run: kit, prerequisites, standing rigs and minutes looked after."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from kbapp.isolation.arrays import Floats
from kbapp.isolation.base_first import needed_by_test, unmet
from kbapp.isolation.groups import conditional
from kbapp.isolation.model import Model
from kbapp.isolation.results import Evidence
from kbapp.isolation.strength import lowest, steps_down
from kbapp.records.likelihood import stated_strength
from kbapp.records.section_map import MapTest, Substitute
from kbapp.records.timeline import Strength


@dataclass(frozen=True, slots=True, eq=False)
class Candidate:
    """One way to run a test now.

    ``table``: P(outcome | hypothesis) at ``strength``, given what its group has shown already. Minutes are hands-on:
    ``setup_minutes`` is 0 while the rig stands, ``wait_minutes`` elapses beside them. ``kit_missing``: kit of this way
    that the shop lacks; ``blocked_by``: sections to prove good first; ``unable``: why it could not be run before.
    """

    test: MapTest
    substitute: Substitute | None
    strength: Strength
    table: Floats
    setup_minutes: float
    run_minutes: float
    restore_minutes: float
    wait_minutes: float
    kit_missing: tuple[str, ...] = ()
    blocked_by: tuple[str, ...] = ()
    unable: str = ""
    unclear: bool = False

    @property
    def minutes(self) -> float:
        """Hands-on minutes: set-up unless rigged, run, restore."""
        return self.setup_minutes + self.run_minutes + self.restore_minutes

    @property
    def rig(self) -> str:
        """The rig this way sets up."""
        return (self.substitute or self.test).rig

    @property
    def kit(self) -> tuple[str, ...]:
        """The kit this way needs."""
        return (self.substitute or self.test).kit

    @property
    def spread(self) -> float:
        """How far its likelihoods lie apart: orders the ways of one test before any share is known."""
        return float(np.abs(self.table - self.table.mean(axis=1, keepdims=True)).sum())


@dataclass(frozen=True, slots=True, eq=False)
class Choice:
    """A test not yet run: the way to run it now, and all ways (the test itself first, then its substitutes)."""

    best: Candidate
    ways: tuple[Candidate, ...]

    @property
    def test(self) -> MapTest:
        """The test."""
        return self.best.test

    @property
    def ready(self) -> bool:
        """Whether it can be run now: kit there, base proved good, not found impossible before."""
        return not (self.best.kit_missing or self.best.blocked_by or self.best.unable)


def choices(
    model: Model, evidence: Evidence, missing: Iterable[str] = (), rigs: frozenset[str] = frozenset()
) -> tuple[Choice, ...]:
    """Returns every test that has given no result, with the way to run it: itself, else its strongest possible
    substitute.

    Where no way can be run for want of kit, the test itself stands with what is missing.
    """
    ran = {result.name for result in evidence.tests}
    lacking = frozenset(kit.casefold() for kit in missing)
    return tuple(
        _choice(model, evidence, test, lacking, rigs) for test in model.section_map.tests if test.id not in ran
    )


def _choice(model: Model, evidence: Evidence, test: MapTest, lacking: frozenset[str], rigs: frozenset[str]) -> Choice:
    own = _way(model, evidence, test, None, lacking, rigs)
    others = (_way(model, evidence, test, substitute, lacking, rigs) for substitute in test.substitutes)
    ways = (own, *(way for way in others if way.strength != "none"))
    possible = [way for way in ways if not way.kit_missing and not way.unable]
    if own in possible or not possible:
        return Choice(own, ways)
    return Choice(max(possible, key=lambda way: (way.spread, -way.minutes)), ways)


def _way(
    model: Model,
    evidence: Evidence,
    test: MapTest,
    substitute: Substitute | None,
    lacking: frozenset[str],
    rigs: frozenset[str],
) -> Candidate:
    way = substitute or test
    strength = stated_strength(test)
    if substitute is not None:
        strength = lowest((steps_down(strength, 1), substitute.strength))
    group = [r.observed for r in evidence.tests if test.group and r.group == test.group and r.observed is not None]
    tried = [ignored for ignored in evidence.ignored if ignored.name == test.id]
    impossible = [i.detail or "unable" for i in tried if i.reason == "unable" and not i.reported]
    return Candidate(
        test=test,
        substitute=substitute,
        strength=strength,
        table=conditional(model.table(test, strength), group, model.groups.get(test.group, {})),
        setup_minutes=0.0 if way.rig and way.rig in rigs else _minutes(way.setup_minutes, test.setup_minutes),
        run_minutes=_minutes(way.run_minutes, test.run_minutes),
        restore_minutes=_minutes(way.restore_minutes, test.restore_minutes),
        wait_minutes=_minutes(way.wait_minutes, test.wait_minutes),
        kit_missing=tuple(kit for kit in way.kit if kit.casefold() in lacking),
        blocked_by=tuple(section for section, _ in unmet(evidence, needed_by_test(model, test))),
        unable=impossible[-1] if impossible and substitute is None else "",
        unclear=any(ignored.reason in ("unclear", "repeats_disagree") for ignored in tried),
    )


def _minutes(own: float | None, of_test: float) -> float:
    return of_test if own is None else own
