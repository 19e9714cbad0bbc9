"""The reference brake map (invented parameters) on which an independent program computed figures, tag [L]."""

from typing import Final

from kbapp.records.section_map import SectionMap
from tests.isolation.examples import chances, make_map, section

PRIORS: Final = {"BP": 0.05, "MC": 0.25, "HU": 0.15, "LF": 0.10, "RF": 0.10, "LR": 0.12, "RR": 0.13}
REPAIRS: Final = {"BP": 400, "MC": 380, "HU": 1100, "LF": 260, "RF": 260, "LR": 240, "RR": 240}
_WHEELS: Final = ("LF", "RF", "LR", "RR")
# test: minutes, P(yes) where pointed to, elsewhere, not on the map
_TESTS: Final = {
    "T1": (12, dict.fromkeys(_WHEELS, 0.95), 0.03, 0.30),
    "T2": (25, dict.fromkeys((*_WHEELS, "HU"), 0.97), 0.03, 0.30),
    "T3": (8, {"LF": 0.92, "RF": 0.92}, 0.04, 0.20),
    "T4": (8, {"LF": 0.92, "LR": 0.92}, 0.04, 0.20),
    "T5": (5, {"RR": 0.92}, 0.04, 0.15),
    "T6": (15, {"MC": 0.90, "HU": 0.35}, 0.05, 0.10),
    "T7": (6, {**dict.fromkeys(_WHEELS, 0.30), "MC": 0.15, "HU": 0.10, "BP": 0.02}, 0.0, 0.05),
}
# test: prior P(yes), information in bits, bits a minute
FIGURES: Final = {
    "T1": (0.4710, 0.693087968, 0.057757),
    "T2": (0.6210, 0.694250929, 0.027770),
    "T3": (0.2320, 0.459248313, 0.057406),
    "T4": (0.2496, 0.485212604, 0.060652),
    "T5": (0.1654, 0.347240652, 0.069448),
    "T6": (0.3125, 0.448581088, 0.029905),
    "T7": (0.1935, 0.053633996, 0.008939),
}


def reference_map() -> SectionMap:
    """Returns the map; each section is one part whose cost is all there is to its repair."""
    tests = []
    for name, (minutes, pointed, other, off) in _TESTS.items():
        yes = {**pointed, "*": other, "not_on_map": off}
        no = {key: 1 - value for key, value in yes.items()}
        tests.append(chances(name, {"yes": yes, "no": no}, run_minutes=minutes))
    sections = [
        section(name, prior, parts=[{"id": f"{name} part", "name": f"{name} part", "cost": REPAIRS[name]}])
        for name, prior in PRIORS.items()
    ]
    return make_map(sections, tests, not_on_map=0.10)
