"""Agreement with pgmpy's exact inference on random maps: a hypothesis node and a child per test."""

import warnings

import numpy as np
import pytest

from kbapp.isolation.model import build
from kbapp.isolation.posterior import shares
from tests.isolation.examples import chances, evidence, make_map, ran, section

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from pgmpy.factors.discrete import TabularCPD
    from pgmpy.inference import VariableElimination
    from pgmpy.models import DiscreteBayesianNetwork

pytestmark = [pytest.mark.outside, pytest.mark.filterwarnings("ignore")]


@pytest.mark.parametrize("seed", range(5))
def test_shares_agree_with_pgmpy(seed: int) -> None:
    rng = np.random.default_rng(seed)
    names = [f"s{n}" for n in range(5)]
    hypotheses = [*names, "not_on_map"]
    tests, tables = [], {}
    for t in range(4):
        table = rng.dirichlet(np.full(2 + t % 2, 2.0), size=6).T.clip(0.02)
        table /= table.sum(axis=0)
        tables[f"t{t}"] = table
        rows = {f"o{o}": dict(zip(hypotheses, map(float, row), strict=True)) for o, row in enumerate(table)}
        tests.append(chances(f"t{t}", rows))
    priors = rng.uniform(1, 9, size=6)
    told = make_map(
        [section(name, float(p)) for name, p in zip(names, priors, strict=False)], tests, not_on_map=float(priors[-1])
    )
    seen = {name: int(rng.integers(len(table))) for name, table in tables.items() if rng.random() < 0.8}

    network = DiscreteBayesianNetwork([("cause", name) for name in tables])
    network.add_cpds(TabularCPD("cause", 6, (priors / priors.sum())[:, None]))
    network.add_cpds(*(TabularCPD(n, len(table), table, ["cause"], [6]) for n, table in tables.items()))
    expected = VariableElimination(network).query(["cause"], evidence=seen, show_progress=False).values

    model = build(told)
    found = shares(model, evidence(model, *(ran(name, f"o{o}") for name, o in seen.items())).results)
    assert found == pytest.approx(expected, abs=1e-9)


def test_the_chest_clinic() -> None:
    # Lauritzen & Spiegelhalter 1988, tables of the BUGS example page [S], posteriors [L]: pgmpy agrees with them,
    # and so does the engine with the network's causes as hypotheses of one test.
    network = DiscreteBayesianNetwork([("tub", "either"), ("lung", "either"), ("either", "xray")])
    network.add_cpds(
        TabularCPD("tub", 2, [[0.9896], [0.0104]]),
        TabularCPD("lung", 2, [[0.945], [0.055]]),
        TabularCPD("either", 2, [[1, 0, 0, 0], [0, 1, 1, 1]], ["tub", "lung"], [2, 2]),
        TabularCPD("xray", 2, [[0.95, 0.02], [0.05, 0.98]], ["either"], [2]),
    )
    inference = VariableElimination(network)
    assert inference.query(["xray"], show_progress=False).values[1] == pytest.approx(0.11029004)
    joint = inference.query(["tub", "lung"], show_progress=False).values
    weights = {"tub": joint[1, 0], "lung": joint[0, 1], "both": joint[1, 1], "not_on_map": joint[0, 0]}
    names = ("tub", "lung", "both")
    shadow = {**dict.fromkeys(names, 0.98), "not_on_map": 0.05}
    clear = {name: 1 - value for name, value in shadow.items()}
    told = make_map(
        [section(name, float(weights[name])) for name in names],
        [chances("xray", {"yes": shadow, "no": clear})],
        not_on_map=float(weights["not_on_map"]),
    )
    model = build(told)
    found = dict(zip(model.hypotheses, shares(model, evidence(model, ran("xray")).results), strict=True))
    assert found["tub"] + found["both"] == pytest.approx(0.0924108832, abs=1e-9)
    assert found["lung"] + found["both"] == pytest.approx(0.4887114013, abs=1e-9)
