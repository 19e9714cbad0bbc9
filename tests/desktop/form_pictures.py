"""Pictures of a call, of a jot that becomes a case, and of old records."""

from typing import TYPE_CHECKING

from kbapp.app.jot import Jot
from kbapp.app.session import Session
from kbapp.app.triage import PartTold, TriageSheet, VehicleTold
from kbapp.desktop.case_form.screen import CaseScreen
from kbapp.desktop.triage.screen import TriageScreen
from kbapp.records.private import PrivateDetails

if TYPE_CHECKING:
    from tests.desktop.pictures import Studio

CALL = TriageSheet(
    concern="Gauge climbs waiting at lights, falls once moving",
    symptoms=("overheats in traffic",),
    conditions=("idle", "hot day"),
    began="after a timing belt job in May",
    vehicle=VehicleTold(
        make="Brennick", family="Drovane", generation="B", engine="B20D", model_year="2019", odometer="128 400 km"
    ),
    parts=(PartTold(part="thermostat", effect="unchanged"), PartTold(part="radiator", effect="unchanged")),
    codes="P0217 stored ECM",
    # plate and VIN are invented
    private=PrivateDetails(customer="Orchard Garage", phone="0555 0134", plate="WL 4182 K", vin="4BRND2D01K1284001"),
)
JOTTED = Jot(
    "Runs hot waiting at lights, P0217 stored, cools down once moving",
    "Brennick Drovane B20D 2019 128 400 km",
    "two thermostats, no change; radiator, no change",
    "radiator spread: inlet 104 °C, outlet 41 °C at full fan",
    "water pump",
)


def take_forms(studio: "Studio") -> None:
    """Takes a call and a case."""
    studio.window.go("triage")
    page = studio.window.screen_of("triage")
    assert isinstance(page, TriageScreen)
    studio.rest()
    page._put(CALL)
    page._written()
    studio.rest()
    answers = list(page.questions.edits.values())
    answers[0].setText("standing only")
    answers[1].setText("runs, full speed")
    page.form.verticalScrollBar().setValue(0)
    studio.take("triage")
    session = Session.open("practice", author="IK", follow=False)
    case_id = session.jot(JOTTED).cases[0]
    session.close()
    studio.window.go("case", case_id)
    case = studio.window.screen_of("case")
    assert isinstance(case, CaseScreen)
    studio.until(lambda: bool(case.side.shown))
    studio.take("case")
