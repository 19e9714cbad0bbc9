"""Whether the shares can be believed: did the leading section turn out to be the cause as often as was said?"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from kbapp.isolation.calibration import Calibration, calibrate
from kbapp.isolation.intervals import Interval, wilson
from kbapp.isolation.model import build
from kbapp.isolation.picture import picture
from kbapp.isolation.replay import true_section
from kbapp.records.case import Case
from kbapp.records.section_map import SectionMap

Verdict = Literal["too_few", "honest", "too_sure", "too_cautious"]
LEAST_JUDGED: Final = 20
"""Fewer proved cases say nothing about the shares (trade judgement)."""
_LIMIT: Final = 1.959963984540054


@dataclass(frozen=True, slots=True)
class Judged:
    """One proved case: the shares before its repair, in the map's order, and which of them was the cause."""

    case: str
    shares: tuple[float, ...]
    truth: int

    @property
    def leading(self) -> tuple[float, bool]:
        """The largest share, and whether that section was the cause."""
        top = max(range(len(self.shares)), key=self.shares.__getitem__)
        return self.shares[top], top == self.truth


@dataclass(frozen=True, slots=True)
class Honesty:
    """The verdict over a book.

    ``said``: mean share of the leading section; ``was``: how often it was the cause; ``z``: how far the two lie apart
    in standard deviations (0 where they cannot); ``calibration``: over the shares of all sections, None without cases.
    """

    verdict: Verdict
    cases: int
    said: float
    was: Interval
    z: float
    calibration: Calibration | None


def judged(case: Case, section_map: SectionMap) -> Judged | None:
    """Returns how the shares before the repair of a proved case came true, None where the cause is not known to it."""
    truth = true_section(case, section_map)
    if truth is None:
        return None
    view = picture(case, build(section_map, case.concern.symptoms))
    return Judged(case.id, tuple(float(share) for share in view.shares), view.model.index[truth])


def honesty(cases: Sequence[Judged]) -> Honesty:
    """Returns the verdict.

    Only the leading section of each case is tested, so that the cases are independent: the difference of hits and
    summed shares, over the square root of Σ p (1 − p) (calibration in the large, as Spiegelhalter 1986 [M] tests it).
    """
    leading = [case.leading for case in cases]
    hits, summed = sum(hit for _, hit in leading), math.fsum(share for share, _ in leading)
    spread = math.sqrt(math.fsum(share * (1 - share) for share, _ in leading))
    z = (hits - summed) / spread if spread > 0 else 0.0
    return Honesty(
        verdict=_verdict(len(cases), z),
        cases=len(cases),
        said=summed / len(cases) if cases else 0.0,
        was=wilson(hits, len(cases)),
        z=z,
        calibration=_calibration(cases),
    )


def _verdict(cases: int, z: float) -> Verdict:
    if cases < LEAST_JUDGED:
        return "too_few"
    return "honest" if abs(z) < _LIMIT else "too_sure" if z < 0 else "too_cautious"


def _calibration(cases: Sequence[Judged]) -> Calibration | None:
    pairs = [(share, n == case.truth) for case in cases for n, share in enumerate(case.shares)]
    return calibrate([share for share, _ in pairs], [hit for _, hit in pairs]) if pairs else None
