"""A map, lines and cases for the tests of the swap guard."""

from typing import Any

from kbapp.isolation.guard import Guard
from kbapp.isolation.guard_warning import GuardSettings, Judgement
from kbapp.isolation.model import Model, build
from kbapp.records.case import Case
from tests.isolation.examples import make_case, make_map, points, ran, section

Json = dict[str, Any]


MAP = make_map(
    [
        section("mc", 4, parts=[{"id": "master", "name": "master cylinder", "cost": 180, "labour_minutes": 60}]),
        section("lf", 4, parts=[{"id": "caliper", "name": "caliper", "cost": 90, "labour_minutes": 50}]),
        section("rf", 4, parts=[{"id": "caliper r", "name": "right caliper", "cost": 90, "labour_minutes": 50}]),
        section("sensor", 1, good_first=["base"], parts=[{"id": "sensor", "name": "sensor", "cost": 70}]),
        section("base", 1, cost=100),
    ],
    [
        points("plug", "mc", setup_minutes=15),
        points("hold", "lf", setup_minutes=2),
        points("hold_r", "rf"),
        points("measure", "base", run_minutes=5),
        points("scope", "sensor"),
    ],
)


MODEL = build(MAP)


def part(name: str, section_id: str = "", **more: Any) -> Json:
    """Returns a line of a part about to be fitted."""
    return {"kind": "part", "part": name, "section": section_id, "stage": "planned", **more}


def judged(
    *lines: Json, model: Model | None = MODEL, cost_limit: float = 250, history: list[Case] | None = None
) -> Judgement:
    """Returns what the guard says about the last line."""
    case = make_case(*lines)
    guard = Guard(case, model, GuardSettings(cost_limit), history=history or [])
    return guard.judge(len(lines) - 1)


def rules(*lines: Json, **more: Any) -> set[str]:
    """Returns the rules that speak about the last line."""
    return {warning.rule for warning in judged(*lines, **more).warnings}


# Enough is known here that no other rule speaks.
QUIET = (ran("plug", "no"), ran("hold_r", "no"), ran("measure", "no"), ran("scope", "no"), ran("hold", "yes"))


def proved_case(n: int, cured: bool, **more: Any) -> Case:
    """Returns a proved case of another vehicle in which the part was fitted."""
    vehicle = {"make": "Brennick", "family": "Pallow"}
    effect = "gone" if cured else "unchanged"
    base = {
        "id": f"00000000-0000-4000-8000-{n:012d}", "state": "proved", "vehicle": vehicle, "vehicle_ref": f"v{n}",
        "cause": {"text": "x", "part": "caliper" if cured else "hose"},
        "concern": {"text": "low pedal", "symptoms": ["low pedal"], "system": "brakes_hydraulic"},
    }  # fmt: skip
    return make_case(part("caliper", "lf", stage="fitted", effect=effect), **{**base, **more})


def present_case(at: str | None = None, **more: Any) -> Case:
    """Returns a case in which only statistics can speak against the last part."""
    vehicle = {"make": "Brennick", "family": "Pallow"}
    concern = {"text": "pedal", "symptoms": ["low pedal"], "system": "brakes_hydraulic"}
    return make_case(*QUIET, part("caliper", "lf", at=at), vehicle=vehicle, concern=concern, **more)


# One case for each rule that the map can raise, with what else is asked: the wording is tested on them.
BOOK_RULES: dict[str, tuple[Case, Json]] = {
    "unsupported": (make_case(part("caliper", "lf", returnable=False)), {}),
    "contradicted": (make_case(ran("plug", "no"), ran("hold"), part("master cylinder", "mc")), {}),
    "repeat": (make_case(part("caliper", "lf", stage="fitted", effect="unchanged"), part("caliper", "lf")), {}),
    "unchanged": (make_case(part("sensor", stage="fitted", effect="unchanged"), part("caliper", "lf")), {}),
    "no_retest": (make_case(part("sensor", stage="fitted"), part("caliper", "lf")), {}),
    "rarely_the_cause": (present_case(), {"proved": tuple(proved_case(n, False) for n in range(8))}),
    "coverage": (make_case(ran("hold"), part("caliper", "lf")), {}),
    "base_unmet": (make_case(ran("scope"), part("sensor", "sensor")), {}),
    "conflict": (make_case(ran("hold"), ran("hold_r"), part("caliper", "lf")), {}),
    "cannot_judge": (make_case(part("wiper")), {}),
    "exemption_incomplete": (make_case(part("caliper", "lf", purpose="recall")), {}),
}
