"""One open case beside the vehicle: what it says now, what could follow, each line recorded as a step of its own."""

from dataclasses import dataclass

from kbapp.app.advising import Ask, stamped
from kbapp.app.places import places
from kbapp.app.session import Session
from kbapp.app.settings import Settings, read_settings
from kbapp.app.still_on import still_on
from kbapp.app.views import CaseView, ChangeSet
from kbapp.app.working import CaseWork
from kbapp.errors import InputError
from kbapp.isolation.advice import Advice
from kbapp.isolation.guard_warning import Judgement
from kbapp.isolation.rigs import StillOn
from kbapp.lookup.question import Evidence, Question
from kbapp.records.case import Attachment, Case, Cause, CodeRecord, Correction, MapReference
from kbapp.records.moment import instant_now
from kbapp.records.section_map import SectionMap
from kbapp.records.timeline import Effect, Override, PartEntry, TestEntry, TimelineEntry

KIN: int = 6
"""How many similar cases are shown."""


@dataclass(frozen=True, slots=True, eq=False)
class BoardView:
    """The case as it stands, at once after every step.

    ``fitting``: maps that fit the concern, the best first; ``nested``: the maps that pinpoint inside a section.
    """

    view: CaseView
    can_undo: bool
    can_redo: bool
    section_map: SectionMap | None
    fitting: tuple[SectionMap, ...]
    nested: tuple[SectionMap, ...]
    currency: str

    @property
    def case(self) -> Case:
        """The case."""
        return self.view.case


@dataclass(frozen=True, slots=True, eq=False)
class Outlook:
    """What follows from a case, a moment later: advice (None without a map), the guard's words, what is still on."""

    revision: int
    advice: Advice | None
    judgements: tuple[Judgement, ...]
    still_on: tuple[StillOn, ...]


class BoardWork:
    """The case in hand. Steps are called from one thread at a time; ``outlook`` may run beside them."""

    def __init__(self, session: Session, case_id: str) -> None:
        self._session = session
        self._work = CaseWork(session, case_id)

    @property
    def case(self) -> Case:
        """The case as it stands."""
        return self._work.case

    def refresh(self) -> BoardView:
        """Takes in what others saved."""
        self._work.refresh()
        return self.view()

    def view(self) -> BoardView:
        """Returns the case as it stands."""
        case = self.case
        section_map = self._map(case)
        fitting = self._session.proposed_maps(case)
        nested = self._session.nested_maps(section_map) if section_map is not None else ()
        work = self._work
        currency = shop_settings().currency
        return BoardView(work.view, work.can_undo, work.can_redo, section_map, fitting, nested, currency)

    def _map(self, case: Case) -> SectionMap | None:
        if case.map is None:
            return None
        try:
            return self._session.map_of(case)
        except InputError:
            return None  # drawn by another shop and not here: the case goes on without it

    def record(self, entry: TimelineEntry) -> ChangeSet:
        """Records a new line, now and by whoever works here; an own part is judged by the guard and stamped."""
        known = {"id": self._work.next_id(), "at": entry.at or instant_now(), "by": entry.by or self._author()}
        return self._work.add(self._judged(entry.model_copy(update=known)))

    def correct(self, entry: TimelineEntry) -> ChangeSet:
        """Puts a corrected line in place of the one with its id; its guard stamp stays that of its moment."""
        return self._work.replace(entry)

    def remove(self, entry_id: str) -> ChangeSet:
        """Takes a line out."""
        return self._work.remove(entry_id)

    def _author(self) -> str:
        return self._session.info.author

    def _judged(self, entry: TimelineEntry) -> TimelineEntry:
        if not isinstance(entry, PartEntry) or entry.source != "own" or entry.stage == "removed":
            return entry
        case = self.case.model_copy(update={"timeline": (*self.case.timeline, entry)})
        section_map = self._map(case)
        guard = self._session.guard(case, section_map, Ask(missing=self._missing()), shop_settings())
        _judgement, stamp = stamped(guard, case, section_map, len(case.timeline) - 1, entry.at or instant_now())
        return entry.model_copy(update={"guard": stamp})

    def _missing(self) -> frozenset[str]:
        return missing_kit(self._session, self.case)

    def fit(self, planned: PartEntry, override: Override | None = None) -> ChangeSet:
        """Records that a planned part was fitted, with the reason where the guard spoke against it."""
        update = {"stage": "fitted", "at": None, "by": "", "guard": None, "override": override}
        return self.record(planned.model_copy(update=update))

    def override(self, entry_id: str, by: str, reason: str) -> ChangeSet:
        """Records why a part is fitted against the guard: a planned one is fitted by it."""
        entry = self._part(entry_id)
        said = Override(by=by, reason=reason, at=instant_now())
        if entry.stage == "planned":
            return self.fit(entry, said)
        return self.correct(entry.model_copy(update={"override": said}))

    def changed_by(self, entry_id: str, effect: Effect) -> ChangeSet:
        """Records what fitting a part changed."""
        return self.correct(self._part(entry_id).model_copy(update={"effect": effect}))

    def _part(self, entry_id: str) -> PartEntry:
        for entry in self.case.timeline:
            if entry.id == entry_id and isinstance(entry, PartEntry):
                return entry
        raise InputError("line_unknown", line=entry_id)

    def take_off(self, entry_id: str) -> ChangeSet:
        """Records that what a test or a temporary part left on the vehicle is off again."""
        for entry in self.case.timeline:
            if entry.id == entry_id and isinstance(entry, TestEntry):
                return self.correct(entry.model_copy(update={"undone": True}))
        part = self._part(entry_id)
        return self.record(PartEntry(id=part.id, kind="part", part=part.part, position=part.position, stage="removed",
                                     purpose=part.purpose))  # fmt: skip

    def choose_map(self, section_map: SectionMap | None) -> ChangeSet:
        """Works the case with a map, or with none."""
        chosen = MapReference(id=section_map.id, version=section_map.version) if section_map is not None else None
        return self._work.change(self.case.model_copy(update={"map": chosen}))

    def repaired(self, cause: Cause, correction: Correction) -> ChangeSet:
        """Says that the vehicle is repaired, by which cause and with what correction.

        Raises:
            InputError: ``still_on_vehicle``: something has to come off first.
        """
        left = still_on(self.case, self._map(self.case))
        if left:
            raise InputError("still_on_vehicle", what="; ".join(item.what for item in left))
        update = {"state": "repaired", "cause": cause, "correction": correction}
        return self._work.change(self.case.model_copy(update=update))

    def attach(
        self, name: str, sha256: str, size: int, media_type: str, entry_id: str, original: str = ""
    ) -> ChangeSet:
        """Records a file that the book keeps already; the same file twice stays one.

        ``original`` names the photo it was made from.
        """
        case = self.case
        known = {attachment.sha256: attachment for attachment in case.attachments}
        known[sha256] = Attachment(
            sha256=sha256,
            name=name,
            size=size,
            media_type=media_type,
            entry=entry_id or None,
            original=original or None,
        )
        return self._work.change(case.model_copy(update={"attachments": tuple(known.values())}))

    def add_codes(self, codes: tuple[CodeRecord, ...]) -> ChangeSet:
        """Adds trouble codes a scan report holds; those the case has already stay as they are."""
        case = self.case
        known = {(code.code, code.module) for code in case.codes}
        new = tuple(code for code in codes if (code.code, code.module) not in known)
        return self._work.change(case.model_copy(update={"codes": (*case.codes, *new)}))

    def undo(self) -> ChangeSet:
        """Takes the last step back."""
        return self._work.undo()

    def redo(self) -> ChangeSet:
        """Does the last undone step again."""
        return self._work.redo()


def shop_settings() -> Settings:
    """Returns the shop's settings on this PC."""
    return read_settings(places().settings)[0]


def missing_kit(session: Session, case: Case) -> frozenset[str]:
    """Returns the kit the shop lacks for the vehicle of a case."""
    return session.kit().missing(case.vehicle.family if case.vehicle is not None else "")


def outlook(session: Session, view: BoardView) -> Outlook:
    """Returns what follows from a case as it stands."""
    case, section_map = view.case, view.section_map
    ask = Ask(missing=missing_kit(session, case))
    left = still_on(case, section_map)
    if section_map is None:
        judged = session.guard(case, None, ask, shop_settings()).judge_all()
        return Outlook(view.view.revision, None, judged, left)
    advice = session.advise(case, section_map, ask, shop_settings())
    return Outlook(view.view.revision, advice, advice.guard, left)


def question_of(case: Case, limit: int = KIN) -> Question:
    """Returns the question that asks for cases like this one with everything it knows by now."""
    vehicle = case.vehicle
    tried = (entry.part for entry in case.timeline if isinstance(entry, PartEntry) and entry.stage == "fitted")
    tests = (entry for entry in case.timeline if isinstance(entry, TestEntry))
    return Question(
        text=" ".join(case.concern.text.split()),
        system=case.concern.system,
        symptoms=case.concern.symptoms,
        make=vehicle.make if vehicle else "",
        family=vehicle.family if vehicle else "",
        generation=vehicle.generation if vehicle else "",
        engine=vehicle.engine if vehicle else "",
        codes=tuple(dict.fromkeys(code.code for code in case.codes)),
        parts_tried=tuple(dict.fromkeys(tried)),
        evidence=tuple(dict.fromkeys(Evidence(e.test, e.outcome) for e in tests if e.status == "done" and e.outcome)),
        not_case=case.id,
        limit=limit,
    )
