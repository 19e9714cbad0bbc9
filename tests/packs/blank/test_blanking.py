from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.packs.blank.blanking import blank_case, blank_map
from kbapp.records.case import Case, Shop
from kbapp.records.case_document import check_case
from kbapp.records.map_document import check_map
from kbapp.records.schema import case_schema
from tests.packs.planted import FREE_TEXT
from tests.packs.world import COPPERHILL, PRIVATE, WEIR_LANE, case
from tests.records.documents import documents, load


def nothing(_sha256: str) -> bytes:
    return b"a plain text"


def test_dates_go_to_the_month_and_odometers_to_the_thousand() -> None:
    out = blank_case(case(opened="2026-06-03T23:30:00-02:00"), [], nothing, WEIR_LANE).case
    assert out.opened == "2026-06"
    assert {entry.at for entry in out.timeline} == {"2026-06"}
    assert out.sign_off
    assert out.sign_off.at == "2026-06"
    assert out.vehicle
    assert out.vehicle.odometer
    assert out.vehicle.odometer.value == 184_000


def test_each_removal_stands_in_its_context_and_can_be_kept() -> None:
    one = case(notes="Before that, call Mrs Harrow on 01632 960112, please.")
    found = {
        removal.kind: removal for removal in blank_case(one, [], nothing, WEIR_LANE).removals if removal.path == "notes"
    }
    assert (found["name"].text, found["phone"].text) == ("Harrow", "01632 960112")
    assert found["phone"].before.endswith(" on ")
    assert found["phone"].after == ", please."
    kept = blank_case(one, [], nothing, WEIR_LANE, kept={found["phone"].id})
    assert kept.case.notes == "Before that, call Mrs [name] on 01632 960112, please."
    assert [removal.kept for removal in kept.removals if removal.path == "notes"].count(True) == 1


def test_the_label_of_the_vehicle_goes_whatever_is_kept() -> None:
    one = case(vehicle_ref="v-7f3a91")
    removal = next(r for r in blank_case(one, [], nothing, WEIR_LANE).removals if r.kind == "vehicle_ref")
    assert removal.forced
    assert blank_case(one, [], nothing, WEIR_LANE, kept={removal.id}).case.vehicle_ref == ""


def test_a_vin_leaves_with_eight_characters_at_most() -> None:
    out = blank_case(case(notes="VIN 1M8GDM9AXKP042788"), [PRIVATE], nothing, WEIR_LANE).case
    assert out.notes == "VIN 1M8GDM9A…"


def test_part_numbers_and_codes_survive() -> None:
    one = case(notes="Part 0417230030, also 0417230030 alone; P0171, U0073-04; 12.4 V, 104 degC")
    assert blank_case(one, [PRIVATE], nothing, WEIR_LANE).case.notes == one.notes


def test_origin_stays_visible() -> None:
    assert blank_case(case(), [], nothing, WEIR_LANE).case.shop == WEIR_LANE
    assert blank_case(case(shop=COPPERHILL.plain()), [], nothing, WEIR_LANE).case.shop == COPPERHILL


DOCUMENTS = documents(case_schema())


@st.composite
def cases(draw: st.DrawFn) -> Case:
    document = draw(DOCUMENTS)
    for field in ("notes", "lesson"):
        document[field] = " ".join(draw(st.lists(st.sampled_from([text for text, _, _ in FREE_TEXT]), max_size=3)))
    return draw(st.just(check_case(document).value)) or case(notes=document["notes"])


@settings(max_examples=60, deadline=None)
@given(cases())
def test_blanking_twice_is_blanking_once(one: Case) -> None:
    first = blank_case(one, [PRIVATE], nothing, WEIR_LANE)
    again = blank_case(
        first.case, [PRIVATE], lambda sha256: next(f.data for f in first.files if f.sha256 == sha256), WEIR_LANE
    )
    assert again.case == first.case
    assert again.removals == ()


@settings(max_examples=40, deadline=None)
@given(cases(), st.data())
def test_every_removal_can_be_kept_or_made(one: Case, data: st.DataObject) -> None:
    found = blank_case(one, [PRIVATE], nothing, WEIR_LANE).removals
    kept = {removal.id for removal in found if data.draw(st.booleans())}
    again = blank_case(one, [PRIVATE], nothing, WEIR_LANE, kept=kept).removals
    assert {removal.id for removal in again if removal.kept} <= kept


def test_maps_lose_what_their_notes_give_away() -> None:
    value: dict[str, Any] = {**load("map-1-full.json"), "notes": "Drawn after Mrs Harrow's car, 01632 960112."}
    one = check_map(value).unwrap()
    out, found = blank_map(one)
    assert out.notes == "Drawn after Mrs [name]'s car, [phone]."
    assert {removal.kind for removal in found} >= {"name", "phone"}
    assert blank_map(out) == (out, ())


@pytest.mark.parametrize("shop", [Shop(id=WEIR_LANE.id), WEIR_LANE])
def test_the_name_of_the_shop_is_no_persons(shop: Shop) -> None:
    one = case(notes="Seen by Weir Lane Diagnostics before.", shop=WEIR_LANE.plain())
    assert blank_case(one, [], nothing, shop).case.notes == one.notes
