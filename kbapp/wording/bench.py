"""Words of the Bench: where a case stands, what is next, when a follow-up is due."""

from typing import TYPE_CHECKING, Final

from kbapp.i18n import N_, _, ngettext
from kbapp.records.case import Case
from kbapp.wording.board import way_minutes
from kbapp.wording.case_words import entry_title
from kbapp.wording.map_names import MapNames

if TYPE_CHECKING:
    from kbapp.app.bench import BenchRow, Group, Visit
    from kbapp.app.next_step import NextStep
    from kbapp.app.views import CaseRow

HEADS: Final[dict["Group", str]] = {
    "open": N_("On the bench"),
    "retest": N_("Waiting for a retest"),
    "follow_up": N_("Follow-ups due"),
    "came_back": N_("Came back"),
}
_REMARKS: Final[dict["Group", tuple[str, str]]] = {
    "open": (N_("{n} open"), N_("{n} open")),
    "retest": (N_("{n} repaired, not yet proved"), N_("{n} repaired, not yet proved")),
    "follow_up": (N_("{n} to ask again"), N_("{n} to ask again")),
    "came_back": (N_("{n} whose repair did not hold"), N_("{n} whose repair did not hold")),
}
_FOUND_BY: Final = {
    "plate": N_("This plate"), "vin": N_("This VIN"), "phone": N_("This phone"), "": N_("Same vehicle"),
}  # fmt: skip


def group_remark(group: "Group", count: int) -> str:
    """Returns what stands beside the head of a group."""
    one, many = _REMARKS[group]
    return ngettext(one, many, count).format(n=f"{count:,}")


def more_words(count: int) -> str:
    """Returns what stands for the lines a group has beyond those shown."""
    words = ngettext("{n} more: open them in Look First", "{n} more: open them in Look First", count)
    return words.format(n=f"{count:,}")


def vehicle_first(row: "CaseRow") -> str:
    """Returns a vehicle with what tells it apart first; the engine comes last, where it may be cut."""
    names = " ".join(filter(None, (row.make, row.family, row.generation)))
    return ", ".join(filter(None, (names, str(row.model_year or ""), row.engine)))


def days_words(days: int | None) -> str:
    """Returns how long a case has been here, for reading aloud."""
    if days is None or days < 0:
        return ""
    return ngettext("{n} day", "{n} days", days).format(n=f"{days:,}")


def due_words(due_in: int) -> str:
    """Returns when a follow-up is due."""
    if due_in == 0:
        return _("Due today")
    if due_in < 0:
        return ngettext("Due {n} day ago", "Due {n} days ago", -due_in).format(n=f"{-due_in:,}")
    return ngettext("Due in {n} day", "Due in {n} days", due_in).format(n=due_in)


def stands_words(line: "BenchRow") -> tuple[str, str]:
    """Returns where a case stands that is no longer open, and a remark below."""
    row = line.row
    cause = row.cause or _("Repaired, cause not written down")
    if line.group == "retest":
        failed = {"failed": _("The last retest failed"), "unclear": _("The last retest was unclear")}
        return cause, failed.get(row.retest_result, _("No retest yet"))
    if line.group == "came_back":
        return row.cause or _("Cause not written down"), _("The repair did not hold")
    return cause, ""


def next_words(line: "BenchRow") -> tuple[str, str]:
    """Returns what is next for a case that is no longer open, and a remark below."""
    if line.group == "retest":
        return _("Same test again"), _("same conditions, same repeats")
    if line.group == "came_back":
        return _("Look again, cause open"), _("link the new case to this one")
    return _("Ask how it is"), due_words(line.due_in or 0)


def last_line(case: Case) -> tuple[str, str]:
    """Returns the last line of an open case, and which line that is."""
    if not case.timeline:
        return _("Nothing recorded yet"), ""
    n = len(case.timeline)
    return entry_title(case.timeline[-1]), _("line {n}").format(n=n)


def no_map_words(step: "NextStep") -> tuple[str, str]:
    """Returns what is said of an open case without a map."""
    if not step.proposed:
        return _("No map yet"), _("none fits so far")
    return _("No map yet"), _("fits: {title}").format(title=step.proposed[0].title)


def test_words(step: "NextStep") -> tuple[str, str, bool]:
    """Returns the next test, its minutes or what it lacks, and whether something is lacking."""
    if step.section_map is None or step.test is None:
        return _("No test is left to run"), "", False
    names, way = MapNames(step.section_map), step.test.way
    name = way.substitute.name if way.substitute is not None else names.test(way.test.id)
    if way.kit_missing:
        return name, _("Missing: {kit}").format(kit=", ".join(way.kit_missing)), True
    if step.conflict:
        return name, _("{minutes}; no single section explains the results").format(minutes=way_minutes(way)), True
    return name, way_minutes(way), False


def found_words(visit: "Visit") -> str:
    """Returns by what a visit was found."""
    return _(_FOUND_BY[visit.by])
