"""Lists of a map as lines one types: parts, substitutes, conditions, figures; and ids made from names.

What cannot be understood is kept as typed, so that the check of the map names it.
"""

import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from kbapp.records.base import clean_text

Item = dict[str, Any]
_NOT_ID = re.compile(r"[^a-z0-9]+")


def slug(name: str) -> str:
    """Returns a short id made from a name; blank where it has no letter or figure of the Latin alphabet."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return _NOT_ID.sub("_", plain).strip("_")[:60].strip("_")


def fresh_id(wanted: str, taken: Iterable[str], joint: str = "_") -> str:
    """Returns an id nobody bears yet, made from the wanted one."""
    known = set(taken)
    if wanted not in known:
        return wanted
    return next(name for n in range(2, len(known) + 3) if (name := f"{wanted}{joint}{n}") not in known)


def number(text: str) -> float | str | None:
    """Returns a typed number (a comma may stand for the point), None for blank, and anything else as typed."""
    text = text.strip()
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        return text or None
    return value if abs(value) < 1e12 else text


def shown(value: object) -> str:
    """Returns a figure as one types it."""
    if isinstance(value, float) or (isinstance(value, int) and not isinstance(value, bool)):
        return f"{value:.6f}".rstrip("0").rstrip(".")
    return value if isinstance(value, str) else ""


def lines(text: str) -> list[str]:
    """Returns the lines of a text that say something."""
    return [line for raw in text.split("\n") if (line := clean_text(raw, lines=False))]


def _fields(line: str) -> list[str]:
    return [field.strip() for field in line.split(";")]


def part_text(parts: Iterable[Item]) -> str:
    """Returns parts a line each: name; cost; minutes."""
    rows = ([str(p.get("name", "")), shown(p.get("cost")), shown(p.get("labour_minutes"))] for p in parts)
    return "\n".join(_joined(row) for row in rows)


def parts_of(text: str, before: Sequence[Item], elsewhere: Mapping[str, str]) -> list[Item]:
    """Returns the parts of a text. One that stood before keeps what its line does not show.

    ``elsewhere``: name → id of the parts of other sections: one name is one part.
    """
    known = {str(part.get("name", "")).casefold(): part for part in before}
    made: list[Item] = []
    for line in lines(text):
        name, cost, minutes = [*_fields(line), "", ""][:3]
        old = known.get(name.casefold(), {})
        part_id = old.get("id") or elsewhere.get(name.casefold()) or fresh_id(slug(name) or "part", elsewhere.values())
        part = {**old, "id": part_id, "name": name, "cost": number(cost), "labour_minutes": number(minutes)}
        made.append({field: value for field, value in part.items() if value is not None})
    return made


def substitute_text(substitutes: Iterable[Item]) -> str:
    """Returns substitutes a line each: name; kit, kit; strength."""
    rows = (
        [str(s.get("name", "")), ", ".join(map(str, s.get("kit", ()))), str(s.get("strength", "weak"))]
        for s in substitutes
    )
    return "\n".join(_joined(row) for row in rows)


def substitutes_of(text: str, before: Sequence[Item]) -> list[Item]:
    """Returns the substitutes of a text; one that stood before keeps what its line does not show."""
    known = {str(item.get("name", "")).casefold(): item for item in before}
    made: list[Item] = []
    for line in lines(text):
        name, kit, strength = [*_fields(line), "", ""][:3]
        old = known.get(name.casefold(), {})
        taken = [str(other["id"]) for other in made]
        words = [word.strip() for word in kit.split(",") if word.strip()]
        item = {**old, "id": old.get("id") or fresh_id(slug(name) or "substitute", taken), "name": name,
                "kit": words, "strength": strength.casefold() or "weak"}  # fmt: skip
        made.append({field: value for field, value in item.items() if value != []})
    return made


def conditions_of(text: str, before: Sequence[Item]) -> list[Item]:
    """Returns the lines of a checklist; one that stood before keeps its id."""
    known = {str(item.get("name", "")).casefold(): item for item in before}
    made: list[Item] = []
    for name in lines(text):
        old = known.get(name.casefold(), {})
        taken = [str(other["id"]) for other in made]
        made.append({"id": old.get("id") or fresh_id(slug(name) or "condition", taken), "name": name})
    return made


def figure_text(table: Mapping[str, object], names: Mapping[str, str]) -> str:
    """Returns the figures of an outcome a line each: section: chance."""
    return "\n".join(f"{names.get(section, section)}: {shown(chance)}" for section, chance in table.items())


def figures_of(text: str, ids: Mapping[str, str]) -> Item:
    """Returns section id → chance of a text; ``ids`` holds the ids by name, folded."""
    table: Item = {}
    for line in lines(text):
        name, _colon, chance = line.rpartition(":")
        name = name.strip() or line
        value = number(chance)
        table[ids.get(name.casefold(), name)] = value if value is not None else ""
    return table


def _joined(fields: Sequence[str]) -> str:
    while fields and not fields[-1]:
        fields = fields[:-1]
    return "; ".join(fields)
