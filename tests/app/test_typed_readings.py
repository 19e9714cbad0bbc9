import pytest

from kbapp.app.typed_readings import typed_reading


@pytest.mark.parametrize(
    ("text", "unit", "value", "kept"),
    [
        ("104", "degC", 104, "degC"),
        ("0,5", "V", 0.5, "V"),
        ("11.8V", "V", 11.8, "V"),
        ("2 bar", "kPa", 200, "kPa"),
        ("52 psi", "", 52, "psi"),
        ("52 psi", "degC", 52, "psi"),
        ("open circuit", "ohm", "open circuit", ""),
    ],
)
def test_a_field_becomes_a_reading(text: str, unit: str, value: float | str, kept: str) -> None:
    reading = typed_reading(text, "inlet", unit, 2)
    assert reading is not None
    assert (reading.value, reading.unit, reading.where, reading.repeat) == (value, kept, "inlet", 2)


def test_a_blank_field_is_no_reading() -> None:
    assert typed_reading("  ", "inlet", "V", 1) is None
