"""A dry run of a map: one hidden cause, tests answered as they would come out, and whether the map isolates it."""

import random
import uuid
from collections.abc import Iterable
from dataclasses import dataclass

from kbapp.isolation.economics import Economics
from kbapp.isolation.model import Model, build
from kbapp.isolation.picture import Picture, picture, ranking
from kbapp.isolation.ranking import Ranking
from kbapp.records.case import CASE_FORMAT, Case, Concern
from kbapp.records.section_map import NOT_ON_MAP, SectionMap
from kbapp.records.timeline import TestEntry


@dataclass(frozen=True, slots=True)
class Answered:
    """A test that was run, with its outcome. ``expected``: it is the one the hidden cause makes likeliest."""

    test: str
    outcome: str
    expected: bool


@dataclass(frozen=True, slots=True, eq=False)
class Standing:
    """Where the run stands: shares and states, the tests that could follow, and whether the cause is isolated."""

    picture: Picture
    ranking: Ranking
    answered: tuple[Answered, ...]
    isolated: bool

    @property
    def exhausted(self) -> bool:
        """Whether no test is left."""
        return not self.ranking.tests


class DryRun:
    """One run over a map. ``hidden``: a section id, or ``not_on_map``."""

    def __init__(self, section_map: SectionMap, hidden: str, missing: Iterable[str] = ()) -> None:
        self.section_map, self.hidden = section_map, hidden
        self._missing = frozenset(missing)
        self._model = build(section_map)
        self._case = Case(
            format=CASE_FORMAT, id=str(uuid.UUID(int=0)), state="open", concern=Concern(text=section_map.title)
        )

    @property
    def causes(self) -> tuple[str, ...]:
        """The causes one can hide."""
        return self.section_map.hypotheses()

    def expected(self, test_id: str) -> str:
        """Returns the outcome the hidden cause makes likeliest."""
        return likeliest(self._model, test_id, self.hidden)

    def answer(self, test_id: str, outcome: str) -> None:
        """Records how a test came out; a test answered before is answered anew."""
        kept = tuple(
            entry for entry in self._case.timeline if not (isinstance(entry, TestEntry) and entry.test == test_id)
        )
        entry = TestEntry(
            id=f"d{len(self._case.timeline) + 1}-{test_id}"[:120], kind="test", test=test_id, outcome=outcome
        )
        self._case = self._case.model_copy(update={"timeline": (*kept, entry)})

    def take_back(self) -> bool:
        """Takes the last answer back."""
        if not self._case.timeline:
            return False
        self._case = self._case.model_copy(update={"timeline": self._case.timeline[:-1]})
        return True

    def view(self) -> Picture:
        """Returns shares and states alone."""
        return picture(self._case, self._model)

    def stand(self) -> Standing:
        """Returns where the run stands."""
        view = self.view()
        return Standing(
            view,
            ranking(view, self._case, Economics(), self._missing, "gain"),
            tuple(
                Answered(entry.test, entry.outcome, entry.outcome == self.expected(entry.test))
                for entry in self._case.timeline
                if isinstance(entry, TestEntry)
            ),
            view.state(self.hidden) == "supported",
        )


def likeliest(model: Model, test_id: str, cause: str) -> str:
    """Returns the outcome of a test that is likeliest under a cause."""
    test = model.section_map.test(test_id)
    if test is None:
        return ""
    return test.outcomes[int(model.tables[test_id][:, model.index[cause]].argmax())].id


def hide_one(section_map: SectionMap, seed: int | None = None) -> str:
    """Returns a cause drawn by the weights of the map."""
    weights = [*(section.prior for section in section_map.sections), section_map.not_on_map]
    return random.Random(seed).choices(section_map.hypotheses(), weights)[0]  # noqa: S311 - a game, no secret


def not_isolated(section_map: SectionMap) -> tuple[str, ...]:
    """Returns the sections that stay unsupported although every test came out as it should."""
    left = []
    for cause in section_map.hypotheses():
        if cause == NOT_ON_MAP:
            continue
        run = DryRun(section_map, cause)
        for test in section_map.tests:
            run.answer(test.id, run.expected(test.id))
        if run.view().state(cause) != "supported":
            left.append(cause)
    return tuple(left)
