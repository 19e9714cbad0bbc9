"""Walks the texts of a case: which fields are running text, which are terms, and which hold no text at all."""

from collections.abc import Callable
from typing import Any, Final

from kbapp.packs.blank.finding import Care

# Words of a vocabulary, digests and ids that the reader checks by their form.
_NO_TEXT: Final = frozenset(
    {"format", "state", "system", "kind", "sha256", "stage", "purpose", "effect", "source", "strength"}
)
_TERMS: Final = frozenset(
    {
        "number",
        "code",
        "part",
        "section",
        "sections",
        "position",
        "unit",
        "currency",
        "media_type",
        "value",
        "rule",
        "weight",
    }
)
_VEHICLE: Final = frozenset({"make", "family", "platform", "generation", "engine", "transmission"})
LINE_NAMES: Final = frozenset({"repeat_of", "supersedes", "repeats", "entry", "evidence"})
"""Fields that name a line of the case by its id."""

Change = Callable[[str, str, Care], str]
"""Is given a dotted path, a text and the care it needs, and returns the text that is to stand there."""


def changed_texts(plain: dict[str, Any], change: Change) -> dict[str, Any]:
    """Returns a case's JSON values with every text as ``change`` gives it back."""
    return {name: _value(name, name, value, change) for name, value in plain.items()}


def _value(path: str, name: str, value: Any, change: Change) -> Any:
    if isinstance(value, dict):
        return {inner: _value(f"{path}.{inner}", inner, item, change) for inner, item in value.items()}
    if isinstance(value, list):
        return [_value(f"{path}.{n}", name, item, change) for n, item in enumerate(value)]
    if not isinstance(value, str) or name in _NO_TEXT or _is_identity(path, name):
        return value
    return change(path, value, _care(path, name))


def _is_identity(path: str, name: str) -> bool:
    """Whether a field holds a UUID or the id and version of a map."""
    return path in ("id", "shop.id", "map.id") or (path.startswith("links.") and name == "case")


def _care(path: str, name: str) -> Care:
    if name in _TERMS or name in LINE_NAMES or (path.startswith("vehicle.") and name in _VEHICLE):
        return "term"
    if name == "id":
        return "term"
    return "running"
