import pytest

from kbapp.isolation.hydraulics import (
    absorbed_by_air,
    bore_area,
    displaced_volume,
    line_pressure,
    pedal_travel,
    piston_stroke,
    trapped_air,
)

RATIO, BORE = 4.0, 23.81
PSI = 0.006894757
LBF, INCH = 4.448222, 25.4


@pytest.mark.parametrize(("force", "pressure"), [(65, 0.5839), (150, 1.3475), (300, 2.6951), (500, 4.4918)])
def test_line_pressure(force: float, pressure: float) -> None:
    # [L] first principles
    assert line_pressure(force, RATIO, BORE) == pytest.approx(pressure, abs=5e-5)


@pytest.mark.parametrize(("bore", "psi"), [(1.0, 763.94), (1.125, 603.6)])
def test_pressure_in_us_units(bore: float, psi: float) -> None:
    # [L] 100 lbf, ratio 6; public calculators say about 760 and 604 [S]
    assert line_pressure(100 * LBF, 6, bore * INCH) / PSI == pytest.approx(psi, abs=0.05)


def test_volume_and_strokes() -> None:
    # [L] 10 mm of pedal
    assert bore_area(BORE) == pytest.approx(445.255, abs=5e-4)
    volume = displaced_volume(10, RATIO, BORE)
    assert volume == pytest.approx(1.1131, abs=5e-5)
    assert piston_stroke(volume, 57.15) == pytest.approx(0.4339, abs=5e-5)
    assert piston_stroke(volume, 38.1) == pytest.approx(0.9764, abs=5e-5)
    assert piston_stroke(volume, 38.1, pistons=2) == pytest.approx(0.4882, abs=5e-5)


@pytest.mark.parametrize(
    ("gauge", "absorbed", "travel"), [(0.5, 0.8315, 7.470), (1, 0.9080, 8.157), (3, 0.9673, 8.690)]
)
def test_one_millilitre_of_air(gauge: float, absorbed: float, travel: float) -> None:
    # [L]
    assert absorbed_by_air(1, gauge) == pytest.approx(absorbed, abs=5e-5)
    assert pedal_travel(absorbed_by_air(1, gauge), RATIO, BORE) == pytest.approx(travel, abs=1e-3)


def test_air_from_extra_travel_is_an_upper_bound() -> None:
    # [L] 8 mm between .5 and 3 MPa
    assert trapped_air(8, 0.5, 3, RATIO, BORE) == pytest.approx(6.556, abs=5e-4)
