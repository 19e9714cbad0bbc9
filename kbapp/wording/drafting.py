"""Words of the Kit List, Map Drafting, Dry Run and the printed test card."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Final

from kbapp.i18n import N_, _, ngettext
from kbapp.records.fault import Fault
from kbapp.wording import fault_sentence
from kbapp.wording.map_names import MapNames, percent
from kbapp.wording.terms import term

if TYPE_CHECKING:
    from kbapp.app.dry_run import Answered, DryRun, Standing
    from kbapp.app.kit import KitLine
    from kbapp.app.kit import Standing as KitStanding
    from kbapp.app.kit_desk import KitRow
    from kbapp.app.testable import MapTests, Testable
    from kbapp.records.section_map import SectionMap

STANDINGS: Final[Mapping[str, str]] = {
    "have": N_("We have it"), "borrow": N_("We can borrow it"), "missing": N_("We lack it"), "": N_("Not known"),
}  # fmt: skip
_PRIORS: Final[Mapping[str, str]] = {
    "rare": N_("rare"), "seldom": N_("seldom"), "usual": N_("usual"), "often": N_("often"), "mostly": N_("mostly"),
}  # fmt: skip
_KINDS: Final[Mapping[str, str]] = {
    "": N_("Not said"), "block": N_("Block a branch"), "bypass": N_("Bypass"), "disconnect": N_("Disconnect a branch"),
    "compare": N_("Compare"), "load": N_("Load"), "pressurise": N_("Pressurise"), "evacuate": N_("Evacuate"),
    "command": N_("Command an actuator"), "swap": N_("Swap"), "run_without": N_("Run without"), "detect": N_("Detect"),
    "measure": N_("Measure"), "inspect": N_("Inspect"),
}  # fmt: skip
# The fields of a map's document as the form names them.
_FIELDS: Final[Mapping[str, str]] = {
    "title": N_("Title"), "system": N_("System"), "symptoms": N_("Symptoms"), "families": N_("Families"),
    "cautions": N_("Cautions"), "prerequisites": N_("True before"), "good_first": N_("Good first"),
    "sections": N_("Sections"), "tests": N_("Tests"), "not_on_map": N_("Not on this map"), "source": N_("Source"),
    "notes": N_("Notes"), "name": N_("Name"), "prior": N_("How often"), "feeds": N_("Leads to"), "parts": N_("Parts"),
    "cost": N_("Cost"), "labour_minutes": N_("Minutes"), "strength": N_("Strength"), "outcomes": N_("Outcomes"),
    "points_to": N_("Points to"), "likelihood": N_("Figures"), "kit": N_("Kit"), "conditions": N_("Conditions"),
    "steps": N_("Steps"), "substitutes": N_("Substitutes"), "undo": N_("Left on the vehicle"), "rig": N_("Rig"),
    "setup_minutes": N_("Set-up"), "run_minutes": N_("Run"), "wait_minutes": N_("Wait"),
    "restore_minutes": N_("Put right"), "repeats": N_("Repeats"), "qualification": N_("Qualification"),
    "group": N_("Shared source of error"), "readings": N_("Readings"), "places": N_("Places"), "unit": N_("Unit"),
    "kind": N_("Kind"), "note": N_("Note"), "id": N_("Id"), "nested": N_("Nested map"),
    "priors_by_symptom": N_("Weights by symptom"),
}  # fmt: skip

_ONE: Final[Mapping[str, str]] = {
    "sections": N_("Section {n}"), "tests": N_("Test {n}"), "outcomes": N_("outcome {n}"), "parts": N_("part {n}"),
    "substitutes": N_("substitute {n}"), "conditions": N_("condition {n}"), "feeds": N_("section {n} it leads to"),
    "steps": N_("step {n}"), "cautions": N_("caution {n}"), "kit": N_("kit {n}"),
}  # fmt: skip


def standing_words(standing: "KitStanding | None") -> str:
    """Returns how a piece of kit stands."""
    return _(STANDINGS[standing or ""])


def due_words(line: "KitLine", today: date) -> str:
    """Returns when the calibration is due, in words; blank where it needs none."""
    days = line.days_left(today)
    if days is None:
        return ""
    if days == 0:
        return _("calibration due today")
    if days < 0:
        words = ngettext("calibration overdue by {n} day", "calibration overdue by {n} days", -days)
        return words.format(n=-days)
    return ngettext("calibration due in {n} day", "calibration due in {n} days", days).format(n=days)


def kit_remark(row: "KitRow", today: date) -> str:
    """Returns the second line of a piece of kit."""
    families = [
        _("{family}: {standing}").format(family=family, standing=standing_words(standing).lower())
        for family, standing in row.line.families.items()
    ]
    used = _("own line") if row.own else ngettext("in {n} map", "in {n} maps", row.maps).format(n=row.maps)
    return " · ".join(filter(None, (standing_words(row.line.standing), due_words(row.line, today), *families, used)))


def map_tests_words(found: "MapTests") -> str:
    """Returns how much of a map can be tested."""
    return _("{n} of {all} as they are, {other} by substitute, {none} not possible").format(
        n=len(found.as_they_are), all=len(found.tests), other=len(found.by_substitute), none=len(found.not_possible)
    )


def testable_words(found: "Testable") -> str:
    """Returns how a test can be run with the kit, and what it lacks."""
    strength = term("strength", found.strength).lower()
    if not found.lacking:
        return _("Possible · {strength}").format(strength=strength)
    lacking = ", ".join(found.lacking)
    if found.substitute is None:
        return _("Not possible: lacks {kit}").format(kit=lacking)
    return _("By substitute: {name} · {strength} · lacks {kit}").format(
        name=found.substitute.name, strength=strength, kit=lacking
    )


def prior_words(value: object, words: Mapping[str, float]) -> str:
    """Returns a weight as one types it: a word where one stands for it, else the figure."""
    for word, weight in words.items():
        if value == weight:
            return _(_PRIORS[word])
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return f"{value:.6f}".rstrip("0").rstrip(".")
    return value if isinstance(value, str) else ""


def prior_names(words: Mapping[str, float]) -> dict[str, float]:
    """Returns the words for weights as the screen shows them."""
    return {_(_PRIORS[word]): weight for word, weight in words.items()}


def kind_names(kinds: Sequence[str]) -> list[tuple[str, str]]:
    """Returns the kinds of tests with their words."""
    return [("", _(_KINDS[""])), *((kind, _(_KINDS[kind])) for kind in kinds)]


def place_words(path: str, names: Mapping[str, Sequence[str]]) -> str:
    """Returns where a fault is, in the words of the form; ``names``: names of the sections and tests in order."""
    steps = path.split(".")
    words: list[str] = []
    for n, step in enumerate(steps):
        if not step.isdecimal():
            words.append(_(_FIELDS.get(step, step)))
            continue
        place, known = int(step), names.get(steps[n - 1], ()) if n == 1 else ()
        label = known[place] if place < len(known) else ""
        one = _(_ONE.get(steps[n - 1], "")) if steps[n - 1] in _ONE else _("{what} {n}")
        words[-1] = one.format(what=words[-1], n=place + 1) + (f" ({label})" if label else "")
    return ", ".join(words) if path else _("The map")


def draft_fault(fault: Fault, names: Mapping[str, Sequence[str]], sections: Mapping[str, str]) -> str:
    """Returns the sentence for a fault of a draft, in the words of the form."""
    place = place_words(fault.path, names)
    if fault.code == "text_too_short":
        return _("{place}: is still blank. Write what belongs there.").format(place=place)
    found = ", ".join(sections.get(part.strip(), part.strip()) for part in fault.found.split(","))
    return fault_sentence(replace(fault, path=place, found=found or fault.found))


def copied_source(section_map: "SectionMap") -> str:
    """Returns where the figures of a copied map come from."""
    return _("Copied from “{title}”, version {n}. {source}").format(
        title=section_map.title, n=section_map.version, source=section_map.source
    )


def copied_title(section_map: "SectionMap", family: str) -> str:
    """Returns the title of a copied map."""
    return _("{title}, {family}").format(title=section_map.title, family=family) if family else section_map.title


def map_facts(section_map: "SectionMap", *, own: bool) -> str:
    """Returns the second line of a map in the list of maps."""
    origin = _("our own, version {n}").format(n=section_map.version) if own else _("ships with Provebook")
    families = ", ".join(section_map.families)
    sections = ngettext("{n} section", "{n} sections", len(section_map.sections)).format(n=len(section_map.sections))
    tests = ngettext("{n} test", "{n} tests", len(section_map.tests)).format(n=len(section_map.tests))
    return " · ".join(filter(None, (origin, families, sections, tests)))


def verdict(run: "DryRun", standing: "Standing", *, secret: bool = False) -> tuple[str, str]:
    """Returns what a dry run shows: a fact and what follows from it. A ``secret`` cause is named only at the end."""
    names = MapNames(run.section_map)
    cause, share = names.section(run.hidden), percent(standing.picture.share(run.hidden))
    if standing.isolated:
        fact = _("The map isolates it: {section} is supported with {share}").format(section=cause, share=share)
        n = len(standing.answered)
        return fact, ngettext("{n} test was enough.", "{n} tests were enough.", n).format(n=n)
    if standing.exhausted:
        fact = _("The map does not isolate it: {section} ends at {share}").format(section=cause, share=share)
        return fact, _("Every test is answered. Draw a test that tells it from the sections beside it.")
    best = max(zip(standing.picture.shares, standing.picture.model.hypotheses, strict=True))
    fact = _("Not isolated yet: {section} stands at {share}").format(section=cause, share=share)
    if secret:
        fact = _("The hidden cause is not isolated yet")
    hint = _("The highest share is {section} with {share}. Answer the next test.")
    return fact, hint.format(section=names.section(best[1]), share=percent(float(best[0])))


def answered_words(answered: "Answered", names: MapNames) -> str:
    """Returns a test that was answered, with its outcome."""
    words = _("{test}: {outcome}").format(
        test=names.test(answered.test), outcome=names.outcome(answered.test, answered.outcome)
    )
    return words if answered.expected else _("{answer} (not what the cause would show)").format(answer=words)


def not_isolated_words(section_map: "SectionMap", left: Sequence[str]) -> str:
    """Returns which causes a map does not isolate with every test run."""
    if not left:
        return _("With every test run as it should come out, the map isolates every section.")
    words = _("With every test run as it should come out, the map does not isolate: {sections}.")
    return words.format(sections=MapNames(section_map).sections(tuple(left)))
