"""The words that generated cases are made of: common practice, invented vehicles."""

from dataclasses import dataclass
from typing import Final

from kbapp.records.vocabulary import System


@dataclass(frozen=True, slots=True)
class Model:
    make: str
    family: str
    platform: str
    generations: tuple[tuple[str, int, int], ...]
    engines: tuple[str, ...]


MODELS: Final = (
    Model("Brennick", "Pallow", "BP", (("A", 2008, 2014), ("B", 2015, 2022)), ("B12P", "B14T")),
    Model("Kestrow", "Lindle", "KM", (("1", 2009, 2015), ("2", 2016, 2023)), ("K15P", "K20T", "K20D")),
    Model("Brennick", "Drovane", "BV", (("A", 2010, 2017), ("B", 2018, 2024)), ("B20D",)),
    Model("Kestrow", "Marrick", "KM", (("1", 2011, 2017), ("2", 2018, 2024)), ("K20T", "K20D")),
    Model("Velmond", "Quenby", "VH", (("I", 2012, 2018), ("II", 2019, 2024)), ("V18H",)),
    Model("Tarrish", "Wold", "TW", (("Mk1", 2007, 2014), ("Mk2", 2015, 2023)), ("T28D",)),
    Model("Velmond", "Ardane", "VA", (("I", 2009, 2016), ("II", 2017, 2023)), ("V16P", "V20D")),
    Model("Tarrish", "Hexley", "BV", (("Mk1", 2011, 2018), ("Mk2", 2019, 2024)), ("B20D",)),
    Model("Ombrane", "Elvane", "OE", (("1", 2014, 2019), ("2", 2020, 2024)), ("OE1",)),
    Model("Ombrane", "Nocte", "KM", (("1", 2017, 2022), ("2", 2023, 2024)), ("O16PH",)),
)
PEOPLE: Final = ("IK", "RA", "DS", "TN")

# system -> sections, each with its parts; tests with what they isolate and their outcomes
SECTIONS: Final[dict[System, dict[str, tuple[str, ...]]]] = {
    "brakes_hydraulic": {
        "master cylinder": ("master cylinder", "reservoir", "pushrod"),
        "front circuit": ("brake caliper", "brake hose", "brake pads"),
        "rear circuit": ("wheel cylinder", "brake hose", "brake shoes"),
        "servo": ("brake servo", "check valve", "vacuum pump"),
        "hydraulic unit": ("hydraulic unit", "brake pipe"),
    },
    "abs_stability": {
        "sensor": ("wheel speed sensor", "yaw rate sensor", "steering angle sensor"),
        "tone ring": ("wheel bearing", "tone ring", "drive shaft"),
        "wiring": ("sensor lead", "connector", "ground point"),
        "control unit": ("control unit", "pump motor relay"),
    },
    "steering_suspension": {
        "assist": ("steering rack", "assist motor", "torque sensor"),
        "wheel location": ("track rod end", "lower arm", "ball joint"),
        "springing": ("strut", "coil spring", "top mount", "air spring"),
        "wheel": ("wheel bearing", "tyre", "hub"),
    },
    "engine_management": {
        "ignition": ("ignition coil", "spark plug", "coil lead"),
        "fuel": ("injector", "high pressure pump", "rail pressure sensor", "fuel filter"),
        "air": ("air mass meter", "intake hose", "throttle body", "charge air pipe", "turbocharger"),
        "sensing": ("crankshaft sensor", "camshaft sensor", "coolant sensor", "oxygen sensor"),
        "exhaust": ("particulate filter", "pressure sensor", "catalyst", "EGR valve"),
        "mechanical": ("timing chain", "valve", "head gasket"),
    },
    "starting_charging": {
        "battery": ("battery", "battery terminal", "battery sensor"),
        "cranking circuit": ("starter", "starter relay", "ground strap"),
        "charging circuit": ("alternator", "drive belt", "freewheel pulley"),
        "resting draw": ("radio", "door module", "tailgate module", "boot lamp switch"),
    },
    "body_electrical_network": {
        "supply": ("fuse", "fuse box", "ground point", "relay"),
        "bus": ("gateway", "bus wiring", "splice", "terminating resistor"),
        "module": ("door module", "instrument cluster", "body control unit"),
        "consumer": ("lock actuator", "window motor", "wiper motor", "lamp holder"),
    },
    "hvac_cooling": {
        "flow": ("water pump", "thermostat", "coolant hose"),
        "heat exchange": ("radiator", "heater core", "condenser"),
        "fan": ("cooling fan", "fan control unit", "fan relay"),
        "refrigerant circuit": ("compressor", "expansion valve", "pressure sensor"),
        "cabin air": ("blower motor", "blower resistor", "flap motor"),
    },
    "fuel_evap": {
        "tank": ("filler neck", "filler cap", "fuel pump", "level sender"),
        "vapour lines": ("purge valve", "vapour hose", "quick connector"),
        "canister": ("charcoal canister", "vent valve", "leak detection pump"),
    },
    "transmission_driveline": {
        "clutch": ("clutch plate", "dual mass flywheel", "release bearing", "slave cylinder"),
        "hydraulics": ("valve body", "pressure solenoid", "transmission fluid", "torque converter"),
        "gears": ("selector fork", "synchroniser", "input bearing"),
        "driveline": ("drive shaft", "propeller shaft joint", "differential", "transfer case motor"),
    },
    "hybrid_ev": {
        "traction battery": ("cell module", "battery fan", "contactor", "service plug"),
        "insulation": ("compressor", "heater", "orange cable", "charge inlet"),
        "charging": ("charge inlet", "on-board charger", "inlet lock"),
        "low voltage": ("DC converter", "12 volt battery", "fuse link"),
        "drive": ("inverter", "coolant pump", "rotor sensor"),
    },
}
TESTS: Final[dict[System, tuple[tuple[str, str, tuple[str, ...]], ...]]] = {
    "brakes_hydraulic": (
        ("clamp the flexible hoses in turn", "which circuit gives way", ("pedal stays low", "pedal firms up")),
        ("hold the pedal for two minutes", "internal leak", ("sinks slowly", "holds")),
        ("pump up with the engine off", "servo from hydraulics", ("drops on starting", "no change")),
        ("open the bleed screw of a dragging wheel", "pressure trapped or mechanical", ("wheel frees", "still drags")),
    ),
    "abs_stability": (
        ("compare the four wheel speeds on a straight road", "which corner", ("one drops out", "all agree")),
        (
            "measure sensor signal while turning the hub",
            "sensor and ring from wiring",
            ("even signal", "gap once a turn"),
        ),
        ("wiggle the loom while watching the signal", "wiring", ("signal drops", "steady")),
        ("load the supply with a lamp", "supply and ground", ("lamp dim", "lamp bright")),
    ),
    "steering_suspension": (
        ("swap front wheels left to right", "tyre from chassis", ("pull changes side", "pull stays")),
        ("voltage drop at the assist supply under load", "supply", ("more than half a volt", "within limits")),
        ("prybar at each joint", "play", ("play felt", "tight")),
        ("run on the ramp with chassis ears", "noise source", ("loudest at left front", "even")),
    ),
    "engine_management": (
        ("swap coils between cylinders", "coil from cylinder", ("fault moves", "fault stays")),
        ("smoke test of the intake", "leak", ("smoke at the hose", "tight")),
        ("injector leak-off comparison", "injector", ("one far above the rest", "even")),
        ("relative compression by starter current", "mechanical", ("one low", "even")),
        ("fuel pressure under load", "supply", ("falls away", "holds")),
        ("back pressure before the filter", "exhaust", ("high", "normal")),
    ),
    "starting_charging": (
        ("battery load test", "battery", ("drops below limit", "holds")),
        ("voltage drop on the ground side while cranking", "cable from starter", ("over half a volt", "low")),
        ("resting current with everything asleep", "draw", ("above limit", "normal")),
        ("pull fuses one by one", "which circuit draws", ("current falls", "no change")),
        ("ripple with all loads on", "diodes", ("ripple high", "smooth")),
    ),
    "body_electrical_network": (
        ("resistance across the bus, battery off", "bus ends", ("sixty ohms", "open", "short")),
        ("disconnect modules in turn", "which branch", ("bus returns", "bus stays down")),
        ("supply and ground at the module under load", "supply", ("drops", "good")),
        ("command the actuator with the scan tool", "control from actuator", ("moves", "nothing")),
    ),
    "hvac_cooling": (
        ("command the fan", "fan from its control", ("full speed", "does not run")),
        ("compare radiator inlet and outlet", "flow", ("cold outlet", "normal spread", "no spread")),
        ("pressure test of the cooling system", "leak", ("falls", "holds")),
        ("high and low side pressures", "refrigerant circuit", ("both low", "high side high", "normal")),
        ("combustion gas in the coolant", "head gasket", ("turns yellow", "stays blue")),
    ),
    "fuel_evap": (
        ("smoke test through the purge line", "leak", ("smoke at the filler", "smoke above the tank", "tight")),
        ("clamp the purge hose", "purge valve", ("fuel trim normal", "no change")),
        ("pump current and pressure", "pump", ("low pressure", "normal")),
    ),
    "transmission_driveline": (
        ("stall test in each gear as the maker allows", "clutches", ("flares in third", "even")),
        ("line pressure", "hydraulics", ("low hot", "normal")),
        ("run on the ramp without wheels", "wheel from driveline", ("still there", "gone")),
        ("clutch slip in top gear uphill", "clutch", ("slips", "holds")),
    ),
    "hybrid_ev": (
        ("insulation by branch, isolated as the maker says", "which branch", ("low in one branch", "all high")),
        ("cell voltages under load", "module", ("one block falls", "even")),
        ("another charging cable and post", "vehicle from supply", ("charges", "does not charge")),
        ("converter output under load", "low voltage", ("no output", "fourteen volts")),
    ),
}
UNITS: Final = (("battery", "V"), ("supply", "V"), ("rail", "bar"), ("inlet", "degC"), ("draw", "mA"), ("drop", "mV"))

# Running words of a technician's notes, the commonest first: drawn by rank, so that their use falls off as in any text.
_COMMON_TEXT: Final = """
    checked found again cold warm engine customer says only after then still no change fitted new same fault road test
    connector pin wire side left right front rear behind under near cleaned dry corroded green loose tight moved away
    came back once reading normal low high steady drops rises slowly quickly idle load hot start stop battery ground
    supply fuse relay sensor module code cleared returned stored pending second time before fitting part old removed
    worn cracked split leaking trace oil water damp rust seal clip bracket chafed through loom trim panel carpet sill
    bulkhead subframe tunnel bonnet lamp switch signal scope pattern live data freeze frame actuator command moves
    stuck free play noise knock whine hum grind pulse vibration speed motorway town hill trailer rain frost morning
    overnight week month previous shop invoice guess swapped without testing replaced twice proved by measuring
    compared known good vehicle borrowed tool meter clamp lead probe needle terminal spread crimp soldered repaired
    spliced heat shrink tape routed clear torque angle bolt nut stud gasket surface straight edge skimmed flushed bled
    vacuum filled topped level mark hose pipe union elbow banjo washer copper spring circlip boot gaiter grease bush
    mount arm strut top bearing hub disc drum pad shoe piston slide seized freed lubricated matched reset adapted
    learned coded programmed updated version calibrated zeroed
"""
COMMON: Final = tuple(_COMMON_TEXT.split())
RARE_STEMS: Final = ("C", "G", "X", "S", "T", "J")
COLOURS: Final = ("black", "brown", "red", "orange", "yellow", "green", "blue", "violet", "grey", "white", "pink")
CIRCUMSTANCES: Final = (
    "in traffic", "on the motorway", "first thing in the morning", "after a long run", "in wet weather", "uphill",
    "after standing for days", "when turning left", "over rough road", "with the heater on", "with all loads on",
)  # fmt: skip
LEADS: Final = (
    "Customer reports {symptom} {when}", "Comes in with {symptom} {when}, {extra}", "{symptom} {when} since {since}",
    "{symptom}, worst {when}; {extra}", "Recovered: {symptom} {when}", "{symptom} comes and goes {when}, {extra}",
)  # fmt: skip
EXTRAS: Final = (
    "one part fitted elsewhere without effect", "two shops could not find it", "lamp stays off", "nothing stored",
    "code comes back at once", "worse lately", "started after other work", "noticed on holiday",
)  # fmt: skip
