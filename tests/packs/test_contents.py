from typing import Any

import pytest

from kbapp.packs.contents import check_files, read_entries, read_maps
from kbapp.packs.faults import PackFaults
from kbapp.packs.verifying import read_payload
from tests.packs import forge
from tests.packs.world import document, opened
from tests.records.documents import load


def codes(**fields: Any) -> set[str]:
    value = {name: one for name, one in document(**{"shop": forge.SHOP, **fields}).items() if one is not None}
    archive, found = opened(forge.packed(value))
    return {fault.code for entry in read_entries(archive, found) for fault in entry.faults}


def test_a_sound_entry_comes_with_its_lineage() -> None:
    archive, found = opened(forge.packed(document(shop=forge.SHOP)))
    (entry,) = read_entries(archive, found)
    assert entry.case
    assert entry.lineage
    assert entry.faults == ()


@pytest.mark.parametrize(
    ("fields", "code"),
    [
        ({"number": ""}, "field_missing"),
        ({"shop": None}, "field_missing"),
        ({"vehicle_ref": "v-1"}, "pack_case_private"),
        ({"state": "sold"}, "value_not_allowed"),
        ({"format": "provebook-case/2"}, "format_newer"),
        ({"format": "other/1"}, "format_wrong"),
        ({"attachments": [{"sha256": "0" * 64, "name": "x"}]}, "pack_attachment_missing"),
        ({"surprise": 1}, "field_unknown"),
    ],
)
def test_refused_entries_name_their_fault(fields: dict[str, Any], code: str) -> None:
    assert code in codes(**fields)


def test_a_digest_or_name_that_does_not_belong() -> None:
    one, other = document(shop=forge.SHOP), document(shop=forge.SHOP)
    payload = {
        f"data/cases/{other['id']}.json": forge.entry(one),
        f"data/cases/{one['id']}.json": forge.entry(one, digest="1" * 64),
    }
    archive, found = opened(forge.zipped(forge.tags(payload)))
    assert {fault.code for entry in read_entries(archive, found) for fault in entry.faults} == {
        "pack_case_id",
        "pack_lineage_wrong",
    }


def test_maps_are_read_or_refused_with_reasons() -> None:
    from kbapp.records.map_document import canonical_map, check_map, map_digest

    good = check_map(load("map-1-full.json")).unwrap()
    payload = {f"data/maps/{map_digest(good)}.json": canonical_map(good), f"data/maps/{'0' * 64}.json": b"{}"}
    archive, found = opened(forge.zipped(forge.tags(payload)))
    maps, faults = read_maps(archive, found)
    assert [one.id for one in maps] == [good.id]
    assert faults


def test_files_nobody_names_are_refused() -> None:
    name = "2d711642b726b04401627ca9fbac32f5c8530fb1903cc4db02258717921a4881"  # SHA-256 of "x"
    _, found = opened(forge.packed(document(shop=forge.SHOP), files={name: b"x"}))
    check_files(found, {name})
    with pytest.raises(PackFaults) as caught:
        check_files(found, set())
    assert caught.value.faults[0].code == "pack_file_unused"
    _, found = opened(forge.packed(document(shop=forge.SHOP), files={name: b"y"}))
    with pytest.raises(PackFaults) as caught:
        check_files(found, {name})
    assert caught.value.faults[0].code == "pack_file_altered"


def test_a_file_altered_after_verifying_is_refused() -> None:
    archive, found = opened(forge.packed(document(shop=forge.SHOP)))
    path = next(iter(found.digests))
    found.digests[path] = "0" * 64
    with pytest.raises(PackFaults):
        read_payload(archive, found, path)
