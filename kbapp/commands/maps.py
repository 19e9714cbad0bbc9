"""``kbapp map``: checks, lists and shows section maps."""

import argparse
from pathlib import Path
from typing import Any

from kbapp.app.advising import check_map_file, find_map
from kbapp.commands.context import show, show_json
from kbapp.i18n import _
from kbapp.maps.shipped import shipped_maps
from kbapp.records.map_check import map_remarks
from kbapp.records.section_map import SectionMap
from kbapp.wording import fault_sentence
from kbapp.wording.cautions import caution
from kbapp.wording.map_names import minutes
from kbapp.wording.terms import term


def add(commands: Any, common: argparse.ArgumentParser) -> None:
    """Adds the command, its actions and their arguments."""
    parser = commands.add_parser("map", parents=[common], help=_("check, list or show section maps"))
    actions = parser.add_subparsers(title=_("actions"), metavar=_("ACTION"), required=True)
    checking = actions.add_parser("check", parents=[common], help=_("name every fault of a map document"))
    checking.add_argument("file", type=Path, metavar=_("FILE"))
    checking.add_argument("--json", action="store_true")
    checking.set_defaults(run=run_check)
    listing = actions.add_parser("list", parents=[common], help=_("list the shipped maps"))
    listing.add_argument("--json", action="store_true")
    listing.set_defaults(run=run_list)
    showing = actions.add_parser("show", parents=[common], help=_("show one map"))
    showing.add_argument("id")
    showing.add_argument("--json", action="store_true")
    showing.set_defaults(run=run_show)


def run_check(arguments: argparse.Namespace) -> int:
    """Names every fault of a map document, and what is worth another look; 1 when there are faults."""
    checked = check_map_file(arguments.file)
    remarks = map_remarks(checked.value) if checked.value else ()
    if arguments.json:
        show_json(
            {
                "faults": [{**f.as_dict(), "sentence": fault_sentence(f)} for f in checked.faults],
                "remarks": [{**f.as_dict(), "sentence": fault_sentence(f)} for f in remarks],
            }
        )
    else:
        for fault in (*checked.faults, *remarks):
            show(fault_sentence(fault))
        if checked.value and not checked.faults:
            show(_("The map is sound: {title}.").format(title=checked.value.title))
    return 1 if checked.faults else 0


def run_list(arguments: argparse.Namespace) -> int:
    """Lists the shipped maps."""
    maps = shipped_maps()
    if arguments.json:
        show_json({"maps": [_summary(section_map) for section_map in maps]})
        return 0
    for section_map in maps:
        system = term("system", section_map.system) if section_map.system else ""
        show(f"{section_map.id:<26} {section_map.title[:46]:<46} {system}")
    return 0


def _summary(section_map: SectionMap) -> dict[str, Any]:
    return {
        "id": section_map.id,
        "version": section_map.version,
        "title": section_map.title,
        "system": section_map.system,
        "symptoms": list(section_map.symptoms),
        "nested": [item.map for item in section_map.nested],
    }


def run_show(arguments: argparse.Namespace) -> int:
    """Shows one map."""
    section_map = find_map(arguments.id)
    if arguments.json:
        show_json(section_map.plain())
        return 0
    show(f"{section_map.title} ({section_map.id}, {section_map.version})")
    for name in section_map.cautions:
        show(_("Caution: {text}").format(text=caution(name)))
    show("\n" + _("Sections"))
    for section in section_map.sections:
        parts = ", ".join(part.name for part in section.parts)
        show(f"  {section.name}" + (f": {parts}" if parts else ""))
    show("\n" + _("Tests"))
    for test in section_map.tests:
        hands_on = minutes(test.setup_minutes + test.run_minutes + test.restore_minutes)
        show(f"  {test.name} ({hands_on}): " + " / ".join(outcome.name for outcome in test.outcomes))
    return 0
