import json
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.isolation.model import build
from kbapp.isolation.posterior import log_odds, log_posterior, shares
from kbapp.records.section_map import SectionMap
from tests.isolation.examples import by_name, chances, evidence, fitted, look, make_map, points, ran, section, seen
from tests.isolation.examples import situation_map as of_situation
from tests.isolation.reference_map import reference_map
from tests.isolation.situations import SITUATIONS


@pytest.mark.parametrize("name", SITUATIONS)
def test_the_worked_situations(name: str) -> None:
    # [M] trade judgement; shares computed apart from this engine, given to three digits
    told = SITUATIONS[name]
    assert by_name(look(of_situation(name), *seen(told.seen))) == pytest.approx(told.expected, abs=6e-4)


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        # [L] the worked check of the low pedal situation
        ("hlf:a hrf:b hlr:b", {"lf": 0.744, "rr": 0.083}),
        ("hlf:a hrf:b hlr:b all:b", {"lf": 0.842}),
        ("hlf:a hrf:b hlr:b all:b hrr:b", {"lf": 0.918}),
        ("hlf:a hrf:b hlr:b hrr:a", {"lf": 0.448, "rr": 0.448}),
        ("hlf:a hrf:b hlr:b all:b hrr:a", {"lf": 0.4815, "rr": 0.4815}),
    ],
)
def test_the_low_pedal_step_by_step(words: str, expected: dict[str, float]) -> None:
    found = by_name(look(of_situation("S01"), *seen(words)))
    assert {name: found[name] for name in expected} == pytest.approx(expected, abs=5e-4)


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        # [L] reference brake map (invented parameters, figures computed by an independent program)
        ("T1:no", {"MC": 0.458412098, "HU": 0.275047259, "not_on_map": 0.132325142}),
        ("T1:no T6:yes", {"MC": 0.780230584, "HU": 0.182053803}),
        ("T1:no T2:no T6:yes", {"MC": 0.960031290}),
    ],
)
def test_the_reference_brake_map(words: str, expected: dict[str, float]) -> None:
    found = by_name(look(reference_map(), *seen(words)))
    assert {name: found[name] for name in expected} == pytest.approx(expected, abs=1e-9)


def test_a_part_replaced_in_vain_on_the_reference_map() -> None:
    # [L] as above
    after_tests = by_name(look(reference_map(), *seen("T1:no T6:yes"), fitted("MC part", "MC")))
    assert {n: after_tests[n] for n in ("HU", "MC")} == pytest.approx({"HU": 0.773465978, "MC": 0.066297084}, abs=1e-9)
    at_once = by_name(look(reference_map(), fitted("MC part", "MC")))
    expected = {"MC": 0.006622517, "HU": 0.198675497, "RR": 0.172185430}
    assert {n: at_once[n] for n in expected} == pytest.approx(expected, abs=1e-9)


def test_two_parts_of_one_section_rule_out_their_shares_together() -> None:
    circuit = section("a", 1, parts=[{"id": "hose", "name": "hose"}, {"id": "caliper", "name": "caliper"}])
    told = make_map([circuit, section("b", 1)], not_on_map=1)
    # 1 − .98·(½ + ½), not (1 − .98·½)²
    both = by_name(look(told, fitted("hose", "a"), fitted("caliper", "a")))
    assert both["a"] == pytest.approx(0.02 / 2.02)
    one = by_name(look(told, fitted("hose", "a")))
    assert one["a"] == pytest.approx(0.51 / 2.51)


def _random_map() -> SectionMap:
    rng = np.random.default_rng(4)
    names = [f"s{n}" for n in range(6)]
    tests = []
    for n in range(4):
        low = rng.uniform(0.02, 0.98, 7)
        table = {key: float(value) for key, value in zip([*names, "not_on_map"], low, strict=True)}
        tests.append(chances(f"t{n}", {"yes": table, "no": {key: 1 - value for key, value in table.items()}}))
    tests.append(points("g1", "s0", "s1", group="gauge"))
    tests.append(points("g2", "s1", "s2", group="gauge"))
    return make_map([section(name, float(rng.uniform(1, 9))) for name in names], tests)


MAP = _random_map()
LINES = st.lists(
    st.tuples(st.sampled_from([test.id for test in MAP.tests]), st.sampled_from(["yes", "no"])),
    unique_by=lambda line: line[0],
    max_size=6,
)


@settings(max_examples=60)
@given(LINES, st.randoms(use_true_random=False))
def test_shares_sum_to_one_whatever_the_order_of_the_evidence(lines: list[tuple[str, str]], random: object) -> None:
    model = build(MAP)
    mixed = list(lines)
    random.shuffle(mixed)  # type: ignore[attr-defined]
    one = shares(model, evidence(model, *(ran(*line) for line in lines)).results)
    other = shares(model, evidence(model, *(ran(*line) for line in mixed)).results)
    assert float(one.sum()) == pytest.approx(1, abs=1e-12)
    assert one == pytest.approx(other, abs=1e-12)


@settings(max_examples=40)
@given(LINES)
def test_relabelling_sections_changes_nothing(lines: list[tuple[str, str]]) -> None:
    plain = MAP.plain()
    text = json.dumps(plain)
    for n in range(6):
        text = text.replace(f'"s{n}"', f'"r{5 - n}"')
    other = SectionMap.model_validate_json(text)
    mine = by_name(look(MAP, *(ran(*line) for line in lines)))
    theirs = by_name(look(other, *(ran(*line) for line in lines)))
    assert all(mine[f"s{n}"] == pytest.approx(theirs[f"r{5 - n}"], abs=1e-12) for n in range(6))


@settings(max_examples=40)
@given(LINES, st.sampled_from(["strong", "weak"]))
def test_a_result_for_a_section_never_lowers_it(lines: list[tuple[str, str]], strength: str) -> None:
    before = [line for line in lines if line[0] not in ("g1", "g2")]
    one = by_name(look(MAP, *(ran(*line) for line in before)))
    other = by_name(look(MAP, *(ran(*line) for line in before), ran("g1", "yes", strength=strength)))
    assert other["s0"] >= one["s0"]
    assert other["s5"] <= one["s5"]


def test_log_odds_hold_near_zero_and_one() -> None:
    log_shares = np.array([math.log1p(-1e-20), math.log(1e-20)])
    assert log_odds(log_shares) == pytest.approx([46.0517018598809, -46.0517018598809])


def test_no_evidence_leaves_the_priors() -> None:
    model = build(MAP)
    assert log_posterior(model, ()) == pytest.approx(model.log_prior)
