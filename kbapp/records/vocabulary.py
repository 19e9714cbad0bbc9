"""The fixed vocabularies: systems, states of a case, positions with their mirror kin, usual conditions."""

from typing import Final, Literal, get_args

System = Literal[
    "brakes_hydraulic",
    "abs_stability",
    "steering_suspension",
    "engine_management",
    "starting_charging",
    "body_electrical_network",
    "hvac_cooling",
    "fuel_evap",
    "transmission_driveline",
    "hybrid_ev",
]
State = Literal["open", "repaired", "proved", "came_back", "withdrawn"]

SYSTEMS: Final[tuple[System, ...]] = get_args(System)
STATES: Final[tuple[State, ...]] = get_args(State)
POSITIONS: Final = ("LF", "RF", "LR", "RR", "front", "rear", "left", "right")

_MIRROR: Final = {"LF": "RF", "RF": "LF", "LR": "RR", "RR": "LR", "left": "right", "right": "left"}
_AXLE: Final = {"LF": "front", "RF": "front", "LR": "rear", "RR": "rear"}
_SIDE: Final = {"LF": "left", "LR": "left", "RF": "right", "RR": "right"}

# Common practice: the circumstances a technician asks about, in the words of the trade.
CONDITIONS: Final = (
    "cold start", "hot start", "cold engine", "warm engine", "hot engine", "idle", "in traffic", "steady cruise", "motorway speed",
    "under load", "uphill", "towing", "accelerating", "decelerating", "braking", "cornering left", "cornering right",
    "full lock", "parking", "reversing", "rough road", "wet weather", "after rain", "after washing", "hot day", "cold day",
    "frost", "after standing overnight", "after standing for days", "after refuelling", "low fuel", "while charging",
    "air conditioning on", "all loads on", "intermittent", "constant", "after recent work", "after a jump start",
)  # fmt: skip


def mirror_position(position: str) -> str | None:
    """Returns the position on the other side of the vehicle (LF for RF), or None where there is none."""
    return _MIRROR.get(position)


def are_mirror_kin(one: str, other: str) -> bool:
    """Returns whether two positions mirror each other left to right (same axle)."""
    return _MIRROR.get(one) == other


def axle_of(position: str) -> str | None:
    """Returns ``front`` or ``rear`` for a wheel position, or None."""
    return _AXLE.get(position, position if position in ("front", "rear") else None)


def side_of(position: str) -> str | None:
    """Returns ``left`` or ``right`` for a wheel position, or None."""
    return _SIDE.get(position, position if position in ("left", "right") else None)
