"""Packs of every format ever shipped are read for ever, and the same content still gives the same bytes."""

import io
from pathlib import Path

import pytest

from kbapp.packs.contents import read_entries, read_maps
from kbapp.packs.spool import Spool
from kbapp.packs.verifying import read_payload
from kbapp.packs.writing import tag_files, write_bag
from tests.packs.forge import SEED
from tests.packs.world import Side, opened

FOLDER = Path(__file__).resolve().parents[1] / "fixtures" / "packs"
PACKS = sorted(FOLDER.glob("*.zip"))


@pytest.mark.parametrize("path", PACKS, ids=lambda path: path.name)
def test_is_read_whole(path: Path, copperhill: Side) -> None:
    plan = copperhill.crate.plan(path)
    assert {item.verdict for item in plan.items} == {"new"}
    assert copperhill.crate.read(path).cases == tuple(item.case_id for item in plan.items)


def test_format_1_in_every_part() -> None:
    archive, found = opened((FOLDER / "pack-1.zip").read_bytes())
    first, second = read_entries(archive, found)
    assert first.case
    assert second.case
    assert first.case.notes == "Ask Mrs [name]."
    assert first.case.attachments[0].name == "attachment-1.csv"
    assert (second.case.state, second.lineage and second.lineage.parents) == ("came_back", ("ab" * 32,))
    assert [one.id for one in read_maps(archive, found)[0]]
    assert (found.info.title, found.info.organization) == ("First format", "Weir Lane Diagnostics")


def test_the_same_content_gives_the_same_bytes_in_every_version() -> None:
    data = (FOLDER / "pack-1.zip").read_bytes()
    archive, found = opened(data)
    out = io.BytesIO()
    with Spool() as spool:
        for path in found.digests:
            spool.add(path, read_payload(archive, found, path))
        write_bag(out, spool, tag_files(spool, found.signer, found.info.title), SEED)
    assert out.getvalue() == data
