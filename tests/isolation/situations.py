"""Eight worked situations (rough priors and strengths by trade judgement, invented; expected shares computed apart).

Each: concern, sections with priors (``not_on_map`` last), tests with (set-up, run) minutes and what the first outcome
points to, what was seen (``a`` first outcome, ``b`` second), and the shares then, to three digits.
"""

from typing import Final, NamedTuple


class Situation(NamedTuple):
    """One situation."""

    concern: str
    priors: dict[str, float]
    tests: dict[str, tuple[float, float, tuple[str, ...]]]
    seen: str
    expected: dict[str, float]


SITUATIONS: Final = {
    "S01": Situation(
        "Low pedal, firm on second press, no leak",
        {"mc": 0.12, "rod": 0.07, "hu": 0.08, "lf": 0.17, "rf": 0.17, "lr": 0.17, "rr": 0.17, "not_on_map": 0.05},
        {
            "all": (6, 2, ("mc", "rod", "hu")),
            "hlf": (6, 2, ("lf",)),
            "hrf": (6, 2, ("rf",)),
            "hlr": (6, 2, ("lr",)),
            "hrr": (6, 2, ("rr",)),
            "plug": (15, 5, ("mc", "rod")),
        },
        "hlf:a hrf:b hlr:b all:b",
        {"mc": 0.007, "rod": 0.004, "hu": 0.005, "lf": 0.842, "rf": 0.01, "lr": 0.01, "rr": 0.094, "not_on_map": 0.028},
    ),
    "S02": Situation(
        "Pedal sinks slowly at a stop, no leak outside",
        {"mc": 0.45, "dump": 0.15, "lf": 0.08, "rf": 0.08, "rear": 0.14, "bst": 0.05, "not_on_map": 0.05},
        {
            "plug": (15, 3, ("mc",)),
            "hall": (6, 2, ("dump", "lf", "rf", "rear")),
            "dry": (5, 10, ("lf", "rf", "rear")),
        },
        "plug:b hall:a dry:b",
        {"mc": 0.028, "dump": 0.75, "lf": 0.044, "rf": 0.044, "rear": 0.078, "bst": 0.028, "not_on_map": 0.028},
    ),
    "S07": Situation(
        "Assist cuts out when parking",
        {"bat": 0.2, "feed": 0.15, "gnd": 0.15, "gear": 0.25, "bind": 0.1, "net": 0.1, "not_on_map": 0.05},
        {
            "vp": (5, 5, ("feed",)),
            "vg": (3, 3, ("gnd",)),
            "vb": (2, 2, ("bat",)),
            "tq": (8, 4, ("bind",)),
        },
        "vp:b vg:a vb:b tq:b",
        {"bat": 0.012, "feed": 0.009, "gnd": 0.75, "gear": 0.139, "bind": 0.006, "net": 0.056, "not_on_map": 0.028},
    ),
    "S09": Situation(
        "Lean at idle, both banks",
        {"vac": 0.3, "purge": 0.15, "maf": 0.2, "fuel": 0.15, "exh": 0.1, "pcv": 0.05, "not_on_map": 0.05},
        {
            "ft": (3, 5, ("vac", "purge", "pcv")),
            "pb": (3, 3, ("purge",)),
            "cb": (3, 3, ("pcv",)),
            "sm": (10, 8, ("vac",)),
        },
        "ft:a pb:a cb:b sm:b",
        {"vac": 0.023, "purge": 0.935, "maf": 0.015, "fuel": 0.012, "exh": 0.008, "pcv": 0.004, "not_on_map": 0.004},
    ),
    "S11": Situation(
        "Battery flat after two nights",
        {"alt": 0.15, "cab": 0.25, "door": 0.15, "aud": 0.2, "trl": 0.1, "bat": 0.1, "not_on_map": 0.05},
        {
            "base": (45, 5, ("alt", "cab", "door", "aud", "trl")),
            "vf": (0, 15, ("cab", "door")),
            "lk": (2, 45, ("door",)),
            "ab": (10, 5, ("alt",)),
        },
        "base:a vf:a lk:a ab:b",
        {"alt": 0.001, "cab": 0.153, "door": 0.825, "aud": 0.014, "trl": 0.007, "bat": 0.001, "not_on_map": 0.0},
    ),
    "S14": Situation(
        "No communication with nine modules",
        {"trunk": 0.2, "rear": 0.2, "gate": 0.15, "front": 0.2, "pow": 0.15, "term": 0.05, "not_on_map": 0.05},
        {
            "ohm": (10, 2, ("term", "trunk")),
            "splitr": (10, 3, ("rear",)),
            "splitf": (10, 3, ("front",)),
            "pg": (5, 10, ("pow",)),
        },
        "ohm:b splitr:a splitf:b pg:b",
        {
            "trunk": 0.011,
            "rear": 0.871,
            "gate": 0.073,
            "front": 0.011,
            "pow": 0.008,
            "term": 0.003,
            "not_on_map": 0.024,
        },
    ),
    "S16": Situation(
        "Overheats in traffic",
        {"fan": 0.25, "flow": 0.15, "stat": 0.2, "rad": 0.2, "gas": 0.1, "cap": 0.05, "not_on_map": 0.05},
        {
            "fc": (2, 3, ("fan",)),
            "dt": (3, 8, ("flow", "stat")),
            "so": (35, 10, ("fan", "flow", "rad", "gas")),
            "ct": (5, 5, ("gas",)),
            "pt": (5, 5, ("cap",)),
        },
        "fc:b dt:a so:a ct:b pt:b",
        {"fan": 0.015, "flow": 0.752, "stat": 0.111, "rad": 0.111, "gas": 0.006, "cap": 0.0, "not_on_map": 0.003},
    ),
    "S18": Situation(
        "Small leak code returns",
        {"cap": 0.2, "neck": 0.12, "tank": 0.18, "can": 0.2, "line": 0.1, "purge": 0.15, "not_on_map": 0.05},
        {
            "sp": (10, 10, ("cap", "neck", "tank", "can", "line")),
            "pc": (8, 6, ("can", "purge")),
            "pp": (4, 3, ("purge",)),
            "nk": (8, 5, ("neck", "cap")),
            "cp2": (3, 2, ("cap",)),
        },
        "sp:a pc:b pp:b nk:a cp2:b",
        {"cap": 0.126, "neck": 0.68, "tank": 0.113, "can": 0.014, "line": 0.063, "purge": 0.0, "not_on_map": 0.003},
    ),
}
