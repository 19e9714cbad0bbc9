"""Sentences as customers and technicians say them, with the concern each must name and those it must not name."""

from collections.abc import Iterator
from pathlib import Path
from typing import Final, NamedTuple


class Said(NamedTuple):
    """A sentence that has to name ``must`` (where it is not empty) and none of ``never``."""

    text: str
    must: str
    never: tuple[str, ...] = ()


_FAMILIES: Final = (
    ("low pedal", "spongy pedal", "sinking pedal", "hard pedal"),
    ("cranks but does not start", "does not crank", "cranks slowly"),
    ("cranks but does not start", "cranks slowly", "starter clicks"),
    ("overheats in traffic", "overheats under load", "overheats soon after start"),
)
"""Concerns that are told apart by a word, and never taken for one another."""

_NOTHING: Final = (
    Said("never gets hot in town", "", _FAMILIES[3]),
    Said("no noise from the brakes", "", ("brake squeal", "brake grinding")),
    Said("battery is new and holds its charge", "", ("does not crank",)),
    Said("steering is not heavy", "", ("heavy steering",)),
    Said("customer collects at five", "", (*_FAMILIES[0], *_FAMILIES[1], *_FAMILIES[3])),
    Said("please check before the holiday, service due", "", (*_FAMILIES[0], *_FAMILIES[1], *_FAMILIES[3])),
    Said("it does not pull to the left any more", "", ("pulls to one side",)),
    Said("pedal is not spongy", "", ("spongy pedal",)),
)
"""Denials, and sentences about nothing."""


def sentences() -> tuple[Said, ...]:
    """Returns all sentences."""
    return (*_told(), *_NOTHING)


def _told() -> Iterator[Said]:
    concern = ""
    path = Path(__file__).with_name("labelled") / "spoken.txt"
    for line in path.read_text(encoding="utf-8").splitlines():
        if line.startswith("["):
            concern = line.strip("[]")
        elif line and not line.startswith("#"):
            kin = [family for family in _FAMILIES if concern in family]
            yield Said(line, concern, tuple(other for family in kin for other in family if other != concern))
