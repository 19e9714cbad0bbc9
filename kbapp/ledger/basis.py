"""Which cases count: proved, independent, each job and each vehicle once; and why the others do not."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from kbapp.ledger.columns import Flags, Numbers
from kbapp.ledger.groups import Groups
from kbapp.ledger.question import LedgerQuestion
from kbapp.ledger.rows import Jobs, Links, Symptoms

LeftOut = Literal[
    "not_proved", "came_back", "withdrawn", "superseded", "not_separated", "same_job", "signed_elsewhere", "imported"
]  # fmt: skip
LEFT_OUT: Final[tuple[LeftOut, ...]] = (
    "not_proved", "came_back", "withdrawn", "superseded", "not_separated", "same_job", "signed_elsewhere", "imported",
)  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class Basis:
    """The cases asked for and those that count, as places in ``jobs``.

    ``asked``: what the question is about, whatever its state; ``counted``: oldest first; ``vehicle``: a number for the
    vehicle of every case; ``again``: case → the cases it came back as (those in the book); ``returned``: which cases
    came back; ``foreign``: which are another shop's, unless all of those count (only proved ones can be accepted).
    """

    jobs: Jobs
    asked: Flags
    counted: Numbers
    vehicle: Numbers
    left_out: Mapping[LeftOut, int]
    again: Mapping[int, tuple[int, ...]]
    returned: Flags
    foreign: Flags

    @property
    def vehicles(self) -> int:
        """How many vehicles stand behind the figures."""
        return len(np.unique(self.vehicle[self.counted]))

    def repairs(self) -> Numbers:
        """Returns the repairs that were proved once, those that came back included: what comebacks are out of."""
        back = self.asked & self.returned & ~self.jobs.state.among("withdrawn") & ~self.foreign
        return np.concatenate([self.counted, np.flatnonzero(back)])


@dataclass(frozen=True, slots=True, eq=False)
class _Ties:
    same: Groups
    superseded: Flags
    again: dict[int, tuple[int, ...]]
    returned: Flags


def basis(jobs: Jobs, symptoms: Symptoms, links: Links, question: LedgerQuestion) -> Basis:
    """Returns which of the cases count for a question."""
    ties = _ties(jobs, links)
    asked = question.asked(jobs, symptoms)
    outside = jobs.origin.among("outside")
    reasons: list[tuple[LeftOut, Flags]] = [
        ("withdrawn", jobs.state.among("withdrawn")),
        ("came_back", ties.returned),
        ("not_proved", ~jobs.state.among("proved")),
        ("superseded", ties.superseded),
        ("imported", outside & (question.outside == "none")),
        ("signed_elsewhere", ~jobs.signed_here & (question.outside != "all")),
        ("not_separated", jobs.not_separated),
    ]
    left_out: dict[LeftOut, int] = {}
    counts = asked.copy()
    for reason, holds in reasons:
        left_out[reason] = int((counts & holds).sum())
        counts &= ~holds
    twice = _second_records(jobs, ties.same, counts)
    left_out["same_job"] = len(twice)
    counts[twice] = False
    places = np.flatnonzero(counts)
    return Basis(
        jobs=jobs,
        asked=asked,
        counted=places[np.lexsort((jobs.revision[places], _days(jobs, places)))],
        vehicle=_vehicles(jobs, ties.same),
        left_out={reason: n for reason, n in left_out.items() if n},
        again=ties.again,
        returned=ties.returned,
        foreign=outside & (question.outside != "all"),
    )


def _ties(jobs: Jobs, links: Links) -> _Ties:
    places = dict(zip(jobs.revision.tolist(), range(len(jobs)), strict=True)) if links.kind else {}
    by_id = dict(zip(jobs.id, range(len(jobs)), strict=True)) if links.kind else {}
    same, again = Groups(), dict[int, tuple[int, ...]]()
    superseded, returned = np.zeros(len(jobs), dtype=np.bool_), jobs.state.among("came_back")
    for revision, kind, other in zip(links.revision, links.kind, links.case_id, strict=True):
        here, there = places.get(revision), by_id.get(other)
        if here is None:
            continue
        if kind == "same_as":
            same.join(jobs.id[here], other)
        elif kind == "supersedes" and there is not None:
            superseded[there] = True
        elif kind == "came_back_as":
            returned[here] = True
            if there is not None:
                again[here] = (*again.get(here, ()), there)
    return _Ties(same, superseded, again, returned)


def _second_records(jobs: Jobs, same: Groups, counts: Flags) -> list[int]:
    """Returns the cases that record a job which another counted case stands for.

    The shop's own record stands for a job, then a signed one, then the latest.
    """
    groups: dict[str, list[int]] = {}
    for place in np.flatnonzero(counts).tolist() if same else ():
        root = same.root(jobs.id[place])
        groups.setdefault(root, []).append(place)
    own = ~jobs.origin.among("outside")

    def weight(place: int) -> tuple[bool, bool, str, str]:
        return bool(own[place]), bool(jobs.signed_here[place]), jobs.opened_day.at(place), jobs.id[place]

    return [place for group in groups.values() for place in sorted(group, key=weight)[:-1]]


def _vehicles(jobs: Jobs, same: Groups) -> Numbers:
    """Returns a number a vehicle: cases with one label, or recording one job, share it."""
    groups = Groups()
    if same:
        for case_id in jobs.id:
            groups.join(case_id, same.root(case_id))
    for case_id, label in zip(jobs.id, jobs.vehicle_ref, strict=True):
        if label:
            groups.join(case_id, f"vehicle {label}")
    if not groups:
        return np.arange(len(jobs), dtype=np.int64)
    known: dict[str, int] = {}
    roots = (known.setdefault(groups.root(case_id), len(known)) for case_id in jobs.id)
    return np.fromiter(roots, dtype=np.int64, count=len(jobs))


def _days(jobs: Jobs, places: Numbers) -> Numbers:
    order = np.argsort(np.array(jobs.opened_day.words, dtype=np.str_), kind="stable")
    ranks = np.empty(len(order), dtype=np.int64)
    ranks[order] = np.arange(len(order))
    return np.asarray(ranks[jobs.opened_day.codes[places]], dtype=np.int64)
