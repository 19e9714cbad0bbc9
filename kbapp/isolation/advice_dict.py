"""Advice as plain JSON values: the contract of ``advise --json``, with the reasons beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from kbapp.isolation.advice import Advice
    from kbapp.isolation.candidates import Candidate
    from kbapp.isolation.conflict import Conflict
    from kbapp.isolation.guard_warning import GuardWarning, Judgement
    from kbapp.isolation.ranking import NextTest
    from kbapp.isolation.results import Result


def as_plain(advice: Advice) -> dict[str, Any]:
    """Returns the advice as JSON values. Numbers are not rounded; unknown ones are null."""
    view, costs = advice.picture, advice.ranking.costs
    return {
        "map": {"id": advice.section_map.id, "version": advice.section_map.version},
        "sections": [_section(advice, n, name) for n, name in enumerate(view.model.hypotheses)],
        "gaps": [
            {"section": g.section, "share": g.share, "reason": g.reason, "why": g.why, "tests": list(g.tests)}
            for g in advice.gaps
        ],
        "ranked_by": advice.ranking.by,
        "next_tests": [_next_test(advice, test) for test in advice.ranking.tests],
        "guard": [_warning(judgement, warning) for judgement in advice.guard for warning in judgement.warnings],
        "costs": {
            "fit_now": costs.fit_now,
            "test_first": costs.test_first,
            "section": costs.section or None,
            "test": costs.test or None,
            "swap_only": costs.swap_only,
        },
        "conflict": _conflict(advice, view.conflict),
        "evidence": [_result(result) for result in view.evidence.results],
        "not_evidence": [
            {"entry": i.entry, "name": i.name, "reason": i.reason, "detail": i.detail} for i in view.evidence.ignored
        ],
        "still_on_vehicle": [
            {"entry": s.entry, "test": s.name, "what": s.what, "restore_minutes": s.restore_minutes}
            for s in advice.still_on_vehicle
        ],
        "learned_from": view.model.learned.cases(),
        "before_repair": advice.repaired,
        "faults": [fault.as_dict() for fault in advice.faults],
    }


def _section(advice: Advice, n: int, name: str) -> dict[str, Any]:
    view = advice.picture
    section = advice.section_map.section(name)
    inside = next((p for p in advice.pinpoint if p.section == name), None)
    parts = inside.parts if inside is not None else ()
    return {
        "id": name,
        "name": section.name if section is not None else None,
        "share": float(view.shares[n]),
        "state": view.states[n],
        "for": _speaking(advice, name, "for"),
        "against": _speaking(advice, name, "against"),
        "parts": [{"id": p.id, "name": p.name, "share": p.share, "inside": p.inside} for p in parts],
        "nested_map": inside.map or None if inside is not None else None,
    }


def _speaking(advice: Advice, name: str, direction: str) -> list[dict[str, Any]]:
    """Returns the results that speak for or against a section, with the ln likelihood ratio each contributed."""
    out = []
    for contribution in advice.contributions:
        if contribution.hypothesis != name:
            continue
        result = contribution.result
        touch = result.touch(name)
        if touch is not None and touch.direction == direction:
            out.append(
                {
                    "entries": list(result.entries),
                    "name": result.name,
                    "outcome": result.outcome,
                    "ln_ratio": contribution.ln_ratio,
                }
            )
    return out


def _result(result: Result) -> dict[str, Any]:
    return {
        "kind": result.kind,
        "name": result.name,
        "outcome": result.outcome,
        "entries": list(result.entries),
        "at": result.at or None,
        "strength": result.strength if result.kind == "test" else None,
        "lowered": list(result.lowered),
        "group": result.group or None,
        "touches": [{"section": t.section, "direction": t.direction, "strength": t.strength} for t in result.touches],
    }


def _next_test(advice: Advice, test: NextTest) -> dict[str, Any]:
    way = test.way
    return {
        "test": way.test.id,
        "name": way.test.name,
        "bits": test.bits,
        "minutes": way.minutes,
        "bits_per_minute": test.bits_per_minute,
        "expected_cost": test.expected_cost,
        "kit_missing": list(test.choice.ways[0].kit_missing),
        "ready": test.choice.ready,
        "substitute": way.substitute.id if way.substitute is not None else None,
        "strength": way.strength,
        "wait_minutes": way.wait_minutes,
        "restore_minutes": way.restore_minutes,
        "blocked_by": list(way.blocked_by),
        "unable": way.unable or None,
        "repeat": way.unclear,
        "destructive": way.test.destructive,
        "cautions": list((way.substitute or way.test).cautions),
        "learned_from": advice.picture.model.learned.cases_of(way.test.id),
        "outcomes": [
            {
                "outcome": view.outcome,
                "probability": view.probability,
                "shares": dict(zip(advice.picture.model.hypotheses, map(float, view.shares), strict=True)),
            }
            for view in test.outcomes
        ],
        "substitutes": [_substitute(other) for other in test.choice.ways if other.substitute is not None],
    }


def _substitute(way: Candidate) -> dict[str, Any]:
    assert way.substitute is not None
    return {
        "id": way.substitute.id,
        "name": way.substitute.name,
        "strength": way.strength,
        "minutes": way.minutes,
        "kit_missing": list(way.kit_missing),
        "cautions": list(way.substitute.cautions),
    }


def _warning(judgement: Judgement, warning: GuardWarning) -> dict[str, Any]:
    record = warning.record
    return {
        "rule": warning.rule,
        "part": judgement.part,
        "weight": warning.weight,
        "entry": judgement.entry,
        "position": judgement.position,
        "stage": judgement.stage,
        "sections": list(warning.sections or judgement.sections),
        "share": judgement.share,
        "against": [{"entry": s.entry, "test": s.test, "outcome": s.outcome, "at": s.at} for s in judgement.against],
        "untested": list(judgement.untested),
        "next_test": judgement.next_test or None,
        "next_minutes": judgement.next_minutes,
        "fit_now": judgement.fit_now,
        "test_first": judgement.test_first,
        "reason_required": warning.reason_required,
        "earlier": warning.earlier or None,
        "repeat_test": warning.test or None,
        "base": [{"section": section, "state": state} for section, state in warning.base],
        "needs": warning.needs or None,
        "record": None
        if record is None
        else {
            "cured": record.interval.successes,
            "fitted": record.interval.of,
            "upper": record.interval.high,
            "scope": record.scope,
        },
        "evidence": list(judgement.evidence),
    }


def _conflict(advice: Advice, conflict: Conflict | None) -> dict[str, Any] | None:
    if conflict is None:
        return None
    return {
        "tests": list(conflict.tests),
        "entries": list(conflict.entries),
        "repeat": conflict.repeat,
        "repeat_minutes": conflict.repeat_minutes,
        "explanations": [list(sections) for sections in conflict.explanations],
        "two_faults": [{"sections": list(found.sections), "share": found.share} for found in advice.two_faults],
    }
