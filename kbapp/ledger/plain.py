"""The ledger as plain JSON values (``ledger --json``): numbers are not rounded, unknown ones are null."""

from dataclasses import asdict
from typing import Any

from kbapp.isolation.intervals import Interval
from kbapp.ledger.comebacks import Comebacks
from kbapp.ledger.effort import EffortToIsolation
from kbapp.ledger.figures import Amounts, Spread, enough
from kbapp.ledger.parts import PartLine
from kbapp.ledger.report import Ledger
from kbapp.ledger.splits import SplitLine


def as_plain(found: Ledger) -> dict[str, Any]:
    """Returns the ledger as JSON values."""
    return {
        "asked": {name: value for name, value in asdict(found.question).items() if value},
        "today": found.today,
        "cases": found.asked,
        "counted": found.counted,
        "vehicles": found.vehicles,
        "left_out": dict(found.left_out),
        "parts": [_part(line) for line in found.parts],
        "in_vain": _amounts(found.in_vain),
        "swaps_before_isolation": {whose: _share(share) for whose, share in found.swaps_first.items()},
        "months": [
            {
                "month": line.month or None,
                "own": _share(line.own),
                "reported": _share(line.reported),
                "in_vain": _amounts(line.in_vain),
            }
            for line in found.months
        ],
        "to_isolation": _effort(found.effort),
        "tests": [_test(line) for line in found.splits],
        "comebacks": _comebacks(found.comebacks),
        "guard": [{**asdict(line), "rule": line.rule or None, "cured": _share(line.cured)} for line in found.guard],
        "lacking": [{"lack": line.lack, "of": line.of, "cases": list(line.cases)} for line in found.lacks],
        "maps": [{"map": line.map_id, "cases": line.cases, "proved": line.proved} for line in found.maps],
    }


def _share(share: Interval) -> dict[str, Any]:
    return {
        "n": share.successes,
        "of": share.of,
        "share": share.successes / share.of if share.of else None,
        "low": share.low,
        "high": share.high,
        "enough": enough(share),
    }


def _amounts(amounts: Amounts) -> list[dict[str, Any]]:
    return [asdict(amount) for amount in amounts]


def _spread(found: Spread | None) -> dict[str, Any] | None:
    return asdict(found) if found is not None else None


def _part(line: PartLine) -> dict[str, Any]:
    return {
        "part": line.part,
        "planned_only": line.planned,
        "fitted": line.fitted,
        "cured": _share(line.cured),
        "unchanged": line.unchanged,
        "unproved": line.unproved,
        "spent": _amounts(line.spent),
        "in_vain": _amounts(line.in_vain),
        "minutes_in_vain": line.minutes_in_vain,
    }


def _test(line: SplitLine) -> dict[str, Any]:
    return {
        "test": line.test,
        "map": line.map_id or None,
        "decided": _share(line.decided),
        "inconclusive": line.inconclusive,
        "minutes": line.minutes,
    }


def _effort(found: EffortToIsolation) -> dict[str, Any]:
    return {
        "minutes": _spread(found.minutes),
        "minutes_unwritten": found.unwritten,
        "money": [{"currency": unit, **(_spread(of) or {})} for unit, of in found.money],
        "never_isolated": found.never,
    }


def _comebacks(found: Comebacks) -> dict[str, Any]:
    return {
        "cases": [{**asdict(line), "same_cause": line.same_cause} for line in found.cases],
        "within": [{"days": line.days, "came_back": _share(line.came_back)} for line in found.horizons],
        "undated": found.undated,
    }
