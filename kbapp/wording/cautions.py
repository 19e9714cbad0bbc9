"""The cautions printed beside a step: one text an id, with where it comes from and the systems it always belongs to.

Each text defers to the vehicle maker's procedure, local rules and licensed practice; none states a universal waiting
time, torque or pressure. Sources are named beside each caution; where none is named it is "common practice".
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import Final

from kbapp.i18n import N_, _
from kbapp.records.vocabulary import System

_COMMON: Final = N_("common practice")


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution: its text (untranslated), its source, and the systems on whose jobs it is always shown."""

    text: str
    systems: tuple[System, ...] = ()
    source: str = _COMMON


_CAUTIONS: Final[Mapping[str, Caution]] = MappingProxyType({
    # Always the last word.
    "maker_procedure": Caution(
        N_("Follow the vehicle maker's procedure and local rules; where they differ from this step, they hold."),
        ("brakes_hydraulic", "abs_stability", "steering_suspension", "engine_management", "starting_charging",
         "body_electrical_network", "hvac_cooling", "fuel_evap", "transmission_driveline", "hybrid_ev"),
    ),
    # Brakes and wheels.
    "brake_dust": Caution(
        N_("Brake and clutch dust: enclosure with vacuum, or the wet method. No dry brushing, no blowing off."),
        ("brakes_hydraulic", "abs_stability", "transmission_driveline"),
        "US 29 CFR 1910.1001 Appendix F",
    ),
    "brake_fluid": Caution(
        N_("Brake fluid: the grade the maker names, from its original sealed container. It attacks paint and "
           "eyes."),
        ("brakes_hydraulic", "abs_stability"),
        "US FMVSS 116 (49 CFR 571.116)",
    ),
    "brake_road_test": Caution(
        N_("Never road test a brake fault on a public road: an empty yard, at walking speed, parking brake "
           "proved first."),
        ("brakes_hydraulic", "abs_stability"),
    ),
    "line_plugs": Caution(
        N_("Line plugs: thread and flare must match. Start them by hand, never drive one on. Bleed and "
           "leak-check after."),
    ),
    "hose_clamp_last_resort": Caution(
        N_("Hose clamp: the last resort. Smooth jaw, never on a braided, aged or hot pressurised hose; inspect "
           "the hose afterwards and replace it if it is marked."),
    ),
    "opened_brake_line": Caution(
        N_("After opening a brake line: bleed by the maker's procedure, check for leaks at full pedal force, "
           "and prove the pedal before the vehicle moves."),
    ),
    "brake_pressure_store": Caution(
        N_("Hydraulic units and brake boosters can hold or build high pressure with the ignition off: make the "
           "system pressureless by the maker's procedure before any union is opened."),
        ("abs_stability",),
    ),
    "hold_valve_heat": Caution(
        N_("Hold valves heat up while energised: a few seconds at a time, and let the coils cool between "
           "presses."),
    ),
    "parking_brake_service": Caution(
        N_("Electric parking brake: set the maker's service mode before hands go near the caliper. It closes "
           "unasked."),
        ("brakes_hydraulic",),
    ),
    "roller_mode": Caution(
        N_("Automated braking can act on rollers, stands or with sensors covered: set the maker's test mode "
           "first."),
        ("abs_stability",),
    ),
    "sensor_aiming": Caution(
        N_("Camera and radar work ends with the maker's aiming procedure. Do not hand the vehicle over unaimed."),
    ),
    "wheels_turning": Caution(
        N_("Wheels driven on stands: nobody and nothing in reach of them, bonnet and doors clear, low speed "
           "only."),
        ("transmission_driveline",),
    ),
    "lifting": Caution(
        N_("Lift at the maker's points, chock the wheels, and set stands before anyone is underneath."),
        ("brakes_hydraulic", "abs_stability", "steering_suspension", "transmission_driveline", "fuel_evap"),
    ),
    "wheel_refit": Caution(
        N_("Wheels and hub nuts: the maker's torque and sequence, new single-use fasteners, and check again "
           "after the drive."),
    ),
    # Steering and restraint.
    "steering_moves": Caution(
        N_("Powered steering can turn by itself: keep arms out of the wheel and hands away from joints and "
           "racks."),
        ("steering_suspension",),
    ),
    "spring_force": Caution(
        N_("Suspension springs are under load: compress or support them with the proper tool before parting a "
           "joint."),
        ("steering_suspension",),
    ),
    "airbag": Caution(
        N_("Airbags and belt tensioners: disconnect as the maker says and wait the maker's time. No test lamp, "
           "no ohmmeter on an igniter, no bypass."),
        ("steering_suspension", "body_electrical_network"),
    ),
    # 12 volt electrics.
    "battery_gas": Caution(
        N_("Batteries: ventilate, no sparks and no flames, eye protection. Never charge or jump a frozen or "
           "swollen one."),
        ("starting_charging", "body_electrical_network"),
    ),
    "battery_disconnect": Caution(
        N_("Before disconnecting the battery: maker's sequence, codes and stored values noted, keys outside "
           "the vehicle, tailgate open. Ground off first, on last."),
        ("starting_charging",),
    ),
    "short_circuit": Caution(
        N_("Unfused cables: rings and watch off, insulate the spanner, battery ground off before touching "
           "starter or alternator terminals."),
        ("starting_charging",),
    ),
    "fused_jumper_only": Caution(
        N_("Jumper wire only with a fuse no larger than the circuit's own, and only on the circuit named in "
           "the step."),
        ("body_electrical_network",),
    ),
    "data_wires": Caution(
        N_("Data wires: no test lamp, no battery voltage, no piercing of insulation; back-probe or use a "
           "breakout box."),
        ("body_electrical_network",),
    ),
    "module_supply": Caution(
        N_("Unplug or connect a module only with its supply off. Keep the battery supported while software is "
           "written."),
        ("body_electrical_network",),
    ),
    "meter_fuse": Caution(
        N_("Ammeter in series: stay within its range. No door, ignition or starter while it carries the "
           "vehicle's supply."),
    ),
    "stays_awake": Caution(
        N_("Opening a door, the bonnet or a fuse box wakes modules and starts the waiting again: set the "
           "latches first."),
    ),
    "starter_engages": Caution(
        N_("Cranking tests: gear in neutral or park, parking brake on, fuel or ignition disabled as the maker "
           "says, everybody clear of belts and fans."),
        ("starting_charging",),
    ),
    # Engine, exhaust, fuel.
    "rotating_parts": Caution(
        N_("Engine running: hands, hair, sleeves and leads clear of belts, pulleys and fans."),
        ("engine_management", "hvac_cooling"),
    ),
    "hot_engine": Caution(
        N_("Exhaust, turbocharger and engine parts stay hot long after stopping: gloves, or let them cool."),
        ("engine_management",),
    ),
    "exhaust_gas": Caution(
        N_("Exhaust gas kills: extraction connected or outdoors before the engine runs."),
        ("engine_management",),
    ),
    "ignition_voltage": Caution(
        N_("Ignition high voltage: never hold a live lead or coil and never let a coil fire into the open; use "
           "a spark tester."),
        ("engine_management",),
    ),
    "fuel_pressure": Caution(
        N_("Fuel: relieve the pressure by the maker's procedure before opening a line, catch what comes out, "
           "eye protection, extinguisher at hand."),
        ("fuel_evap", "engine_management"),
    ),
    "no_ignition_source": Caution(
        N_("Fuel and its vapour: no ignition source, no hot lamp, ventilate, ground the container."),
        ("fuel_evap",),
    ),
    "diesel_high_pressure": Caution(
        N_("Diesel injection pressure goes through skin: never loosen a high-pressure pipe with the engine "
           "running or before the maker's time has passed; never feel for a leak by hand."),
        ("engine_management",),
    ),
    "low_pressure_only": Caution(
        N_("Vapour and intake systems: regulated low pressure within the maker's limit, inert gas or smoke, "
           "never shop air."),
    ),
    "evap_plug": Caution(
        N_("A closed vapour system can build pressure and vacuum: watch the gauge and remove every plug before "
           "the engine runs."),
    ),
    # Cooling and air conditioning.
    "hot_cooling_system": Caution(
        N_("Never open a hot cooling system. Let it cool, cover the cap, release it slowly."),
        ("hvac_cooling",),
    ),
    "fans_start_unasked": Caution(
        N_("Electric fans start unasked, even with the ignition off: keep hands and tools out of the blades."),
        ("hvac_cooling",),
    ),
    "never_bypass_pressure_cap": Caution(
        N_("Never run the engine without the pressure cap or with its valve held open."),
    ),
    "coolant_poison": Caution(
        N_("Coolant is poisonous and slippery: catch it, cover it, keep animals away, dispose of it as the "
           "rules say."),
        ("hvac_cooling",),
    ),
    "refrigerant": Caution(
        N_("Refrigerant: certified people and equipment only, no venting, eye and hand protection against "
           "frost burns."),
        ("hvac_cooling",),
        "US Clean Air Act section 609 (42 U.S.C. 7671h)",
    ),
    "refrigerant_flammable": Caution(
        N_("Some refrigerants burn, and some cooled batteries share the circuit: identify the gas before "
           "connecting, ventilate, no ignition source."),
        ("hvac_cooling",),
    ),
    # Transmission and road tests.
    "hot_transmission_fluid": Caution(
        N_("Transmission fluid scalds: check level and temperature as the maker says, drain only when it has "
           "cooled."),
        ("transmission_driveline",),
    ),
    "stall_test": Caution(
        N_("Stall test only where the maker allows it: wheels chocked, brakes proved, nobody in front or "
           "behind, a few seconds, then let the fluid cool in neutral."),
    ),
    "driveline_below": Caution(
        N_("Never go under a vehicle whose driveline turns: read from a distance or stop the shafts first."),
        ("transmission_driveline",),
    ),
    "road_test_two": Caution(
        N_("Road test with two people: one drives and watches the road, the other reads the instruments."),
    ),
    # High voltage.
    "hv_qualified": Caution(
        N_("High voltage (above 60 V DC or 30 V AC): qualified people only, with the proper protection. "
           "Everybody else refers the vehicle out."),
        ("hybrid_ev",),
        "US FMVSS 305 (49 CFR 571.305)",
    ),
    "hv_dead_state": Caution(
        N_("Before touching high-voltage parts: isolate, lock out, wait the maker's stated time, prove zero "
           "volts with a tester proved before and after."),
        ("hybrid_ev",),
        "US FMVSS 305 (49 CFR 571.305); common practice",
    ),
    "hv_no_bypass": Caution(
        N_("Never bridge or bypass a high-voltage interlock, contactor, fuse or insulation monitor."),
        ("hybrid_ev",),
    ),
    "hv_damaged_battery": Caution(
        N_("A hot, smoking, swollen or wet high-voltage battery: move people away, call the fire service, do "
           "not open it."),
        ("hybrid_ev",),
    ),
    "hv_starts_unasked": Caution(
        N_("A vehicle in the ready state is silent and can move or start its engine: key away, wheels chocked, "
           "sign on it."),
        ("hybrid_ev",),
    ),
    "mains_charging": Caution(
        N_("Mains side of charging (socket, cable, wall unit): a licensed electrician's work. Do not open or "
           "bridge it."),
        ("hybrid_ev",),
    ),
    # Water and glass.
    "water_and_electrics": Caution(
        N_("Water test: no jet at modules, connectors or seals from close by, ignition off, airbag modules "
           "kept dry."),
    ),
})  # fmt: skip


def caution_ids() -> tuple[str, ...]:
    """Returns every caution id of the catalogue, in its order."""
    return tuple(_CAUTIONS)


def caution(caution_id: str) -> str:
    """Returns the text of a caution; words of a shop's own, not in the catalogue, are returned as they stand."""
    found = _CAUTIONS.get(caution_id)
    return _(found.text) if found else caution_id


def caution_source(caution_id: str) -> str:
    """Returns where a caution comes from (a rule's name, or "common practice"); empty for a shop's own words."""
    found = _CAUTIONS.get(caution_id)
    return _(found.source) if found else ""


@lru_cache(maxsize=16)
def cautions_for_system(system: str) -> tuple[str, ...]:
    """Returns the ids of the cautions that belong to every job on a system; none for an unknown system."""
    return tuple(key for key, value in _CAUTIONS.items() if system in value.systems)
