"""How large a pack may be: beyond these limits it is refused, not cut."""

from dataclasses import dataclass
from typing import Final

MIB: Final = 1024 * 1024


@dataclass(frozen=True, slots=True)
class Limits:
    """Sizes in bytes; ``ratio``: unpacked to packed; ``depth``: parts of a path; ``path``: its characters."""

    packed: int = 1024 * MIB
    unpacked: int = 1024 * MIB
    file: int = 64 * MIB
    entries: int = 20_000
    ratio: int = 100
    depth: int = 8
    path: int = 200


LIMITS: Final = Limits()
