# ruff: noqa: E501 - tables read best a line each
"""What to ask on the phone: a short list of questions for each wider concern of the vocabulary.

Common practice. A question is an id; its words stand in ``kbapp.wording.triage_words``. A good question splits: its
answer moves suspicion from one section to another, or says that a test can be done by the caller.
"""

from collections.abc import Iterable
from typing import Final

from kbapp.records.symptoms import symptom
from kbapp.records.vocabulary import System

Group = tuple[System, str]

QUESTIONS: Final[dict[Group, tuple[str, ...]]] = {
    ("brakes_hydraulic", "pedal"): ("pedal_pumped", "pedal_held", "pedal_engine_off", "fluid_level", "brakes_opened", "pedal_hot"),
    ("brakes_hydraulic", "brake drag"): ("drag_wheel", "drag_frees", "drag_hot", "brakes_opened", "parking_brake_used"),
    ("brakes_hydraulic", "stopping"): ("pull_side", "pull_hard_or_light", "tyres_changed", "brakes_opened"),
    ("brakes_hydraulic", "brake noise"): ("noise_speed", "noise_braking", "pads_fitted", "noise_reverse"),
    ("brakes_hydraulic", "parking brake"): ("parking_brake_kind", "parking_brake_side", "parking_brake_adjusted"),
    ("brakes_hydraulic", "fluid"): ("fluid_where", "fluid_level", "brakes_opened"),
    ("abs_stability", "warning"): ("lamp_when", "codes_before_clearing", "lamp_returns", "wheel_work"),
    ("abs_stability", "false activation"): ("acts_speed", "acts_braking", "tyres_changed", "wheel_work"),
    ("abs_stability", "signal"): ("signal_wheel", "wheel_work", "signal_wet"),
    ("steering_suspension", "assist"): ("assist_when", "assist_voltage", "steering_lamp", "steering_work"),
    ("steering_suspension", "tracking"): ("pull_side", "tyres_swapped", "alignment_printed", "steering_work"),
    ("steering_suspension", "vibration"): ("vibration_speed", "vibration_braking", "vibration_coasting", "tyres_changed"),
    ("steering_suspension", "noise"): ("knock_bump_or_turn", "knock_side", "steering_work"),
    ("engine_management", "no start"): ("cranks_speed", "start_cold_hot", "start_spray", "fuel_gauge", "security_lamp", "codes_before_clearing"),
    ("engine_management", "running"): ("misfire_cylinder", "misfire_load", "start_cold_hot", "swapped_moved", "codes_before_clearing"),
    ("engine_management", "power"): ("power_gear", "power_boost_noise", "power_reset", "codes_before_clearing"),
    ("engine_management", "mixture"): ("trims_idle_and_cruise", "air_leak_checked", "codes_before_clearing"),
    ("engine_management", "smoke"): ("smoke_when", "smoke_oil_coolant", "recent_service"),
    ("engine_management", "exhaust treatment"): ("journeys", "soot_reading", "codes_before_clearing"),
    ("engine_management", "noise"): ("noise_cold_hot", "noise_revs", "oil_level"),
    ("starting_charging", "cranking"): ("crank_sound", "crank_jump", "battery_age", "lights_while_cranking", "ground_checked"),
    ("starting_charging", "battery"): ("flat_after", "battery_age", "retrofit", "sleep_measured", "charging_measured"),
    ("starting_charging", "charging"): ("charging_measured", "charge_lamp", "belt", "battery_age"),
    ("body_electrical_network", "network"): ("network_which", "network_key", "water_in", "retrofit", "battery_disconnected"),
    ("body_electrical_network", "access"): ("access_which", "access_both_keys", "water_in"),
    ("body_electrical_network", "lamps"): ("lamp_side", "lamp_supply", "retrofit"),
    ("body_electrical_network", "water"): ("water_when", "water_side", "glass_or_seal_work"),
    ("hvac_cooling", "overheating"): ("hot_when", "hot_fan", "coolant_level", "cooling_opened", "heater_hot"),
    ("hvac_cooling", "coolant"): ("coolant_rate", "coolant_where", "coolant_pressure_cold", "cooling_opened"),
    ("hvac_cooling", "cooling air"): ("air_pressures", "air_compressor", "air_refilled", "air_fan"),
    ("hvac_cooling", "heating"): ("heater_hoses", "coolant_level", "cooling_opened"),
    ("fuel_evap", "evap"): ("cap_fits", "tank_level", "evap_smell", "codes_before_clearing"),
    ("fuel_evap", "fuel supply"): ("fuel_pressure_read", "fuel_gauge", "filter_age", "codes_before_clearing"),
    ("transmission_driveline", "engagement"): ("gear_which", "oil_checked", "slip_cold_hot", "adaptation_reset"),
    ("transmission_driveline", "shifting"): ("gear_which", "slip_cold_hot", "adaptation_reset", "codes_before_clearing"),
    ("transmission_driveline", "clutch"): ("clutch_pedal", "clutch_work", "slip_cold_hot"),
    ("transmission_driveline", "driveline"): ("vibration_speed", "vibration_coasting", "driveline_work"),
    ("hybrid_ev", "high voltage"): ("hv_who", "hv_wet", "hv_insulation_read", "codes_before_clearing"),
    ("hybrid_ev", "charging"): ("charger_other", "charger_stops", "cable_other", "codes_before_clearing"),
    ("hybrid_ev", "battery"): ("range_measured", "cells_read", "hv_who"),
    ("hybrid_ev", "drive"): ("power_gear", "hv_who", "codes_before_clearing"),
    ("hybrid_ev", "12 volt"): ("battery_age", "flat_after", "charging_measured"),
}  # fmt: skip
"""(system, wider concern) → ids of its questions, the one that splits most first."""

ALWAYS: Final = ("every_time", "reproduces")
"""Asked whatever the concern is."""


def questions_for(terms: Iterable[str], system: str | None = None) -> tuple[str, ...]:
    """Returns the ids of the questions for some symptoms, else those for a system, else the usual.

    Questions of the first symptom come first; each is asked once.
    """
    known = [found for found in map(symptom, terms) if found is not None]
    asked: dict[str, None] = {}
    for found in known:
        asked |= dict.fromkeys(QUESTIONS.get((found.system, found.group), ()))
    wanted = [found.system for found in known] if known else [system]
    if not asked:
        for (group_system, _group), questions in QUESTIONS.items():
            if group_system in wanted:
                asked |= dict.fromkeys(questions[:2])
    return (*asked, *ALWAYS)
