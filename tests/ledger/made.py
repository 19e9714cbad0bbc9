"""Cases made at random with everything the ledger must tell apart: the same seed gives the same cases."""

import random
from collections.abc import Iterator
from typing import Any

from kbapp.records.case import Case
from tests.ledger.books import case_id, fitted, job, tried

PARTS = ("Hose", "hose", "caliper", "pump", "sensor  wire", "sensor wire")
TESTS = ("clamp all", "Clamp all", "pressure", "look")


def made_cases(count: int, seed: int) -> Iterator[Case]:
    """Yields cases of few vehicles, with all states, purposes, currencies, gaps and ties."""
    rng = random.Random(seed)
    for n in range(1, count + 1):
        yield job(n, *_timeline(rng), cause=rng.choice(("hose", "caliper", "pump")), **_fields(rng, n, count))


def _timeline(rng: random.Random) -> list[dict[str, Any]]:
    return [_part(rng) if rng.random() < 0.55 else _test(rng) for _ in range(rng.randint(0, 6))]


def _part(rng: random.Random) -> dict[str, Any]:
    return fitted(
        rng.choice(PARTS),
        rng.choice(("unchanged", "unchanged", "worse", "gone", "better", "not_checked")),
        rng.choice((None, 10.0, 99.5, 400)),
        currency=rng.choice(("EUR", "EUR", "CHF")),
        stage=rng.choice(("fitted", "fitted", "fitted", "planned", "removed")),
        purpose=rng.choice(("diagnostic", "diagnostic", "diagnostic", "maintenance", "request")),
        source=rng.choice(("own", "reported")),
        position=rng.choice(("", "LF", "RR")),
        **({"at": f"2025-{rng.randint(1, 4):02d}"} if rng.random() < 0.7 else {}),
    )


def _test(rng: random.Random) -> dict[str, Any]:
    line = tried(
        rng.choice(TESTS), rng.choice(("bad", "good", "")), rng.choice(("front", "", "Baseline")),
        status=rng.choice(("done", "done", "unclear", "unable")), source=rng.choice(("own", "own", "reported")),
        strength=rng.choice(("strong", "weak", "none")),
    )  # fmt: skip
    if rng.random() < 0.3:
        del line["minutes"]
    return line


def _fields(rng: random.Random, n: int, count: int) -> dict[str, Any]:
    state = rng.choices(("proved", "repaired", "open", "came_back", "withdrawn"), (70, 8, 8, 8, 6))[0]
    fields: dict[str, Any] = {
        "state": state,
        "opened": rng.choice((None, f"2025-{rng.randint(1, 12):02d}-{rng.randint(1, 28):02d}")),
        "vehicle_ref": rng.choice(("", f"v{rng.randint(1, count // 3)}")),
        "retest": [{"id": "r1", "result": "passed"}] if rng.random() < 0.8 else [],
        "links": _links(rng, n, count, state),
    }
    if rng.random() < 0.3:
        fields["sign_off"] = {"by": "MH", "at": "2025-06"}
    return fields


def _links(rng: random.Random, n: int, count: int, state: str) -> list[dict[str, str]]:
    chance = rng.random()
    others = [other for other in range(1, count + 1) if other != n]
    if state == "came_back" and chance < 0.7:
        return [{"kind": "came_back_as", "case": case_id(rng.choice([*others, count + 1]))}]
    if chance < 0.06:
        return [{"kind": "same_as", "case": case_id(rng.choice(others))}]
    return [{"kind": "supersedes", "case": case_id(rng.choice(others))}] if chance > 0.97 else []
