"""Which judgement the guard's card shows, and whether it was seen on this evidence already."""

from kbapp.desktop.split_board.guard_rows import speaking
from kbapp.isolation.guard_warning import Judgement
from kbapp.records.case import Case
from kbapp.records.timeline import PartEntry

Seen = tuple[str, tuple[str, ...]]


class GuardState:
    """Remembers what was closed or opened; a new evidence state speaks anew."""

    def __init__(self) -> None:
        self._judgements: tuple[Judgement, ...] = ()
        self._folded: set[Seen] = set()
        self._opened: set[Seen] = set()

    def clear(self) -> None:
        """Forgets everything: another case is in hand."""
        self._judgements, self._folded, self._opened = (), set(), set()

    def take(self, case: Case, judgements: tuple[Judgement, ...], *, fresh: bool) -> None:
        """Takes over what the guard says. ``fresh``: the case was just opened."""
        self._judgements = speaking(case, judgements)
        stamps = {entry.id: entry.guard for entry in case.timeline if isinstance(entry, PartEntry)}
        for judgement in self._judgements if fresh else ():
            stamp = stamps.get(judgement.entry)
            if stamp is not None and stamp.evidence == judgement.evidence:
                self._folded.add(_seen(judgement))

    @property
    def marks(self) -> dict[str, Judgement]:
        """The judgements that speak, by line."""
        return {judgement.entry: judgement for judgement in self._judgements}

    def current(self, line: str) -> Judgement | None:
        """Returns the judgement to show: that of the current line, else the last that speaks."""
        return self.marks.get(line) or (self._judgements[-1] if self._judgements else None)

    def folded(self, judgement: Judgement) -> bool:
        """Returns whether it was seen on this evidence, so that one line is enough."""
        return _seen(judgement) in self._folded

    def opened(self, judgement: Judgement) -> bool:
        """Returns whether it was asked for."""
        return _seen(judgement) in self._opened

    def fold(self, judgement: Judgement) -> None:
        """Notes that it was seen."""
        self._folded.add(_seen(judgement))
        self._opened.discard(_seen(judgement))

    def open(self, judgement: Judgement) -> None:
        """Notes that it is to be shown in full."""
        self._opened.add(_seen(judgement))
        self._folded.discard(_seen(judgement))


def _seen(judgement: Judgement) -> Seen:
    return judgement.entry, judgement.evidence
