"""The ledger's answers as sheets: one question, one table."""

from collections.abc import Mapping
from typing import Final

from kbapp.app.learned import LearnedLine
from kbapp.i18n import N_, _, ngettext
from kbapp.isolation.honesty import Honesty
from kbapp.ledger.report import Ledger
from kbapp.records.section_map import SectionMap
from kbapp.wording import ledger_cells as cell
from kbapp.wording.case_words import plain_words
from kbapp.wording.guard_text import WEIGHT_NAMES
from kbapp.wording.map_names import MapNames, percent
from kbapp.wording.sheet import Cell, Column, Sheet

Maps = Mapping[str, SectionMap]
_LACKS: Final = {
    "retest": N_("No retest with a result"),
    "cause_section": N_("No section named for the cause"),
    "isolating_test": N_("No test that split anything"),
}
_RULES: Final = {
    "": N_("Nothing was said"),
    "contradicted": N_("A strong result speaks against it"),
    "repeat": N_("The same part again"),
    "unchanged": N_("The part before changed nothing, and no test followed"),
    "no_retest": N_("The part before was not retested"),
    "base_unmet": N_("Base first"),
    "unsupported": N_("No isolating result points there"),
    "conflict": N_("The results contradict each other"),
    "coverage": N_("Sections beside it untested"),
    "cannot_judge": N_("No section names the part"),
    "no_map": N_("No map to judge by"),
    "exemption_incomplete": N_("The exemption is incomplete"),
    "rarely_the_cause": N_("Rarely the cause, in proved cases"),
}
MOST_NUMBERS: Final = 12
"""How many case numbers stand in one cell."""


def ledger_sheets(found: Ledger, maps: Maps) -> tuple[Sheet, ...]:
    """Returns the sheets of a ledger in their order; ``maps`` give tests their names."""
    return (
        parts_sheet(found), months_sheet(found), vain_sheet(found), effort_sheet(found), tests_sheet(found, maps), comebacks_sheet(found),
        guard_sheet(found), lacking_sheet(found), maps_sheet(found, maps),
    )  # fmt: skip


def _nothing_counts() -> str:
    return _("Nothing to show: no case that counts has any.")


def parts_sheet(found: Ledger) -> Sheet:
    """Returns the parts: planned, fitted, cured, unchanged, unproved and what they cost."""
    rows = tuple(
        (
            cell.words(line.part), cell.share(line.cured), cell.count(line.unchanged), cell.count(line.unproved),
            cell.money(line.in_vain), cell.minutes(line.minutes_in_vain or None), cell.money(line.spent),
            cell.count(line.planned),
        )
        for line in found.parts
    )  # fmt: skip
    vain = _("Fitted in vain in all: {money}.").format(money=cell.money_words(found.in_vain))
    return Sheet(
        key="parts",
        title=_("Parts fitted to find a fault"),
        about=_("Which parts cured, which changed nothing, and what the latter cost."),
        notes=(
            vain,
            _("Counts are vehicles, each once and by its last fitting. Money is of every fitting, a currency each."),
            _("Fewer than 8 vehicles are too few to rank: those parts follow in the order of their names."),
        ),
        columns=(
            Column("part", _("Part")),
            Column("cured", _("Cured, of those fitted")),
            Column("unchanged", _("Unchanged"), figures=True),
            Column("unproved", _("Not noted"), figures=True),
            Column("in_vain", _("In vain"), figures=True),
            Column("minutes_in_vain", _("Labour in vain"), figures=True),
            Column("spent", _("Spent"), figures=True),
            Column("planned_only", _("Planned, not fitted"), figures=True),
        ),
        rows=rows,
        empty=_nothing_counts(),
    )


def months_sheet(found: Ledger) -> Sheet:
    """Returns swaps before isolation, a month a row."""
    rows = tuple(
        (
            Cell(cell.month_words(line.month), line.month),
            cell.share(line.own),
            cell.share(line.reported),
            cell.money(line.in_vain),
        )
        for line in found.months
    )
    own, reported = found.swaps_first["own"], found.swaps_first["reported"]
    return Sheet(
        key="months",
        title=_("Swaps before isolation"),
        about=_("In how many vehicles was a part fitted before any test had split the system?"),
        notes=(
            _("By this shop: {share}.").format(share=cell.share_words(own)),
            _("Reported of others: {share}.").format(share=cell.share_words(reported)),
            _("Each vehicle counts once a month. Parts without a date stand in the month the case was opened."),
        ),
        columns=(
            Column("month", _("Month")),
            Column("own", _("By this shop")),
            Column("reported", _("Reported of others")),
            Column("in_vain", _("In vain"), figures=True),
        ),
        rows=rows,
        empty=_nothing_counts(),
    )


def vain_sheet(found: Ledger) -> Sheet:
    """Returns what parts fitted in vain cost, a month a row."""
    rows = tuple(
        (Cell(cell.month_words(line.month), line.month), cell.money(line.in_vain))
        for line in found.months
        if line.in_vain
    )
    return Sheet(
        key="vain",
        title=_("Cost of parts fitted in vain"),
        about=_("What parts cost that changed nothing, in the month they were fitted."),
        notes=(
            _("In all: {money}.").format(money=cell.money_words(found.in_vain)),
            _("Money of each currency by itself, labour not counted. The chart shows the commonest currency."),
        ),
        columns=(Column("month", _("Month")), Column("in_vain", _("In vain"))),
        rows=rows,
        empty=_nothing_counts(),
    )


def effort_sheet(found: Ledger) -> Sheet:
    """Returns minutes and money to isolation."""
    effort = found.effort
    rows = []
    if effort.minutes is not None:
        rows.append((cell.words(_("Hands-on minutes")), cell.count(effort.minutes.n), *_spread_cells(effort.minutes)))
    for unit, spread in effort.money:
        name = _("Parts fitted until then, {currency}").format(currency=unit)
        rows.append((cell.words(name), cell.count(spread.n), *_spread_cells(spread)))
    unwritten = ngettext(
        "{n} vehicle is left out of the minutes: not all of them are written down.",
        "{n} vehicles are left out of the minutes: not all of theirs are written down.",
        effort.unwritten,
    ).format(n=effort.unwritten)
    never = ngettext(
        "{n} vehicle was never isolated by a test.", "{n} vehicles were never isolated by a test.", effort.never
    ).format(n=effort.never)
    return Sheet(
        key="to_isolation",
        title=_("Minutes and money to isolation"),
        about=_("What was spent until the last test that split the system before the cure."),
        notes=(
            _("Minutes are this shop's own tests and fittings; money is what parts cost until then, whoever fitted them."),
            *((unwritten,) if effort.unwritten else ()),
            *((never,) if effort.never else ()),
        ),
        columns=(
            Column("what", _("What")),
            Column("vehicles", _("Vehicles"), figures=True),
            Column("median", _("Median"), figures=True),
            Column("low", _("from (95 %)"), figures=True),
            Column("high", _("to (95 %)"), figures=True),
            Column("quarter", _("a quarter below"), figures=True),
            Column("three_quarters", _("a quarter above"), figures=True),
        ),
        rows=tuple(rows),
        empty=_nothing_counts(),
    )  # fmt: skip


def _spread_cells(spread: object) -> tuple[Cell, ...]:
    names = ("median", "low", "high", "quarter", "three_quarters")
    return tuple(cell.number(getattr(spread, name)) for name in names)


def tests_sheet(found: Ledger, maps: Maps) -> Sheet:
    """Returns the tests that split best in practice."""
    rows = tuple(
        (
            Cell(_test_name(line.test, line.map_id, maps), line.test),
            cell.words(maps[line.map_id].title if line.map_id in maps else line.map_id),
            cell.share(line.decided),
            cell.count(line.inconclusive),
            cell.minutes(line.minutes),
        )
        for line in found.splits
    )
    return Sheet(
        key="tests",
        title=_("Tests that split best in practice"),
        about=_("How often a test was the one that isolated the fault, out of the vehicles in which it gave a result."),
        notes=(
            _("A test late in the order decides more often: read this beside what the map says of it."),
            _("Fewer than 8 vehicles are too few to rank: those tests follow in the order of their names."),
        ),
        columns=(
            Column("test", _("Test")),
            Column("map", _("Map")),
            Column("decided", _("Decided")),
            Column("inconclusive", _("Unclear or unable"), figures=True),
            Column("minutes", _("Minutes, median"), figures=True),
        ),
        rows=rows,
        empty=_nothing_counts(),
    )


def _test_name(test: str, map_id: str, maps: Maps) -> str:
    return MapNames(maps[map_id]).test(test) if map_id in maps else plain_words(test)


def comebacks_sheet(found: Ledger) -> Sheet:
    """Returns every comeback, and how many repairs lasted."""
    rows = tuple(
        (
            cell.words(line.case), cell.words(line.again), cell.number(line.days), cell.number(line.km),
            cell.yes_no(line.same_concern), cell.words(line.cause_before), cell.words(line.cause_after),
        )
        for line in found.comebacks.cases
    )  # fmt: skip
    within = tuple(
        _("Back within {days} days: {share}.").format(days=line.days, share=cell.share_words(line.came_back))
        for line in found.comebacks.horizons
        if line.came_back.of
    )
    undated = ngettext(
        "{n} comeback has no days and is left out of these shares.",
        "{n} comebacks have no days and are left out of these shares.",
        found.comebacks.undated,
    ).format(n=found.comebacks.undated)
    return Sheet(
        key="comebacks",
        title=_("Comebacks"),
        about=_("How long repairs lasted that did not last."),
        notes=(
            *within,
            *((undated,) if found.comebacks.undated else ()),
            _("Out of vehicles whose repair is at least so old. A vehicle that went elsewhere counts as one that stayed good."),
        ),
        columns=(
            Column("case", _("Case")),
            Column("again", _("Came back as")),
            Column("days", _("Days"), figures=True),
            Column("km", _("Kilometres"), figures=True),
            Column("same_concern", _("Same concern")),
            Column("cause_before", _("Cause then")),
            Column("cause_after", _("Cause after")),
        ),
        rows=rows,
        empty=_("No repair came back, as far as the book knows."),
    )  # fmt: skip


def guard_sheet(found: Ledger) -> Sheet:
    """Returns what the swap guard said, and what came of it."""
    rows = tuple(
        (
            Cell(_(_RULES.get(line.rule, line.rule)), line.rule or None),
            cell.words(_(WEIGHT_NAMES.get(line.weight, line.weight)) if line.weight else ""),
            cell.count(line.said), cell.count(line.not_fitted), cell.share(line.cured), cell.count(line.unproved),
            cell.count(line.overridden),
        )
        for line in found.guard
    )  # fmt: skip
    return Sheet(
        key="guard",
        title=_("What the swap guard said"),
        about=_("Its warnings as they were stamped then, and what came of the parts."),
        notes=(
            _("A part counts once a vehicle; one part can have several warnings."),
            _("Where a warned part cured, the guard was wrong: a high share there is a reason to look at the map."),
        ),
        columns=(
            Column("rule", _("Warning")),
            Column("weight", _("Weight")),
            Column("said", _("Said"), figures=True),
            Column("not_fitted", _("Left out after all"), figures=True),
            Column("cured", _("Cured, of those fitted")),
            Column("unproved", _("Not noted"), figures=True),
            Column("overridden", _("With a reason"), figures=True),
        ),
        rows=rows,
        empty=_("Nothing was stamped yet. The guard stamps a part when it is planned and when it is fitted."),
    )


def lacking_sheet(found: Ledger) -> Sheet:
    """Returns what finished cases lack."""
    rows = tuple(
        (
            Cell(_(_LACKS[line.lack]), line.lack),
            cell.count(len(line.cases)),
            cell.count(line.of),
            Cell(_numbers(line.cases), " ".join(line.cases)),
        )
        for line in found.lacks
    )
    return Sheet(
        key="lacking",
        title=_("What cases lack"),
        about=_("Finished cases that would make every figure better."),
        notes=(_("Repaired, proved and returned cases; open and withdrawn ones lack nothing yet."),),
        columns=(
            Column("lack", _("Lacking")),
            Column("cases", _("Cases"), figures=True),
            Column("of", _("of"), figures=True),
            Column("numbers", _("Which")),
        ),
        rows=rows if any(line.of for line in found.lacks) else (),
        empty=_("No finished case yet."),
    )


def _numbers(cases: tuple[str, ...]) -> str:
    more = len(cases) - MOST_NUMBERS
    shown = ", ".join(cases[:MOST_NUMBERS])
    return _("{cases} and {n} more").format(cases=shown, n=more) if more > 0 else shown or cell.NOTHING


def maps_sheet(found: Ledger, maps: Maps) -> Sheet:
    """Returns how often each map was used."""
    unused = sum(not line.cases for line in found.maps)
    rows = tuple(
        (
            Cell(maps[line.map_id].title if line.map_id in maps else line.map_id, line.map_id),
            cell.count(line.cases),
            cell.count(line.proved),
        )
        for line in found.maps
    )
    never = ngettext("{n} map was never used.", "{n} maps were never used.", unused).format(n=unused)
    return Sheet(
        key="maps",
        title=_("Maps and their use"),
        about=_("Which section maps cases were worked with. Only those cases can be replayed and teach a map."),
        notes=(never,),
        columns=(
            Column("map", _("Map")),
            Column("cases", _("Cases"), figures=True),
            Column("counted", _("of these counted"), figures=True),
        ),
        rows=rows,
    )


def learned_sheet(lines: tuple[LearnedLine, ...], maps: Maps, *, switched_on: bool) -> Sheet:
    """Returns what proved cases taught the maps."""
    rows = [
        (
            Cell(line.title, line.map_id),
            cell.count(line.cases),
            Cell(_section_name(section.section, line.map_id, maps), section.section),
            Cell(percent(section.own), section.own),
            Cell(percent(section.learned), section.learned),
            cell.count(section.cases),
        )
        for line in lines
        for section in line.sections
    ]
    on = _("Switched on: advice reasons with these figures and says from how many cases.")
    off = _("Switched off: advice reasons with the maps' own figures.")
    return Sheet(
        key="learned",
        title=_("Learned figures"),
        about=_("How the proved cases of this book move the maps' own priors."),
        notes=(
            on if switched_on else off,
            _("A map's own figures weigh as much as 20 proved cases. Advice counts only cases of the same concern."),
        ),
        columns=(
            Column("map", _("Map")),
            Column("from_cases", _("From proved cases"), figures=True),
            Column("section", _("Section")),
            Column("own", _("The map says"), figures=True),
            Column("learned", _("With your cases"), figures=True),
            Column("cases", _("Cause found there"), figures=True),
        ),
        rows=tuple(rows),
        empty=_("No proved case was worked with a map yet."),
    )


def _section_name(section: str, map_id: str, maps: Maps) -> str:
    return MapNames(maps[map_id]).section(section) if map_id in maps else section


def honesty_sheet(found: Honesty) -> Sheet:
    """Returns the calibration table with its verdict."""
    calibration = found.calibration
    rows = tuple(
        (
            Cell(_("{low} to {high}").format(low=percent(line.low), high=percent(line.high)), line.low),
            Cell(percent(line.mean), line.mean),
            cell.share(line.came_true),
        )
        for line in (calibration.bins if calibration is not None else ())
    )
    figures: tuple[str, ...] = ()
    if calibration is not None:
        figures = (
            _("Over the shares of all sections: Brier score {brier}, expected calibration error {error}.").format(
                brier=f"{calibration.brier:.3f}", error=f"{calibration.error:.3f}"
            ),
        )
    return Sheet(
        key="calibration",
        title=_("Can the shares be believed?"),
        about=verdict_words(found),
        notes=(
            *figures,
            _("Of proved cases worked with a map, by the evidence before the repair. A vehicle counts once."),
            _("Sections of one case are not independent of each other: the verdict looks at the leading one alone."),
        ),
        columns=(
            Column("from", _("Share given")),
            Column("mean", _("Mean"), figures=True),
            Column("came_true", _("Was the cause")),
        ),
        rows=rows,
        empty=_("No proved case was worked with a map yet."),
    )


def verdict_words(found: Honesty) -> str:
    """Returns the verdict in plain words."""
    if found.verdict == "too_few":
        return ngettext(
            "Too few to say: {n} proved case was worked with a map, at least 20 are needed.",
            "Too few to say: {n} proved cases were worked with a map, at least 20 are needed.",
            found.cases,
        ).format(n=found.cases)
    said = {
        "honest": N_("Nothing speaks against the shares: the leading section was given {said} on average and was the cause in {was}."),
        "too_sure": N_("Too sure: the leading section was given {said} on average, but was the cause only in {was}. Trust strong shares less, and look for tests that err more often than the maps say."),
        "too_cautious": N_("Too cautious: the leading section was given {said} on average and was the cause in {was}. The tests are better than the maps say."),
    }  # fmt: skip
    return _(said[found.verdict]).format(said=percent(found.said), was=cell.share_words(found.was))
