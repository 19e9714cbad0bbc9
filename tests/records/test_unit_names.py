import re

import pytest

from kbapp.records.unit_names import fold_unit, unit_of, unit_pattern
from kbapp.records.units import Unit, units


@pytest.mark.parametrize(
    ("name", "unit_id"),
    [
        ("degC", "degC"),
        ("°C", "degC"),
        ("C", "degC"),
        ("Volts", "V"),
        ("PSI", "psi"),
        ("kpa", "kPa"),
        ("mV", "mV"),
        ("mm", "mm"),
        ("MΩ", "Mohm"),
        ("mΩ", "mohm"),
        ("k\u2126", "kohm"),
        ("\u03bcA", "uA"),
        ("in Hg", "inHg"),
        ("ft-lbs", "lbf_ft"),
        ("N·m", "Nm"),
        ("N⋅m", "Nm"),
        ("delta_degF", "delta_degF"),
        ('"', "in"),
        ("L/min", "L_min"),
        ("%", "percent"),
        ("in.", "in"),
        ("sec.", "s"),
    ],
)
def test_units_by_their_names(name: str, unit_id: str) -> None:
    found = unit_of(name)
    assert found is not None
    assert found.id == unit_id


@pytest.mark.parametrize("name", ["", "v", "a", "M", "parsec", "degrees", "V/m", "k"])
def test_other_words_name_no_unit(name: str) -> None:
    assert unit_of(name) is None


@pytest.mark.parametrize("one", units(), ids=lambda one: one.id)
def test_every_unit_is_known_by_id_and_symbol(one: Unit) -> None:
    assert unit_of(one.id) == one
    if one.dimension != "temperature_difference":
        assert unit_of(one.symbol) == one
        assert re.fullmatch(unit_pattern(), one.symbol)


def test_folding_keeps_offsets() -> None:
    text = "5 k\u2126 and 3 \u03bcA\xa0·"
    assert len(fold_unit(text)) == len(text)
