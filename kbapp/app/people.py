"""Who works here and who leads: initials and roles, kept on the shelf of the book.

On a shared PC this says who did what; it keeps nobody out. Whoever may write the book may type any initials.
"""

from typing import Annotated, Final, Literal

from pydantic import Field, ValidationError

from kbapp.errors import InputError
from kbapp.records.base import Flag, Record, Word, clean_text
from kbapp.records.case import Case
from kbapp.records.timeline import NoteEntry
from kbapp.store.book import Book

PEOPLE_SHELF: Final = "people"
PEOPLE_KEY: Final = "shop"
Role = Literal["technician", "lead"]
_LONGEST: Final = 12


class Person(Record):
    """One person by initials. Who has left stays known for what was signed before."""

    initials: Annotated[Word, Field(max_length=_LONGEST)]
    role: Role = "technician"
    left: Flag = False


class Roster(Record):
    """Everyone, and whether a lead may sign work of their own (marked so)."""

    people: tuple[Person, ...] = ()
    own_work: Flag = False

    @property
    def here(self) -> tuple[Person, ...]:
        """Those who work here now."""
        return tuple(person for person in self.people if not person.left)

    @property
    def leads(self) -> tuple[str, ...]:
        """The initials of those who may sign."""
        return tuple(person.initials for person in self.here if person.role == "lead")

    def find(self, initials: str) -> Person | None:
        """Returns the person of these initials, however they are typed."""
        wanted = initials.strip().casefold()
        return next((person for person in self.people if person.initials.casefold() == wanted), None)


class People:
    """The people of one open book. Every method may be called from any thread."""

    def __init__(self, book: Book, author: str) -> None:
        self._book, self._author = book, author

    def read(self) -> Roster:
        """Returns who works here; a document that cannot be read names nobody."""
        found = self._book.shelved(PEOPLE_SHELF, PEOPLE_KEY)
        try:
            return Roster.model_validate_json(found.document) if found is not None else Roster()
        except ValidationError:
            return Roster()

    def keep(self, roster: Roster, by: str) -> None:
        """Keeps who works here. Where there is a lead, only a lead changes it.

        Raises:
            InputError: ``people_need_lead``, ``people_twice``, or ``people_last_lead``: nobody would lead.
        """
        before = self.read()
        if before.leads and by.strip().casefold() not in {name.casefold() for name in before.leads}:
            raise InputError("people_need_lead", by=by.strip() or "?", leads=", ".join(before.leads))
        names = [person.initials.casefold() for person in roster.people]
        twice = next((person.initials for person in roster.people if names.count(person.initials.casefold()) > 1), "")
        if twice:
            raise InputError("people_twice", initials=twice)
        if not roster.leads:
            raise InputError("people_last_lead")
        document = roster.model_dump_json(exclude_defaults=True)
        self._book.put_shelved(PEOPLE_SHELF, PEOPLE_KEY, document, by.strip() or self._author)


def roster_of(before: Roster, leads: str, technicians: str, *, own_work: bool) -> Roster:
    """Returns who works here as two lines of initials say; who is no longer named there has left.

    Raises:
        InputError: ``initials_wrong``, some are too long.
    """
    people: dict[str, Person] = {}
    roles: tuple[tuple[Role, str], ...] = (("lead", leads), ("technician", technicians))
    for role, line in roles:
        for initials in clean_text(line, lines=False).replace(",", " ").replace(";", " ").split():
            if len(initials) > _LONGEST:
                raise InputError("initials_wrong", most=_LONGEST)
            people.setdefault(initials.casefold(), Person(initials=initials, role=role))
    for person in before.people:
        people.setdefault(person.initials.casefold(), person.model_copy(update={"left": True}))
    return Roster(people=tuple(people.values()), own_work=own_work)


def workers(case: Case) -> dict[str, tuple[int, ...]]:
    """Returns who worked on a case, with their lines (from 1; retests stand behind the timeline); notes are no work."""
    lines: dict[str, tuple[int, ...]] = {}
    own = [(n, entry.by) for n, entry in enumerate(case.timeline, 1)
           if entry.source == "own" and not isinstance(entry, NoteEntry)]  # fmt: skip
    retests = [(n, retest.by) for n, retest in enumerate(case.retest, len(case.timeline) + 1)]
    for n, by in (*own, *retests):
        if by.strip():
            name = by.strip().casefold()
            lines[name] = (*lines.get(name, ()), n)
    return lines


def check_signer(roster: Roster, case: Case, by: str, recorded_by: str) -> bool:
    """Returns whether it is own work that ``by`` signs; ``recorded_by`` stands for the work where no line names anyone.

    Raises:
        InputError: ``sign_nobody``, ``sign_no_lead``, ``sign_unknown``, ``sign_left``, ``sign_not_lead`` or
            ``sign_own_work``: why these initials may not sign this case.
    """
    if not by.strip():
        raise InputError("sign_nobody")
    if not roster.leads:
        raise InputError("sign_no_lead")
    person = roster.find(by)
    if person is None:
        raise InputError("sign_unknown", by=by.strip(), leads=", ".join(roster.leads))
    if person.left or person.role != "lead":
        code = "sign_left" if person.left else "sign_not_lead"
        raise InputError(code, by=person.initials, leads=", ".join(roster.leads))
    worked = workers(case) or {recorded_by.strip().casefold(): ()}
    name = person.initials.casefold()
    if name not in worked:
        return False
    if not roster.own_work and len(roster.here) > 1:
        raise InputError("sign_own_work", by=person.initials, lines=", ".join(map(str, worked[name])) or "1")
    return True
