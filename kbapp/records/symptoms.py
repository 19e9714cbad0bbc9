"""The symptom vocabulary: one term a distinct concern, with its system, the wider concern it belongs to, and its kin.

Common practice. Kin are concerns a technician would want to see beside the one asked for; they are never merged:
a low, a spongy and a sinking pedal are three concerns.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from kbapp.records.vocabulary import System


@dataclass(frozen=True, slots=True)
class Symptom:
    """A term of the vocabulary. ``group`` is the wider concern within its system."""

    term: str
    system: System
    group: str


# system -> wider concern -> terms
_TAXONOMY: Final[dict[System, dict[str, tuple[str, ...]]]] = {
    "brakes_hydraulic": {
        "pedal": ("low pedal", "spongy pedal", "sinking pedal", "hard pedal", "pedal pulsation", "pedal slow to return"),
        "brake drag": ("brake drag", "brakes lock on", "hot wheel"),
        "stopping": ("pulls when braking", "poor braking", "uneven braking"),
        "brake noise": ("brake squeal", "brake grinding"),
        "parking brake": ("parking brake weak", "parking brake will not release"),
        "fluid": ("brake fluid loss", "brake warning lamp on"),
    },
    "abs_stability": {
        "warning": ("ABS lamp on", "stability lamp on", "automated braking unavailable"),
        "false activation": ("ABS acts at low speed", "stability control acts on its own", "automated braking acts on its own"),
        "signal": ("wheel speed signal lost", "speedometer drops out"),
    },
    "steering_suspension": {
        "assist": ("steering assist cuts out", "heavy steering", "steering assist uneven"),
        "tracking": ("pulls to one side", "wanders", "steering wheel off centre", "memory steer"),
        "vibration": ("steering vibration", "body vibration at speed"),
        "noise": ("suspension knock", "steering knock", "wheel bearing noise"),
        "ride": ("sits low at one corner", "uneven tyre wear", "air suspension sinks"),
    },
    "engine_management": {
        "no start": ("cranks but does not start", "hard start cold", "hard start hot", "starts then stalls"),
        "running": ("misfire", "misfire under load", "misfire at idle", "rough idle", "stalls", "hunting idle", "high idle"),
        "power": ("lack of power", "limp mode", "hesitation", "surging", "flat spot"),
        "mixture": ("runs lean", "runs rich", "high fuel consumption"),
        "smoke": ("black smoke", "blue smoke", "white smoke"),
        "exhaust treatment": ("particulate filter blocked", "catalyst efficiency low"),
        "noise": ("engine knock", "timing chain rattle"),
        "warning": ("engine lamp on",),
    },
    "starting_charging": {
        "cranking": ("does not crank", "cranks slowly", "starter clicks", "starter runs on", "intermittent no crank"),
        "battery": ("battery flat overnight", "battery flat after days", "battery boils"),
        "charging": ("charge lamp on", "undercharging", "overcharging", "lights flicker", "charging whine"),
    },
    "body_electrical_network": {
        "network": ("modules do not communicate", "one module does not communicate", "many warning lamps on", "network wakes up on its own"),
        "access": ("central locking fails", "key not recognised", "window does not work", "tailgate does not open"),
        "lamps": ("lamp does not work", "lamps dim", "indicators fast"),
        "instruments": ("instrument cluster dead", "gauge reads wrong"),
        "water": ("water in the cabin", "water in a module"),
        "comfort": ("wipers do not park", "horn does not work", "seat does not move", "radio resets"),
        "restraint": ("airbag lamp on",),
    },
    "hvac_cooling": {
        "overheating": ("overheats in traffic", "overheats under load", "overheats soon after start", "runs too cold"),
        "coolant": ("coolant loss", "coolant pressure high", "oil in the coolant"),
        "cooling air": ("air conditioning not cold", "air conditioning cold on one side", "air conditioning cuts out", "compressor does not engage", "compressor noise"),
        "heating": ("no heat", "heat on one side only"),
        "air flow": ("blower does not work", "blower one speed only", "windows mist up"),
        "fan": ("cooling fan runs on", "cooling fan does not run"),
    },
    "fuel_evap": {
        "evap": ("small leak code", "large leak code", "purge flow fault", "hard to refuel", "fuel smell"),
        "fuel supply": ("low fuel pressure", "fuel pressure drops after stop", "runs out of fuel early", "fuel pump noise"),
        "fuel gauge": ("fuel gauge wrong",),
    },
    "transmission_driveline": {
        "engagement": ("slow to engage", "no drive", "no reverse", "slips", "shift flare"),
        "shifting": ("harsh shift", "stuck in one gear", "will not go into gear", "jumps out of gear"),
        "clutch": ("clutch slips", "clutch drags", "clutch judder", "clutch pedal low"),
        "driveline": ("driveline clunk", "driveline vibration", "transmission whine", "torque converter shudder", "four-wheel drive does not engage"),
        "fluid": ("transmission fluid leak", "transmission overheats"),
    },
    "hybrid_ev": {
        "high voltage": ("insulation fault", "high voltage does not switch on", "ready lamp does not come on"),
        "charging": ("does not charge from the mains", "charges slowly", "charging stops early", "no rapid charging"),
        "battery": ("range short", "battery cells out of balance", "battery too hot"),
        "drive": ("reduced drive power", "no regeneration", "hybrid engine does not start"),
        "12 volt": ("12 volt battery flat", "DC converter does not charge"),
    },
}  # fmt: skip

# Concerns worth showing beside each other although they stand in different groups.
_KIN: Final = (
    ("brake drag", "pulls when braking"), ("brake drag", "hot wheel"), ("pulls when braking", "pulls to one side"),
    ("low pedal", "poor braking"), ("spongy pedal", "poor braking"), ("hard pedal", "poor braking"),
    ("ABS lamp on", "wheel speed signal lost"), ("speedometer drops out", "gauge reads wrong"),
    ("heavy steering", "undercharging"), ("steering assist cuts out", "undercharging"), ("steering vibration", "pedal pulsation"),
    ("misfire", "catalyst efficiency low"), ("misfire", "lack of power"), ("runs lean", "rough idle"), ("runs lean", "low fuel pressure"),
    ("runs lean", "purge flow fault"), ("lack of power", "low fuel pressure"), ("hard start hot", "fuel pressure drops after stop"),
    ("cranks but does not start", "low fuel pressure"), ("cranks but does not start", "key not recognised"),
    ("does not crank", "key not recognised"), ("battery flat overnight", "network wakes up on its own"),
    ("battery flat after days", "network wakes up on its own"), ("battery flat overnight", "undercharging"),
    ("12 volt battery flat", "battery flat overnight"), ("12 volt battery flat", "DC converter does not charge"),
    ("lights flicker", "lamps dim"), ("overheats in traffic", "cooling fan does not run"), ("overheats in traffic", "air conditioning not cold"),
    ("coolant loss", "white smoke"), ("coolant loss", "overheats under load"), ("no heat", "coolant loss"), ("no heat", "runs too cold"),
    ("fuel smell", "small leak code"), ("clutch drags", "will not go into gear"), ("limp mode", "stuck in one gear"),
    ("torque converter shudder", "misfire under load"), ("driveline vibration", "body vibration at speed"),
    ("water in the cabin", "windows mist up"), ("modules do not communicate", "cranks but does not start"),
    ("insulation fault", "ready lamp does not come on"), ("transmission overheats", "overheats under load"),
)  # fmt: skip


@lru_cache(maxsize=1)
def _by_term() -> dict[str, Symptom]:
    return {
        term: Symptom(term, system, group)
        for system, groups in _TAXONOMY.items()
        for group, terms in groups.items()
        for term in terms
    }


@lru_cache(maxsize=1)
def _kin() -> dict[str, frozenset[str]]:
    pairs: dict[str, set[str]] = {term: set() for term in _by_term()}
    for one, other in _KIN:
        pairs[one].add(other)
        pairs[other].add(one)
    return {term: frozenset(others) for term, others in pairs.items()}


def symptoms() -> tuple[Symptom, ...]:
    """Returns every term of the vocabulary in its order."""
    return tuple(_by_term().values())


def symptom(term: str) -> Symptom | None:
    """Returns the vocabulary's entry for a term (letter case ignored), or None for free words."""
    found = _by_term().get(term)
    return found or _lower().get(term.casefold())


@lru_cache(maxsize=1)
def _lower() -> dict[str, Symptom]:
    return {term.casefold(): value for term, value in _by_term().items()}


def symptoms_of(system: str) -> Iterator[Symptom]:
    """Yields the terms of one system."""
    return (value for value in _by_term().values() if value.system == system)


def kinship(one: str, other: str) -> float:
    """Returns how near two terms are: 1 the same, 0.5 the same wider concern, 0.4 named kin, 0 otherwise."""
    a, b = symptom(one), symptom(other)
    if a is None or b is None:
        return 1.0 if one.casefold() == other.casefold() else 0.0
    if a == b:
        return 1.0
    if (a.system, a.group) == (b.system, b.group):
        return 0.5
    return 0.4 if b.term in _kin()[a.term] else 0.0
