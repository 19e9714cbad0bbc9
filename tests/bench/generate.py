"""Makes any number of plausible cases for benchmarks: the same number and seed give the same cases, byte for byte."""

import random
from bisect import bisect_left
from collections.abc import Iterator
from itertools import accumulate
from typing import Any, Final
from uuid import UUID

from kbapp.records.case import CASE_FORMAT, Case
from kbapp.records.symptoms import symptoms_of
from kbapp.records.vocabulary import SYSTEMS, System
from tests.bench.trade_words import (
    CIRCUMSTANCES,
    COLOURS,
    COMMON,
    EXTRAS,
    LEADS,
    MODELS,
    PEOPLE,
    RARE_STEMS,
    SECTIONS,
    TESTS,
    UNITS,
)  # fmt: skip

_SHOP: Final = {"id": "3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10", "name": "Weir Lane Diagnostics"}
_POSITIONS: Final = ("LF", "RF", "LR", "RR", "front", "rear")
_CODE_LETTER: Final[dict[System, str]] = {
    "brakes_hydraulic": "C", "abs_stability": "C", "steering_suspension": "C", "body_electrical_network": "U",
}  # fmt: skip
# Zipf's law: the word of rank r is used about 1/r as often as the first
_CUMULATED: Final = tuple(accumulate(1 / (rank + 2) for rank in range(len(COMMON))))


def generated_cases(n: int, seed: int = 1) -> Iterator[Case]:
    """Yields ``n`` valid cases of about 190 words, from all systems, most of them proved."""
    for number in range(n):
        yield Case.model_validate(_document(random.Random(f"{seed}/{number}"), number))


def _document(rng: random.Random, number: int) -> dict[str, Any]:
    system = SYSTEMS[int(len(SYSTEMS) * rng.random() ** 1.4)]
    section = rng.choice(list(SECTIONS[system]))
    part = rng.choice(SECTIONS[system][section])
    day = f"20{rng.randint(18, 25)}-{rng.randint(1, 12):02d}-{rng.randint(1, 28):02d}"
    state = rng.choices(("proved", "repaired", "open", "came_back", "withdrawn"), (78, 8, 8, 4, 2))[0]
    document = {
        "format": CASE_FORMAT,
        "id": str(UUID(int=rng.getrandbits(128), version=4)),
        "number": f"{day[:4]}-{number + 1:06d}",
        "shop": _SHOP,
        "state": state,
        "opened": day,
        "vehicle": _vehicle(rng),
        "concern": _concern(rng, system),
        "codes": [_code(rng, system) for _ in range(rng.choices((0, 1, 2, 3), (40, 35, 18, 7))[0])],
        "timeline": _timeline(rng, system, section, day),
        "notes": _sentences(rng, rng.randint(3, 7)),
    }
    return document if state == "open" else {**document, **_ending(rng, system, section, part, day, state)}


def _vehicle(rng: random.Random) -> dict[str, Any]:
    model = MODELS[min(int(rng.expovariate(0.35)), len(MODELS) - 1)]
    name, first, last = rng.choice(model.generations)
    return {
        "make": model.make, "family": model.family, "platform": model.platform, "generation": name,
        "model_year": rng.randint(first, last), "engine": rng.choice(model.engines),
        "odometer": {"value": rng.randint(8, 290) * 1000, "unit": "km"},
    }  # fmt: skip


def _concern(rng: random.Random, system: System) -> dict[str, Any]:
    terms = [one.term for one in symptoms_of(system)]
    chosen = list(dict.fromkeys(rng.choice(terms) for _ in range(rng.choice((1, 1, 1, 2)))))
    text = rng.choice(LEADS).format(
        symptom=chosen[0], when=rng.choice(CIRCUMSTANCES), extra=rng.choice(EXTRAS), since=rng.choice(("May", "a week"))
    )
    return {"text": f"{text}. {_sentences(rng, 1)}", "system": system, "symptoms": chosen}


def _code(rng: random.Random, system: System) -> dict[str, Any]:
    letter = _CODE_LETTER.get(system, "P")
    digits = int(rng.random() ** 2 * 60) * 7 + 17
    status = rng.choice(("stored", "pending", "intermittent"))
    return {"code": f"{letter}{digits:04d}", "status": status, "module": rng.choice(("ECM", "ABS", "BCM", "GWY"))}


def _timeline(rng: random.Random, system: System, section: str, day: str) -> list[dict[str, Any]]:
    entries = [_part(rng, system) for _ in range(rng.choices((0, 1, 2, 3), (35, 35, 20, 10))[0])]
    tests = rng.sample(TESTS[system], k=min(len(TESTS[system]), rng.randint(2, 3)))
    entries += [_test(rng, *test) for test in tests]
    if rng.random() < 0.6:
        entries.append({"kind": "finding", "text": _sentences(rng, 1), "sections": [section]})
    return [{"id": f"e{n}", "at": day, "by": rng.choice(PEOPLE), **entry} for n, entry in enumerate(entries, 1)]


def _part(rng: random.Random, system: System) -> dict[str, Any]:
    section = rng.choice(list(SECTIONS[system]))
    return {
        "kind": "part", "source": "reported", "part": rng.choice(SECTIONS[system][section]), "section": section,
        "position": rng.choice(("", *_POSITIONS)), "purpose": "diagnostic",
        "effect": rng.choice(("unchanged", "better")), "labour_minutes": rng.randint(1, 16) * 15,
        "cost": {"value": rng.randint(8, 900), "currency": "EUR"},
    }  # fmt: skip


def _test(rng: random.Random, name: str, isolates: str, outcomes: tuple[str, ...]) -> dict[str, Any]:
    where, unit = rng.choice(UNITS)
    values = [round(rng.uniform(0.1, 140), 1) for _ in range(rng.randint(0, 2))]
    readings = [{"where": where, "value": value, "unit": unit} for value in values]
    return {
        "kind": "test", "test": name, "isolates": isolates, "outcome": rng.choice(outcomes), "readings": readings,
        "minutes": rng.randint(1, 12) * 5, "text": _sentences(rng, 1),
    }  # fmt: skip


def _ending(rng: random.Random, system: System, section: str, part: str, day: str, state: str) -> dict[str, Any]:
    position = rng.choice(("", *_POSITIONS))
    ending: dict[str, Any] = {
        "cause": {"text": f"{part} {_phrase(rng, 6)}", "section": section, "part": part, "position": position},
        "correction": {"text": _sentences(rng, 1), "parts": [{"part": part, "position": position}]},
        "lesson": _sentences(rng, 1),
    }
    if state in ("proved", "came_back"):
        test = rng.choice(TESTS[system])
        ending["retest"] = [{"id": "r1", "at": day, "test": test[0], "outcome": test[2][-1], "result": "passed"}]
        ending["sign_off"] = {"by": "MH", "role": "lead", "at": day, "result": "proved"}
    return ending


def _sentences(rng: random.Random, count: int) -> str:
    return " ".join(f"{_phrase(rng, rng.randint(8, 15)).capitalize()}." for _ in range(count))


def _phrase(rng: random.Random, count: int) -> str:
    return " ".join(_word(rng) for _ in range(count))


def _word(rng: random.Random) -> str:
    chance = rng.random()
    if chance < 0.03:
        return f"{rng.choice(RARE_STEMS)}{rng.randint(1, 99) * rng.randint(1, 9)}"
    if chance < 0.05:
        return rng.choice(COLOURS)
    return COMMON[bisect_left(_CUMULATED, rng.random() * _CUMULATED[-1])]
