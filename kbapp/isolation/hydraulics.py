"""Brake hydraulics by first principles: pressure, volume, travel, air. Units: N, mm, MPa, mL."""

import math
from typing import Final

ATMOSPHERE: Final = 0.101325
"""Standard atmosphere in MPa."""


def bore_area(bore_mm: float) -> float:
    """Returns the area of a bore in mm²."""
    return math.pi * bore_mm * bore_mm / 4


def line_pressure(force_n: float, ratio: float, bore_mm: float, boost: float = 1.0) -> float:
    """Returns the line pressure in MPa for a pedal force, pedal ratio and bore; ``boost`` multiplies the rod force."""
    return force_n * ratio * boost / bore_area(bore_mm)


def displaced_volume(travel_mm: float, ratio: float, bore_mm: float) -> float:
    """Returns the fluid displaced by pedal travel in mL."""
    return bore_area(bore_mm) * travel_mm / ratio / 1000


def pedal_travel(volume_ml: float, ratio: float, bore_mm: float) -> float:
    """Returns the pedal travel in mm that displaces a volume."""
    return volume_ml * 1000 * ratio / bore_area(bore_mm)


def piston_stroke(volume_ml: float, piston_mm: float, pistons: int = 1) -> float:
    """Returns the stroke in mm of ``pistons`` equal pistons moved by a volume."""
    return volume_ml * 1000 / (bore_area(piston_mm) * pistons)


def absorbed_by_air(air_ml: float, gauge_mpa: float) -> float:
    """Returns the mL by which air (measured at atmospheric pressure) gives way at a gauge pressure, slowly pressed."""
    return air_ml * (1 - ATMOSPHERE / (ATMOSPHERE + gauge_mpa))


def trapped_air(extra_travel_mm: float, low_mpa: float, high_mpa: float, ratio: float, bore_mm: float) -> float:
    """Returns the air in mL that explains extra pedal travel between two pressures.

    An upper bound: the give of hoses, pads and calipers is counted as air.
    """
    per_ml = absorbed_by_air(1, high_mpa) - absorbed_by_air(1, low_mpa)
    return displaced_volume(extra_travel_mm, ratio, bore_mm) / per_ml
