"""The error that carries every fault of a pack."""

from collections.abc import Iterable

from kbapp.errors import DamageError
from kbapp.records.fault import Fault


class PackFaults(DamageError):
    """Refuses a pack; ``faults`` are all that was found wrong with it. Nothing of it was read into a book."""

    def __init__(self, faults: Iterable[Fault], source: str = "") -> None:
        self.faults = tuple(faults)
        self.source = source
        super().__init__("pack_faults", count=len(self.faults), source=source)
