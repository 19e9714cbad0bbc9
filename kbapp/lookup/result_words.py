# ruff: noqa: E501 - tables read best a line each
"""Words of tests and of what comes of them: what is done, what it is done to, and which outcomes oppose each other.

Common practice. These tables are read only when two results are compared: a word means more in a test's name than in
a complaint ("loss" is a voltage drop, "minus" is ground). Plain lower-case words and phrases; data only.
"""

from typing import Final

TEST_SAME: Final[tuple[tuple[str, ...], ...]] = (
    ("ground", "earth", "minus", "negative", "ground side", "minus side", "earth side", "chassis", "b-"),
    ("feed", "supply", "plus", "positive", "power side", "plus side", "live side", "b+", "power supply"),
    ("voltage drop", "volt drop", "drop", "loss", "drop test", "voltage loss", "volts lost"),
    ("isolate", "hold", "clamp", "plug", "block", "blank", "cap", "pinch", "shut", "seal off", "shut off", "plugged off", "clamped off", "held", "blanked off", "capped off", "stop up", "bung", "squeeze"),
    ("disconnect", "unplug", "pull off", "take off", "disconnected", "unhook", "remove", "detach", "left out", "take out", "off"),
    ("swap", "change over", "exchange", "swap over", "cross over", "changed round", "move", "switch over", "rotate", "interchange", "substitute", "known good"),
    ("scope", "oscilloscope", "trace", "waveform", "signal picture"),
    ("smoke", "smoke test", "smoke machine", "leak test"),
    ("leak down", "leakdown", "cylinder leakage", "cylinder leak"),
    ("compression", "compression test"),
    ("current", "amps", "clamp meter", "ampere"),
    ("draw", "drain", "quiescent current", "sleep current", "parasitic", "closed circuit current", "standby current"),
    ("full lock", "lock", "against the stop", "wheels on the stop", "end stop", "on the stop"),
    ("converter clutch", "lock up", "lockup", "tcc", "converter lock up"),
    ("command off", "disabled", "switched off", "off by tester", "commanded off", "inhibited"),
    ("contactor", "main relay", "main relays", "hv relay", "battery relay"),
    ("insulation", "isolation", "megohm", "megger", "isolation resistance", "insulation resistance", "insulation value"),
    ("scan tool", "tester", "scanner", "diagnostic tool", "live data", "data list", "parameters"),
    ("line", "pipe", "hose", "tube"),
    ("outlet", "port", "outlets"),
    ("hold valve", "inlet valve", "inlet valves", "abs valve", "valves held"),
    ("bleed screw", "bleeder", "bleed nipple", "nipple", "bleed valve"),
    ("union", "pipe nut", "fitting"),
    ("pedal travel", "travel", "stroke"),
    ("pressure", "gauge", "manometer"),
    ("fuel trim", "trim", "trims"),
    ("vacuum", "depression", "suction"),
    ("resistance", "ohm", "ohms", "ohmmeter"),
    ("module", "control unit", "unit", "ecu"),
    ("connector", "plug connector", "socket", "module end", "plug end"),
    ("by hand", "hand", "manually"),
    ("wheel", "rim"),
    ("spin", "turn", "rotate by hand"),
    ("sensor", "sender", "pickup"),
    ("fan", "blower"),
    ("temperature", "thermometer", "thermal camera", "infrared"),
    ("flap", "door", "air door", "blend door"),
    ("flow", "quantity", "amount", "delivery"),
    ("wiggle", "flex", "bend", "tug", "shake the loom", "move the harness"),
    ("harness", "loom", "wiring", "wires", "cable"),
    ("battery", "batt"),
    ("stop light", "brake light"),
    ("jump lead", "second lead", "booster cable", "extra cable", "bypass", "bridge", "temporary lead", "second earth lead"),
    ("charge", "filling", "refrigerant"),
    ("relax", "slacken", "loosen", "back off", "ease", "undo", "open", "crack open", "crack"),
    ("injector", "leak back", "leakback", "back leakage", "return quantity"),
    ("bus", "network", "can"),
    ("bar links", "links", "drop links", "anti roll bar links"),
    ("microphone", "listening device", "stethoscope", "chassis ears"),
    ("latch", "lock mechanism"),
    ("request", "command", "asked for", "target", "demand", "driven", "activated", "switched on", "actuated", "energised"),
    ("actuator", "motor", "servo motor", "positioner"),
    ("charging station", "evse", "wallbox", "wall socket", "charge point"),
    ("branch", "sub loom", "side branch"),
    ("dye", "uv", "uv lamp"),
)  # fmt: skip
"""What is one and the same in a test: what is done, what it is done to, or what is measured."""

ACTIONS: Final = frozenset(
    ("bypass", "charge", "command off", "compression", "contactor", "converter clutch", "disconnect", "draw", "insulation", "isolate", "jump lead", "leak down", "relax", "request", "scan tool", "scope", "smoke", "swap", "voltage drop")
)  # fmt: skip
"""Names of ``TEST_SAME`` that tell of a test where a text of plain words holds them."""

SIDES: Final[dict[str, tuple[str, str]]] = {
    "sound": (
        "holds ok good passes pass clear tight dry normal firm hard clean steady smooth fine healthy properly even alike equal right agrees intact full quick strong balanced correct cured runs works responds reacts reaches complete specified ample silent quiet",
        "sinks fails fail leaks leak bad wet loose slow blows notchy poor faulty blocked weak dips collapses rough jumps uneven dead erratic lost falls drops sags gritty cracked broken dirty labours flickers soft spongy noisy rattles wrong apart bleeds hisses",
    ),
    "amount": (
        "high big rises climbs above over more large huge far heavily heavy much",
        "low little falls drops below under less small tiny barely hardly slight near zero nil trickle",
    ),
    "length": ("long", "short"),
    "heat": ("hot warm", "cold cool"),
    "there": ("yes present found", "absent none nothing missing"),
    "fault": (
        "gone goes go cured stops disappears vanishes away moves follows changes returns better wanders leaves lets",
        "stays still remains same unchanged persists keeps remained",
    ),
    "grip": (
        "free freely loose released releases spins lets",
        "tight drags dragging seized binds binding locked stiff",
    ),
    "contact": ("open", "short closed"),
    "mixture": ("rich positive plus", "lean negative minus"),
    "state": ("on live", "off"),
    "sleep": ("asleep sleeps", "awake"),
}
"""Kinds of outcome with their two sides."""

OUTCOME_PHRASES: Final[dict[str, tuple[str, int]]] = {
    "to normal": ("sound", 1),
    "back to normal": ("sound", 1),
    "within spec": ("sound", 1),
    "in spec": ("sound", 1),
    "to spec": ("sound", 1),
    "works well": ("sound", 1),
    "comes up": ("sound", 1),
    "stays up": ("sound", 1),
    "full speed": ("sound", 1),
    "too low": ("sound", -1),
    "too high": ("sound", -1),
    "too big": ("sound", -1),
    "far too": ("sound", -1),
    "falls behind": ("sound", -1),
    "no longer": ("fault", 1),
    "comes back": ("fault", 1),
    "came back": ("fault", 1),
    "lets go": ("fault", 1),
    "no more": ("fault", 1),
    "any more": ("fault", 1),
    "no change": ("fault", -1),
    "no difference": ("fault", -1),
    "no better": ("fault", -1),
    "no odds": ("fault", -1),
    "no effect": ("fault", -1),
    "no help": ("fault", -1),
    "not help": ("fault", -1),
    "comes free": ("grip", 1),
    "came free": ("grip", 1),
    "long travel": ("sound", -1),
    "no short": ("sound", 1),
    "no play": ("sound", 1),
    "as before": ("fault", -1),
    "just the same": ("fault", -1),
    "both the same": ("sound", 1),
    "made it": ("fault", 1),
}
"""Phrases whose words alone would mislead; the kind of outcome and the side they stand on."""

BIG_IS_BAD: Final = frozenset(("voltage drop", "draw", "leak", "play", "gap", "leak down", "smoke", "injector"))
"""What a test measures a lot of where the fault is."""
LOW_IS_BAD: Final = frozenset(("insulation", "pressure", "vacuum", "compression", "charge", "level", "speed"))
"""What a test measures little of where the fault is."""

LITTLE_DROP: Final = 0.3
BIG_DROP: Final = 0.5
"""Volts lost on one side of a loaded circuit: little below the one, too much above the other (common practice)."""
