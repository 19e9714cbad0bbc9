"""The swap guard: what speaks against fitting a part, on the evidence of that moment and never on later results."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from kbapp.isolation.economics import Economics, fitting_cost
from kbapp.isolation.exemptions import exemption
from kbapp.isolation.guard_history import repeat, unchanged, without_retest
from kbapp.isolation.guard_rules import map_rules, results_against, untested_siblings
from kbapp.isolation.guard_warning import WEIGHTS, GuardSettings, GuardWarning, Judgement, Scene
from kbapp.isolation.model import Model
from kbapp.isolation.part_record import part_record
from kbapp.isolation.parts import places_of, same_part
from kbapp.isolation.picture import picture, ranking
from kbapp.isolation.repair_cost import fit_first
from kbapp.isolation.results import cure_chances
from kbapp.records.case import Case
from kbapp.records.moment import parse_moment
from kbapp.records.timeline import GuardStamp, PartEntry
from kbapp.records.timeline import GuardWarning as StampedWarning

_ORDER: Final = tuple(WEIGHTS)
# The bare word "maintenance" lifts everything but these.
_STAND_WITH_BARE_WORD: Final = ("contradicted", "cannot_judge")
_TRIGGER_BLOCKED_BY: Final = (
    "unsupported",
    "contradicted",
    "repeat",
    "unchanged",
    "cannot_judge",
    "exemption_incomplete",
)


class Guard:
    """Judges the parts of one case; ``history``: earlier cases of the vehicle, ``proved``: cases statistics may use."""

    def __init__(
        self,
        case: Case,
        model: Model | None,
        settings: GuardSettings = GuardSettings(),  # noqa: B008 - frozen value
        economics: Economics = Economics(),  # noqa: B008 - frozen value
        *,
        missing: frozenset[str] = frozenset(),
        history: Sequence[Case] = (),
        proved: Sequence[Case] = (),
    ) -> None:
        self._case = case
        self._model = model
        self._settings = settings
        self._economics = economics
        self._missing = missing
        self._history = history
        self._proved = proved

    def judge_all(self) -> tuple[Judgement, ...]:
        """Returns the judgement of every own part: planned ones unless fitted since, fitted ones as of then."""
        return tuple(
            self.judge(n)
            for n, entry in enumerate(self._case.timeline)
            if isinstance(entry, PartEntry) and entry.source == "own" and self._stands(n, entry)
        )

    def judge(self, index: int) -> Judgement:
        """Returns what the guard says about the part on line ``index``, on the evidence of the lines before it.

        Raises:
            TypeError: the line is no part.
        """
        scene = self._scene(index)
        entry, section_map = scene.entry, scene.section_map
        exempt = exemption(entry, self._case.timeline, section_map, self._trigger_qualifies)
        warnings = [] if exempt.state == "full" else list(_rules(scene))
        if exempt.state == "bare":
            warnings = [warning for warning in warnings if warning.rule in _STAND_WITH_BARE_WORD]
        if exempt.state == "incomplete":
            warnings.append(GuardWarning("exemption_incomplete", needs=exempt.needs))
        warnings.sort(key=lambda warning: _ORDER.index(warning.rule))
        judgement = Judgement(
            entry.id, entry.part, entry.position, entry.stage, exempt, tuple(warnings), sections=scene.sections
        )
        return self._with_outlook(scene, judgement)

    def _scene(self, index: int) -> Scene:
        entry = self._case.timeline[index]
        if not isinstance(entry, PartEntry):
            raise TypeError(index)
        model = self._model
        places = places_of(model.section_map, entry) if model is not None else ()
        return Scene(
            case=self._case,
            index=index,
            entry=entry,
            model=model,
            view=picture(self._case, model, index) if model is not None else None,
            places=places,
            cost=fitting_cost(entry, places, self._economics),
            settings=self._settings,
            history=self._history,
            proved=self._proved,
        )

    def _with_outlook(self, scene: Scene, judgement: Judgement) -> Judgement:
        """Returns the judgement with the evidence it stands on, the test to run instead and the two costs."""
        view = scene.view
        if view is None:
            return judgement
        judgement = replace(judgement, evidence=view.evidence_key(), share=scene.share)
        if not judgement.warnings:
            return judgement
        until = self._case.model_copy(update={"timeline": self._case.timeline[: scene.index]})
        ranked = ranking(view, until, self._economics, self._missing)
        best = next((test for test in ranked.tests if test.choice.ready), None)
        fit_now = None
        if ranked.problem is not None and scene.places and scene.cost is not None:
            fit_now = fit_first(ranked.problem, view.shares, cure_chances(view.model, scene.places), scene.cost)
        return replace(
            judgement,
            against=results_against(scene, view.evidence),
            untested=untested_siblings(scene, view),
            next_test=best.way.test.id if best is not None else "",
            next_minutes=best.way.minutes if best is not None else None,
            fit_now=fit_now,
            test_first=ranked.costs.test_first,
        )

    def _trigger_qualifies(self, trigger: PartEntry) -> bool:
        """Returns whether the side that makes a set necessary would itself be fitted without a heavy warning."""
        found = self.judge(self._case.timeline.index(trigger))
        return not any(warning.rule in _TRIGGER_BLOCKED_BY for warning in found.warnings)

    def _stands(self, index: int, entry: PartEntry) -> bool:
        if entry.stage != "planned":
            return entry.stage == "fitted"
        section_map = self._model.section_map if self._model is not None else None
        return not any(
            isinstance(later, PartEntry)
            and later.stage != "planned"
            and later.position.casefold() == entry.position.casefold()
            and same_part(later.part, entry.part, section_map)
            for later in self._case.timeline[index + 1 :]
        )


def stamp(judgement: Judgement, model: Model | None, at: str) -> GuardStamp:
    """Returns the judgement as it is kept with the line: the evidence it was made on, and what was said."""
    return GuardStamp(
        at=at,
        evidence=judgement.evidence,
        map_version=model.section_map.version if model is not None else None,
        warnings=tuple(
            StampedWarning(rule=w.rule, weight=w.weight, section=", ".join(w.sections)[:500], share=judgement.share)
            for w in judgement.warnings
        ),
    )


def _rules(scene: Scene) -> Iterator[GuardWarning]:
    yield from map_rules(scene)
    yield from repeat(scene)
    yield from unchanged(scene)
    yield from without_retest(scene)
    record = part_record(_known_then(scene), scene.case, scene.entry.part, scene.section_map)
    if record is not None and record.speaks:
        yield GuardWarning("rarely_the_cause", record=record)


def _known_then(scene: Scene) -> Iterator[Case]:
    """Yields the proved cases that were signed when the line was written; where a date is missing, they count."""
    at = scene.entry.at
    for case in scene.proved:
        signed = case.sign_off.at if case.sign_off is not None else None
        if not at or not signed or parse_moment(signed) <= parse_moment(at):
            yield case
