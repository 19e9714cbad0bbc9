"""Finds what contradicts itself inside a well-formed case: ids given twice, references to nothing or in a circle."""

from collections.abc import Iterator, Mapping

from kbapp.records.case import Case
from kbapp.records.fault import Fault, shorten
from kbapp.records.timeline import TestEntry


def consistency_faults(case: Case) -> tuple[Fault, ...]:
    """Returns every contradiction of a case, in the order of the document."""
    known = dict.fromkeys(name for _, name in _ids(case))
    unknown = [
        Fault(path, "entry_unknown", shorten(name))
        for path, name in references(case)
        if name is not None and name not in known
    ]
    itself = [Fault(f"links.{n}.case", "link_to_itself") for n, link in enumerate(case.links) if link.case == case.id]
    return (*_ids_twice(case), *unknown, *_circles(case), *itself)


def references(case: Case) -> Iterator[tuple[str, str | None]]:
    """Yields every field that names a line of the case, as dotted path and id."""
    for n, entry in enumerate(case.timeline):
        if isinstance(entry, TestEntry):
            yield f"timeline.{n}.repeat_of", entry.repeat_of
            yield f"timeline.{n}.supersedes", entry.supersedes
    for n, retest in enumerate(case.retest):
        yield f"retest.{n}.repeats", retest.repeats
    for n, attachment in enumerate(case.attachments):
        yield f"attachments.{n}.entry", attachment.entry


def _ids(case: Case) -> Iterator[tuple[str, str]]:
    for n, entry in enumerate(case.timeline):
        yield f"timeline.{n}.id", entry.id
    for n, retest in enumerate(case.retest):
        yield f"retest.{n}.id", retest.id


def _ids_twice(case: Case) -> Iterator[Fault]:
    seen: set[str] = set()
    for path, name in _ids(case):
        if name in seen:
            yield Fault(path, "entry_id_twice", shorten(name))
        seen.add(name)


def _circles(case: Case) -> Iterator[Fault]:
    """Yields a fault for each test that, followed along ``repeat_of`` or ``supersedes``, leads back to itself."""
    tests = [(n, entry) for n, entry in enumerate(case.timeline) if isinstance(entry, TestEntry)]
    for field in ("repeat_of", "supersedes"):
        step: dict[str, str | None] = {entry.id: getattr(entry, field) for _, entry in tests}
        circle = _on_a_circle(step)
        for n, entry in tests:
            if entry.id in circle:
                yield Fault(f"timeline.{n}.{field}", "entry_circle", shorten(step[entry.id]))


def _on_a_circle(step: Mapping[str, str | None]) -> set[str]:
    """Returns the ids that lead back to themselves; each id is walked over once."""
    walked: set[str] = set()
    found: set[str] = set()
    for start in step:
        path: dict[str, None] = {}
        at: str | None = start
        while at is not None and at not in walked:
            walked.add(at)
            path[at] = None
            at = step.get(at)
        if at is not None and at in path:
            ids = list(path)
            found.update(ids[ids.index(at) :])
    return found
