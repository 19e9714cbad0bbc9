"""Lead Check: repaired cases wait for the lead, who proves them, sends them back or lets them stand unproved."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, Literal

from kbapp.app.board import question_of
from kbapp.app.desk import CaseDesk, reason_of, view_of
from kbapp.app.follow_ups import FollowUpPlan, planned
from kbapp.app.lacks import Lack, WritingCheck, lacks, overrides, writing_checks
from kbapp.app.people import People, Roster, check_signer
from kbapp.app.views import CaseView, ChangeSet
from kbapp.errors import InputError
from kbapp.isolation.retest import RetestComparison, comparisons
from kbapp.lookup.question import Answer, Hit, Question
from kbapp.lookup.synonyms import named_concerns
from kbapp.records.base import clean_text
from kbapp.records.case import Case, SignOff
from kbapp.records.moment import instant_now
from kbapp.records.symptoms import symptom
from kbapp.records.timeline import PartEntry
from kbapp.store.book import Book
from kbapp.store.reading import CaseFilter
from kbapp.store.sign_offs import Signature, SignedLine, SignResult
from kbapp.store.values import StoredCase

Group = Literal["waiting", "sent_back", "not_proved", "elsewhere"]
GROUPS: Final[tuple[Group, ...]] = ("waiting", "sent_back", "not_proved", "elsewhere")
SHOWN: Final = 60
"""Most cases of a kind that are read for the queue."""
KIN: Final = 4


@dataclass(frozen=True, slots=True, eq=False)
class QueueRow:
    """A case that waits, with what it lacks."""

    group: Group
    view: CaseView
    lacks: tuple[Lack, ...]
    last: SignedLine | None


@dataclass(frozen=True, slots=True)
class Queue:
    """The cases of every group, the longest waiting first, and how many repaired cases the book has in all."""

    rows: tuple[QueueRow, ...]
    repaired: int
    elsewhere: int


@dataclass(frozen=True, slots=True, eq=False)
class LeadView:
    """All a lead looks at before signing."""

    view: CaseView
    comparisons: tuple[RetestComparison, ...]
    lacks: tuple[Lack, ...]
    checks: tuple[WritingCheck, ...]
    overrides: tuple[tuple[int, PartEntry], ...]
    log: tuple[SignedLine, ...]
    suggested: tuple[str, ...]
    roster: Roster
    recorded_by: str

    @property
    def case(self) -> Case:
        """The case."""
        return self.view.case


class LeadCheck(CaseDesk):
    """The lead's desk of one open book. Every method may be called from any thread."""

    def __init__(self, book: Book, author: str, follow: Callable[[int], None]) -> None:
        super().__init__(book, author, follow)
        self.people = People(book, author)

    def queue(self) -> Queue:
        """Returns the cases that wait, and those that were answered."""
        repaired = CaseFilter(states=("repaired",))
        elsewhere = CaseFilter(states=("proved",), origins=("outside",), signed_here=False)
        found = self._read(repaired)
        last = self._book.last_sign_offs([stored.case.id for stored in found])
        rows = [self._row(stored, last.get(stored.case.id)) for stored in found]
        rows += [QueueRow("elsewhere", view_of(stored), (), None) for stored in self._read(elsewhere)]
        ordered = sorted(rows, key=lambda row: (GROUPS.index(row.group), bool(row.lacks), row.view.saved_at))
        return Queue(tuple(ordered), self._book.count(repaired), self._book.count(elsewhere))

    def _read(self, wanted: CaseFilter) -> tuple[StoredCase, ...]:
        return self._book.cases([row.id for row in self._book.list_cases(wanted, limit=SHOWN)])

    def _row(self, stored: StoredCase, last: SignedLine | None) -> QueueRow:
        missing = lacks(stored.case, self._map(stored.case))
        return QueueRow(group_of(stored, last), view_of(stored), missing, last)

    def view(self, case_id: str) -> LeadView:
        """Returns a case with all that the signature needs.

        Raises:
            InputError: ``case_unknown`` and kin.
        """
        stored = self._book.case(case_id)
        case = stored.case
        suggested = [term for term in suggested_symptoms(case) if term not in case.concern.symptoms]
        revisions = self._book.revisions(case.id)
        return LeadView(
            view_of(stored),
            comparisons(case),
            lacks(case, self._map(case)) if case.state in ("open", "repaired") else (),
            writing_checks(case),
            overrides(case),
            self._book.sign_offs(case.id),
            tuple(suggested),
            self.people.read(),
            revisions[-1].author if revisions else "",
        )

    def accept(
        self,
        case_id: str,
        based_on: int,
        by: str,
        note: str = "",
        plan: FollowUpPlan = FollowUpPlan(),  # noqa: B008
    ) -> ChangeSet:
        """Signs a case as proved, and plans its follow-ups.

        Raises:
            InputError: who may not sign (``sign_…``), what the case lacks (``prove_…``), ``sign_moved_on``.
        """
        case, own = self._signer(case_id, by)
        missing = lacks(case, self._map(case))
        if case.state != "repaired" or missing:
            code = missing[0].code if missing else "not_waiting"
            raise InputError(f"prove_{code}", number=case.number or case.id, what=missing[0].what if missing else "")
        at = instant_now()
        sign = self._sign_off("proved", by, at, note, own=own)
        update = {"state": "proved", "sign_off": sign, "follow_ups": (*case.follow_ups, *planned(case, at, plan))}
        return self._signed(case.model_copy(update=update), based_on, sign, "proved")

    def not_proved(self, case_id: str, based_on: int, by: str, note: str = "") -> ChangeSet:
        """Signs that a case is done but not proved: it stays repaired, counts nowhere and leaves the queue."""
        case, own = self._signer(case_id, by)
        self._refuse_unless_repaired(case)
        sign = self._sign_off("not_proved", by, instant_now(), note, own=own)
        return self._signed(case.model_copy(update={"sign_off": sign}), based_on, sign, "not_proved")

    def send_back(self, case_id: str, based_on: int, by: str, words: str) -> ChangeSet:
        """Sends a case back to whoever worked on it, with words; it waits again once it is changed.

        Raises:
            InputError: ``reason_too_short``, or who may not sign.
        """
        case, own = self._signer(case_id, by, own_work_too=True)
        self._refuse_unless_repaired(case)
        sign = self._sign_off("sent_back", by, instant_now(), reason_of(words), own=own)
        return self._signed(case.model_copy(update={"sign_off": sign}), based_on, sign, "sent_back")

    def add_word(self, case_id: str, based_on: int, word: str) -> ChangeSet:
        """Adds a search word of the vocabulary to a case that is not signed yet."""
        case = self._book.revision(case_id, based_on).case
        concern = case.concern.model_copy(update={"symptoms": (*case.concern.symptoms, word)})
        return self._save(case.model_copy(update={"concern": concern}), based_on, "")

    def accept_elsewhere(self, case_id: str, by: str) -> ChangeSet:
        """Takes over the signature of another shop: from now on the case counts here."""
        case, _own = self._signer(case_id, by)
        change = self._book.accept_signature(case.id, self._author, Signature(by.strip(), "lead", "accepted"))
        self._follow(change)
        return ChangeSet(change, (case.id,))

    def _signer(self, case_id: str, by: str, *, own_work_too: bool = False) -> tuple[Case, bool]:
        case = self._book.case(case_id).case
        revisions = self._book.revisions(case.id)
        roster = self.people.read()
        if own_work_too:  # nobody is harmed by sending one's own work back
            roster = roster.model_copy(update={"own_work": True})
        return case, check_signer(roster, case, by, revisions[-1].author if revisions else "")

    @staticmethod
    def _refuse_unless_repaired(case: Case) -> None:
        if case.state != "repaired":
            code = "prove_not_repaired" if case.state == "open" else "prove_not_waiting"
            raise InputError(code, number=case.number or case.id, what="")

    def _sign_off(
        self, result: Literal["proved", "not_proved", "sent_back"], by: str, at: str, note: str, *, own: bool
    ) -> SignOff:
        person = self.people.read().find(by)
        initials = person.initials if person is not None else by.strip()
        return SignOff(by=initials, role="lead", at=at, result=result, own_work=own, note=clean_text(note))

    def _signed(self, case: Case, based_on: int, sign: SignOff, result: SignResult) -> ChangeSet:
        signature = Signature(sign.by, sign.role, result, sign.own_work, sign.note)
        return self._told(self._book.sign(case, based_on, signature, author=self._author, reason=f"sign_off:{result}"))


def group_of(stored: StoredCase, last: SignedLine | None) -> Group:
    """Returns where a repaired case stands: whatever was changed after the lead's word waits again."""
    sign = stored.case.sign_off
    if sign is None or sign.result == "proved" or (last is not None and stored.revision > last.revision):
        return "waiting"
    return "sent_back" if sign.result == "sent_back" else "not_proved"


def suggested_symptoms(case: Case) -> tuple[str, ...]:
    """Returns the concerns of the vocabulary that the words of a case name, in its own system first."""
    text = " ".join((case.concern.text, *case.concern.symptoms))
    found = [known for term in named_concerns(text[:1000]) if (known := symptom(term)) is not None]
    return tuple(one.term for one in sorted(found, key=lambda one: one.system != case.concern.system))


def kin_question(case: Case) -> Question:
    """Returns the question that asks for near duplicates of a case."""
    return question_of(case, KIN)


def near_duplicates(answer: Answer, case: Case) -> tuple[Hit, ...]:
    """Returns the cases found that are not tied to the case already."""
    tied = {link.case for link in case.links}
    return tuple(hit for hit in answer.hits if hit.id not in tied)
