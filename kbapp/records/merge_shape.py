"""Says how the parts of a case document merge: which lists have keys, which values belong together."""

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any, Final

Path = tuple[str, ...]

KEYS: Final[Mapping[Path, tuple[str, ...]]] = {
    ("timeline",): ("id",),
    ("retest",): ("id",),
    ("attachments",): ("sha256", "entry"),
    ("codes",): ("code", "module"),
}
"""Lists whose items are known by fields of their own."""
SETS: Final = frozenset({("concern", "symptoms"), ("concern", "conditions"), ("links",)})
"""Lists in which only the presence of an item counts."""
GROWING: Final = frozenset({("follow_ups",), ("correction", "parts"), ("correction", "services")})
"""Lists two people may both add to."""
WHOLE: Final = frozenset(
    {"cause", "cost", "due_odometer", "exemption", "guard", "map", "odometer", "override", "shop", "sign_off"}
)
"""Objects that mean something only as a whole: half of one amount and half of another is neither."""
TOGETHER_IN_CASE: Final = (("state", "withdrawn_reason"),)
TOGETHER_IN_LINE: Final = (("test", "outcome", "status", "why"), ("part", "position", "stage"), ("outcome", "result"))
"""Fields one statement is made of: changed on both sides they clash, even where each side changed another of them."""


def is_line(path: Path) -> bool:
    """Returns whether a path leads to one item of a keyed list."""
    return len(path) == 2 and path[:1] in KEYS


def is_whole(path: Path) -> bool:
    """Returns whether the object at a path merges only as a whole."""
    return bool(path) and path[-1] in WHOLE and not is_line(path)


def together(path: Path) -> tuple[tuple[str, ...], ...]:
    """Returns the groups of fields, in the object at a path, that make one statement."""
    if not path:
        return TOGETHER_IN_CASE
    return TOGETHER_IN_LINE if is_line(path) else ()


def keyed(path: Path, items: Sequence[dict[str, Any]] | None) -> dict[str, dict[str, Any]]:
    """Returns the items of a keyed list by their key; an item that stands twice keeps both places."""
    out: dict[str, dict[str, Any]] = {}
    seen: Counter[str] = Counter()
    for item in items or ():
        key = " ".join(str(item[name]) for name in KEYS[path] if item.get(name))
        seen[key] += 1
        out[key if seen[key] == 1 else f"{key} #{seen[key]}"] = item
    return out
