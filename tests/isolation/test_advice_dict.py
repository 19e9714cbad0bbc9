import json

import pytest

from kbapp.isolation.advice import advise
from tests.isolation.examples import fitted, make_case, make_map, points, ran, section, seen, situation_map
from tests.isolation.reference_map import reference_map


def test_the_contract() -> None:
    out = advise(make_case(*seen("hlf:a hrf:b hlr:b")), situation_map("S01")).as_dict()
    assert {"sections", "gaps", "next_tests", "guard", "costs", "conflict"} <= set(out)
    by_id = {one["id"]: one for one in out["sections"]}
    assert by_id["lf"]["share"] == pytest.approx(0.744, abs=5e-4)
    assert by_id["lf"]["state"] == "supported"
    assert "not_on_map" in by_id
    first = out["next_tests"][0]
    assert (first["test"], first["minutes"], first["kit_missing"]) == ("all", 8, [])
    assert first["bits"] == pytest.approx(0.263, abs=5e-4)
    assert first["bits_per_minute"] == pytest.approx(first["bits"] / 8)
    assert first["expected_cost"] is None
    assert (out["costs"]["fit_now"], out["costs"]["test_first"], out["conflict"]) == (None, None, None)
    assert [gap["section"] for gap in out["gaps"]] == ["rr", "mc", "hu", "rod"]


def test_it_is_json() -> None:
    case = make_case(
        *seen("hlf:a hrf:b hlr:b hrr:a"),
        fitted("hose", "lf"),
        {"kind": "part", "part": "master cylinder", "section": "mc", "stage": "planned"},
        fitted("wiper"),
    )
    out = advise(case, situation_map("S01")).as_dict()
    assert json.loads(json.dumps(out, allow_nan=False)) == out
    assert out["conflict"]["explanations"] == [["lf", "rr"]]
    assert {warning["rule"] for warning in out["guard"]} >= {"unsupported", "conflict", "cannot_judge"}
    assert all({"rule", "part", "weight"} <= set(warning) for warning in out["guard"])


def test_costs_where_the_map_has_them() -> None:
    out = advise(make_case(), reference_map()).as_dict()
    assert out["costs"]["test_first"] == pytest.approx(min(test["expected_cost"] for test in out["next_tests"]))
    assert out["costs"]["fit_now"] > out["costs"]["test_first"]


def test_reasons_stand_beside_each_section() -> None:
    told = make_map([section("a", parts=[{"id": "p", "name": "p"}]), section("b")], [points("t", "a")])
    out = advise(make_case(ran("t", source="reported"), fitted("p", "a")), told).as_dict()
    a = out["sections"][0]
    assert [one["name"] for one in a["for"]] == ["t"]
    assert [one["name"] for one in a["against"]] == ["p"]
    assert a["for"][0]["ln_ratio"] > 0 > a["against"][0]["ln_ratio"]
    assert out["evidence"][0]["lowered"] == ["reported"]
    assert a["parts"][0]["share"] == pytest.approx(a["share"])


def test_a_substitute_is_named_where_kit_is_missing() -> None:
    substitutes = [{"id": "clamp", "name": "hose clamp", "kit": ["clamp"], "cautions": ["hose_clamp_last_resort"]}]
    told = make_map([section("a"), section("b")], [points("t", "a", kit=["scan tool"], substitutes=substitutes)])
    (test,) = advise(make_case(), told, missing=frozenset({"scan tool"})).as_dict()["next_tests"]
    assert (test["substitute"], test["strength"], test["kit_missing"], test["ready"]) == (
        "clamp",
        "weak",
        ["scan tool"],
        True,
    )
    assert test["cautions"] == ["hose_clamp_last_resort"]
    assert test["substitutes"][0]["strength"] == "weak"
