"""Maps and cases for the tests of the engine, written short."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Final

from kbapp.isolation.evidence import gather
from kbapp.isolation.model import Model, build
from kbapp.isolation.picture import Picture, picture
from kbapp.isolation.results import Evidence
from kbapp.records.case import Case
from kbapp.records.case_document import check_case
from kbapp.records.map_document import check_map
from kbapp.records.section_map import SectionMap
from tests.isolation.situations import SITUATIONS

CASE_ID: Final = "5b1f0c9e-2d74-4f0f-9f0e-0c6a3c1d7e11"
Json = dict[str, Any]


def section(name: str, prior: float = 1.0, **more: Any) -> Json:
    """Returns a section of a map document."""
    return {"id": name, "name": name.upper(), "prior": prior, **more}


def points(name: str, *sections: str, **more: Any) -> Json:
    """Returns a two-outcome test whose first outcome (``yes``) points to the sections."""
    outcomes = [{"id": "yes", "name": "yes", "points_to": list(sections)}, {"id": "no", "name": "no"}]
    return {"id": name, "name": f"test {name}", "outcomes": outcomes, "run_minutes": 10, **more}


def chances(name: str, outcomes: Mapping[str, Mapping[str, float]], **more: Any) -> Json:
    """Returns a test with likelihoods of its own."""
    made = [{"id": key, "name": key, "likelihood": dict(table)} for key, table in outcomes.items()]
    return {"id": name, "name": f"test {name}", "outcomes": made, "run_minutes": 10, **more}


def map_document(sections: Sequence[Json], tests: Sequence[Json] = (), **more: Any) -> Json:
    """Returns a map document."""
    base = {"format": "provebook-map/1", "id": "m", "title": "A map", "not_on_map": 1.0}
    return {**base, "sections": list(sections), "tests": list(tests), **more}


def make_map(sections: Sequence[Json], tests: Sequence[Json] = (), **more: Any) -> SectionMap:
    """Returns a section map that passes the checker."""
    return check_map(map_document(sections, tests, **more)).unwrap()


def ran(test: str, outcome: str = "yes", **more: Any) -> Json:
    """Returns a line of a test run."""
    return {"kind": "test", "test": test, "outcome": outcome, **more}


def fitted(part: str, section: str = "", **more: Any) -> Json:
    """Returns a line of a part fitted without change."""
    return {"kind": "part", "part": part, "section": section, "effect": "unchanged", **more}


def make_case(*timeline: Json, **more: Any) -> Case:
    """Returns an open case with this timeline; lines without an id are e1, e2, …"""
    lines = [{"id": f"e{n}", **line} for n, line in enumerate(timeline, 1)]
    base = {"format": "provebook-case/1", "id": CASE_ID, "state": "open", "concern": {"text": "low pedal"}}
    return check_case({**base, "timeline": lines, **more}).unwrap()


def look(section_map: SectionMap, *timeline: Json, **more: Any) -> Picture:
    """Returns the picture of a timeline on a map."""
    return picture(make_case(*timeline, **more), build(section_map))


def evidence(model: Model, *timeline: Json) -> Evidence:
    """Returns the evidence of a timeline."""
    return gather(make_case(*timeline), model)


def situation_map(name: str, **more: Any) -> SectionMap:
    """Returns the map of one of the worked situations; its outcomes are ``a`` and ``b``."""
    told = SITUATIONS[name]
    tests = []
    for key, (setup, run, pointed) in told.tests.items():
        outcomes = [{"id": "a", "name": "a", "points_to": list(pointed)}, {"id": "b", "name": "b"}]
        tests.append({"id": key, "name": key, "setup_minutes": setup, "run_minutes": run, "outcomes": outcomes})
    sections = [section(key, prior) for key, prior in told.priors.items() if key != "not_on_map"]
    return make_map(sections, tests, id=name, not_on_map=told.priors["not_on_map"], **more)


def seen(words: str) -> list[Json]:
    """Returns the lines for ``"hlf:a hrf:b"``."""
    return [ran(*word.split(":")) for word in words.split()]


def by_name(view: Picture) -> dict[str, float]:
    """Returns hypothesis → share."""
    return {name: float(share) for name, share in zip(view.model.hypotheses, view.shares, strict=True)}


def ids(items: Iterable[Any], attribute: str) -> list[Any]:
    """Returns one attribute of each item."""
    return [getattr(item, attribute) for item in items]
