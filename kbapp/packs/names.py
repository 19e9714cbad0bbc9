"""Judges the names of files in a pack: what some system would take for another place or another name is refused."""

import unicodedata
from collections.abc import Iterable, Iterator
from typing import Final

from kbapp.packs.limits import Limits
from kbapp.records.fault import Fault, shorten

# Windows opens a device for these names, with any ending (Microsoft's page on naming files, from memory).
_DEVICES: Final = frozenset(
    {"con", "prn", "aux", "nul", "conin$", "conout$"}
    | {f"{name}{digit}" for name in ("com", "lpt") for digit in "0123456789¹²³"}
)
_FORBIDDEN: Final = frozenset('<>:"|?*\\')
# Format characters reorder or hide what a reader sees; unassigned ones fold differently on the next system.
_HIDDEN: Final = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})


def name_faults(name: str, limits: Limits) -> Iterator[Fault]:
    """Yields every fault of one file's path inside the pack."""
    shown = shorten(name)
    parts = name.split("/")
    if len(name) > limits.path:
        yield Fault(shown, "pack_name_long", str(len(name)), str(limits.path))
    if len(parts) > limits.depth:
        yield Fault(shown, "pack_name_deep", str(len(parts)), str(limits.depth))
    if any(part in ("", ".", "..") for part in parts):
        yield Fault(shown, "pack_name_escapes")
    wrong = next((char for char in name if char in _FORBIDDEN or unicodedata.category(char) in _HIDDEN), None)
    if wrong is not None:
        yield Fault(shown, "pack_name_character", shorten(wrong))
    if not unicodedata.is_normalized("NFC", name):
        yield Fault(shown, "pack_name_not_nfc")
    if any(_reserved(part) for part in parts):
        yield Fault(shown, "pack_name_reserved")


def _reserved(part: str) -> bool:
    if part.endswith((".", " ")) or part.startswith(" "):
        return part not in (".", "..")
    return part.split(".")[0].rstrip().lower() in _DEVICES


def folded(name: str) -> str:
    """Returns the form in which two names are one on a system that ignores letter case."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())


def collisions(names: Iterable[str]) -> Iterator[Fault]:
    """Yields a fault for each name that stands twice, or differs from an earlier one in letter case only."""
    first: dict[str, str] = {}
    exact: set[str] = set()
    for name in names:
        before = first.setdefault(folded(name), name)
        if name in exact:
            yield Fault(shorten(name), "pack_name_twice")
        elif before != name:
            yield Fault(shorten(name), "pack_name_case", shorten(before))
        exact.add(name)
