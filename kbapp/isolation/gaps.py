"""What has not been looked at: sections no result names, and why."""

from dataclasses import dataclass
from typing import Literal

from kbapp.isolation.arrays import Floats
from kbapp.isolation.model import Model
from kbapp.isolation.results import Evidence
from kbapp.records.likelihood import named_sections
from kbapp.records.section_map import NOT_ON_MAP

GapReason = Literal["not_tested", "unable", "unclear", "too_weak", "no_test"]


@dataclass(frozen=True, slots=True)
class Gap:
    """A section without any result that names it. ``tests`` could still tell; ``why`` is in the technician's words."""

    section: str
    share: float
    reason: GapReason
    tests: tuple[str, ...] = ()
    why: str = ""


def gaps(model: Model, evidence: Evidence, shares: Floats) -> tuple[Gap, ...]:
    """Returns every section without a result, the largest share first."""
    out = []
    for n, name in enumerate(model.hypotheses):
        if name != NOT_ON_MAP and not evidence.naming(name):
            tests = tuple(test.id for test in model.section_map.tests if name in named_sections(test))
            reason, why = _reason(evidence, tests)
            out.append(Gap(name, float(shares[n]), reason, tests, why))
    return tuple(sorted(out, key=lambda gap: -gap.share))


def _reason(evidence: Evidence, tests: tuple[str, ...]) -> tuple[GapReason, str]:
    if not tests:
        return "no_test", ""
    tried = [ignored for ignored in evidence.ignored if ignored.name in tests]
    for ignored in reversed(tried):
        if ignored.reason == "unable":
            return "unable", ignored.detail
        if ignored.reason in ("unclear", "repeats_disagree"):
            return "unclear", ignored.detail if ignored.reason == "unclear" else ""
        if ignored.reason == "too_weak":
            return "too_weak", ""
    return "not_tested", ""
