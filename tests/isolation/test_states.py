import numpy as np
import pytest

from kbapp.isolation.model import build
from kbapp.isolation.states import bayes_factors
from tests.isolation.examples import evidence, fitted, look, make_map, points, ran, section, seen, situation_map
from tests.isolation.reference_map import reference_map


@pytest.mark.parametrize(
    ("words", "factor"),
    [("T1:no", 2.539), ("T1:no T6:yes", 10.651), ("T1:no T2:no T6:yes", 72.059)],
)
def test_bayes_factors_of_the_reference_map(words: str, factor: float) -> None:
    # [L] reference brake map
    model = build(reference_map())
    found = bayes_factors(model, evidence(model, *seen(words)))
    assert float(found[model.index["MC"]]) == pytest.approx(factor, abs=5e-4)


def test_the_low_pedal_states() -> None:
    found = look(situation_map("S01"), *seen("hlf:a hrf:b hlr:b all:b"))
    states = dict(zip(found.model.hypotheses, found.states, strict=True))
    assert states == {
        "mc": "clear", "rod": "clear", "hu": "clear", "lf": "supported", "rf": "clear", "lr": "clear",
        "rr": "untested", "not_on_map": "untested",
    }  # fmt: skip


def test_ties_lead_together_and_untested_sections_stay_untested() -> None:
    found = look(situation_map("S01"))
    states = dict(zip(found.model.hypotheses, found.states, strict=True))
    assert {name for name, state in states.items() if state == "leading"} == {"lf", "rf", "lr", "rr"}
    assert states["mc"] == "untested"


def test_a_high_share_from_the_prior_alone_is_not_supported() -> None:
    told = make_map([section("a", 90), section("b", 5)], [points("t", "a", strength="weak")], not_on_map=5)
    found = look(told, ran("t"))
    assert found.share("a") > 0.9
    assert found.state("a") == "leading"


def test_parts_fitted_in_vain_support_nothing() -> None:
    told = make_map([section("a", 49, parts=[{"id": "p", "name": "p"}]), section("b", 49)], not_on_map=2)
    found = look(told, fitted("p", "a"))
    assert found.share("b") > 0.9
    assert found.state("b") == "leading"
    assert found.state("a") == "untested"


def test_a_weak_result_clears_nothing() -> None:
    sections = [section("a", 4), section("b", 96)]
    strong = look(make_map(sections, [points("t", "a")]), ran("t", "no"))
    weak = look(make_map(sections, [points("t", "a", strength="weak")]), ran("t", "no"))
    assert (strong.state("a"), weak.state("a")) == ("clear", "open")


def test_not_on_this_map_is_never_clear() -> None:
    told = make_map([section("a", 50), section("b", 50)], [points("t", "a"), points("u", "a", "b")], not_on_map=0.1)
    found = look(told, ran("t"), ran("u"))
    assert found.share("not_on_map") < 0.05
    assert found.state("not_on_map") != "clear"


def test_supported_needs_three_times_the_next() -> None:
    told = make_map(
        [section("a"), section("b"), section("c")], [points("t", "a"), points("u", "a", "b")], not_on_map=0.1
    )
    found = look(told, ran("t"), ran("u"))
    assert found.share("a") >= 0.7
    assert found.share("a") >= 3 * found.share("b")
    assert found.state("a") == "supported"
    assert np.isclose(found.shares.sum(), 1)
