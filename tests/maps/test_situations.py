"""Shipped maps against worked situations of the trade: weights, tests and what the evidence comes to.

Source of every figure here: common practice (rough trade judgement); the shares follow by single-fault Bayes with
strong = .9/.1 and are rounded to three places, hence the tolerance.
"""

from dataclasses import dataclass

import pytest

from kbapp.maps.shipped import shipped_map
from kbapp.records.likelihood import likelihoods, stated_strength
from kbapp.records.section_map import SectionMap


@dataclass(frozen=True)
class Situation:
    """A worked situation: priors in the map's order, tests (sections pointed to, minutes), evidence and shares."""

    map_id: str
    priors: dict[str, float]
    tests: dict[str, tuple[set[str], float]]  # test -> sections pointed to, set-up + run (+ wait for sleep) in minutes
    seen: tuple[tuple[str, str], ...]
    shares: dict[str, float]


SITUATIONS = (
    Situation(
        "brake-low-pedal",
        {"mc": 12, "rod": 7, "hu": 8, "lf": 17, "rf": 17, "lr": 17, "rr": 17, "not_on_map": 5},
        {"hold_all": ({"mc", "rod", "hu"}, 8), "hold_lf": ({"lf"}, 8), "hold_rf": ({"rf"}, 8), "hold_lr": ({"lr"}, 8),
         "hold_rr": ({"rr"}, 8), "plug_master": ({"mc", "rod"}, 20)},
        (("hold_lf", "big"), ("hold_rf", "little"), ("hold_lr", "little"), ("hold_all", "high")),
        {"mc": 0.007, "rod": 0.004, "hu": 0.005, "lf": 0.842, "rf": 0.010, "lr": 0.010, "rr": 0.094,
         "not_on_map": 0.028},
    ),
    Situation(
        "brake-pedal-sinks",
        {"mc": 45, "dump": 15, "lf": 8, "rf": 8, "rear": 14, "bst": 5, "not_on_map": 5},
        {"plug_master": ({"mc"}, 18), "hold_all": ({"dump", "lf", "rf", "rear"}, 8), "dry_level": ({"lf", "rf",
         "rear"}, 15)},
        (("plug_master", "firm"), ("hold_all", "stops"), ("dry_level", "dry")),
        {"mc": 0.028, "dump": 0.750, "lf": 0.044, "rf": 0.044, "rear": 0.078, "bst": 0.028, "not_on_map": 0.028},
    ),
    Situation(
        "steering-assist",
        {"bat": 20, "feed": 15, "gnd": 15, "gear": 25, "bind": 10, "net": 10, "not_on_map": 5},
        {"feed_drop": ({"feed"}, 10), "ground_drop": ({"gnd"}, 6), "battery_volts": ({"bat"}, 4),
         "turn_effort": ({"bind"}, 12)},
        (("feed_drop", "low"), ("ground_drop", "high"), ("battery_volts", "high"), ("turn_effort", "smooth")),
        {"bat": 0.012, "feed": 0.009, "gnd": 0.750, "gear": 0.139, "bind": 0.006, "net": 0.056, "not_on_map": 0.028},
    ),
    Situation(
        "lean-running",
        {"vac": 30, "purge": 15, "maf": 20, "fuel": 15, "exh": 10, "pcv": 5, "not_on_map": 5},
        {"trim_idle_load": ({"vac", "purge", "pcv"}, 8), "plug_purge": ({"purge"}, 6), "plug_vent": ({"pcv"}, 6),
         "smoke_intake": ({"vac"}, 18)},
        (("trim_idle_load", "idle_only"), ("plug_purge", "falls"), ("plug_vent", "same"), ("smoke_intake", "none")),
        {"vac": 0.023, "purge": 0.935, "maf": 0.015, "fuel": 0.012, "exh": 0.008, "pcv": 0.004, "not_on_map": 0.004},
    ),
    Situation(
        "parasitic-draw",
        {"alt": 15, "cab": 25, "door": 15, "aud": 20, "trl": 10, "bat": 10, "not_on_map": 5},
        # 5 of them shared set-up
        {"base": ({"alt", "cab", "door", "aud", "trl"}, 50), "fuse_drops": ({"cab", "door"}, 20),
         "latch_by_hand": ({"door"}, 47), "alternator_off": ({"alt"}, 15)},
        (("base", "high"), ("fuse_drops", "cabin"), ("latch_by_hand", "goes"), ("alternator_off", "stays")),
        {"alt": 0.001, "cab": 0.153, "door": 0.825, "aud": 0.014, "trl": 0.007, "bat": 0.001, "not_on_map": 0.000},
    ),
    Situation(
        "network-down",
        {"trunk": 20, "rear": 20, "gate": 15, "front": 20, "pow": 15, "term": 5, "not_on_map": 5},
        {"bus_ohms": ({"term", "trunk"}, 12), "unplug_rear": ({"rear"}, 13), "unplug_front": ({"front"}, 13),
         "feed_ground_lamp": ({"pow"}, 15)},
        (("bus_ohms", "right"), ("unplug_rear", "returns"), ("unplug_front", "still_down"),
         ("feed_ground_lamp", "good")),
        {"trunk": 0.011, "rear": 0.871, "gate": 0.073, "front": 0.011, "pow": 0.008, "term": 0.003,
         "not_on_map": 0.024},
    ),
    Situation(
        "engine-overheating",
        {"fan": 25, "flow": 15, "thermostat": 20, "radiator": 20, "gas": 10, "cap": 5, "not_on_map": 5},
        {"command_fan": ({"fan"}, 5), "radiator_spread": ({"flow", "thermostat"}, 11),
         "thermostat_out": ({"fan", "flow", "radiator", "gas"}, 45), "cap_pressure": ({"cap"}, 10)},
        (("command_fan", "full_speed"), ("radiator_spread", "cold_outlet"), ("thermostat_out", "still_hot"),
         ("gas_test", "negative"), ("cap_pressure", "holds")),
        {"fan": 0.015, "flow": 0.752, "thermostat": 0.111, "radiator": 0.111, "gas": 0.006, "cap": 0.000,
         "not_on_map": 0.003},
    ),
    Situation(
        "evap-leak",
        {"cap": 20, "neck": 12, "tank": 18, "can": 20, "line": 10, "purge": 15, "not_on_map": 5},
        {"smoke_shut": ({"cap", "neck", "tank", "can", "line"}, 20), "plug_canister": ({"can", "purge"}, 14),
         "purge_vacuum": ({"purge"}, 7), "neck_sealed": ({"neck", "cap"}, 13), "cap_tester": ({"cap"}, 5)},
        (("smoke_shut", "leaks"), ("plug_canister", "stays"), ("purge_vacuum", "holds"), ("neck_sealed", "gone"),
         ("cap_tester", "holds")),
        {"cap": 0.126, "neck": 0.680, "tank": 0.113, "can": 0.014, "line": 0.063, "purge": 0.000, "not_on_map": 0.003},
    ),
)  # fmt: skip
EACH = pytest.mark.parametrize("situation", SITUATIONS, ids=[s.map_id for s in SITUATIONS])


def _shares(section_map: SectionMap, seen: tuple[tuple[str, str], ...]) -> dict[str, float]:
    weights = [*(section.prior for section in section_map.sections), section_map.not_on_map]
    for test_id, outcome_id in seen:
        test = section_map.test(test_id)
        assert test is not None
        row = likelihoods(section_map, test)[[outcome.id for outcome in test.outcomes].index(outcome_id)]
        weights = [weight * chance for weight, chance in zip(weights, row, strict=True)]
    return {name: weight / sum(weights) for name, weight in zip(section_map.hypotheses(), weights, strict=True)}


@EACH
def test_priors_are_those_of_the_situation(situation: Situation) -> None:
    section_map = shipped_map(situation.map_id)
    assert {name: weight / 100 for name, weight in situation.priors.items()} == pytest.approx(_shares(section_map, ()))


@EACH
def test_tests_split_and_take_as_long_as_in_the_situation(situation: Situation) -> None:
    section_map = shipped_map(situation.map_id)
    for test_id, (pointed, minutes) in situation.tests.items():
        test = section_map.test(test_id)
        assert test is not None, test_id
        assert set(test.outcomes[0].points_to or ()) == pointed, test_id
        assert stated_strength(test) == "strong"
        sleep = test.wait_minutes if situation.map_id == "parasitic-draw" else 0
        assert test.setup_minutes + test.run_minutes + sleep == minutes, test_id


@EACH
def test_the_evidence_comes_to_the_worked_shares(situation: Situation) -> None:
    shares = _shares(shipped_map(situation.map_id), situation.seen)
    assert shares == pytest.approx(situation.shares, abs=6e-4)


def test_a_low_pedal_after_three_holds() -> None:
    # lf .17·.9³; rf, lr .17·.1²·.9 each; rr .17·.1·.9²; elsewhere .1·.9²: common practice weights.
    seen = (("hold_lf", "big"), ("hold_rf", "little"), ("hold_lr", "little"))
    shares = _shares(shipped_map("brake-low-pedal"), seen)
    assert shares["lf"] == pytest.approx(0.744, abs=5e-4)
    assert shares["rr"] == pytest.approx(0.083, abs=5e-4)


def test_a_faint_gas_test_changes_nothing() -> None:
    section_map = shipped_map("engine-overheating")
    assert _shares(section_map, (("gas_test", "faint"),)) == pytest.approx(_shares(section_map, ()))


def test_the_overheating_map_is_the_one_outside_cases_name() -> None:
    section_map = shipped_map("engine-overheating")
    assert section_map.version == 1
    assert [s.id for s in section_map.sections] == ["fan", "flow", "thermostat", "radiator", "gas", "cap"]
    outcomes = {t.id: [o.id for o in t.outcomes] for t in section_map.tests}
    assert outcomes["command_fan"] == ["slow_or_none", "full_speed"]
    assert outcomes["radiator_spread"] == ["cold_outlet", "normal_spread"]
    assert outcomes["thermostat_out"] == ["still_hot", "cured"]
    assert outcomes["gas_test"] == ["positive", "faint", "negative"]
    assert outcomes["cap_pressure"] == ["fails", "holds"]
