"""What the ledger is asked about: which cases count, and whose parts."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from kbapp.ledger.columns import Flags
from kbapp.ledger.rows import Jobs, Symptoms

Outside = Literal["none", "accepted", "all"]
"""Which cases of other shops count: none, those the lead accepted, or all that are signed somewhere."""
Source = Literal["", "own", "reported"]


@dataclass(frozen=True, slots=True)
class LedgerQuestion:
    """An empty field does not restrict.

    ``since`` and ``until``: when a case was opened, a year, month or day (ISO), both included.
    ``source``: parts fitted by the shop itself, those reported by others, or both.
    """

    system: str = ""
    symptom: str = ""
    make: str = ""
    family: str = ""
    since: str = ""
    until: str = ""
    source: Source = ""
    outside: Outside = "accepted"

    def asked(self, jobs: Jobs, symptoms: Symptoms) -> Flags:
        """Returns which cases the question is about, whatever their state."""
        out = np.ones(len(jobs), dtype=np.bool_)
        for wanted, column in ((self.system, jobs.system), (self.make, jobs.make), (self.family, jobs.family)):
            if wanted:
                out &= column.called(wanted)
        if self.since or self.until:
            until = self.until or "9999"
            out &= jobs.opened_day.where(lambda day: day != "" and self.since <= day and day[: len(until)] <= until)
        if self.symptom:
            out &= np.isin(jobs.revision, symptoms.revision[symptoms.term.called(self.symptom)])
        return np.asarray(out, dtype=np.bool_)
