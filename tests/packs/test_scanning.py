"""A written pack is searched again: what a fault of ours let through is found before success is reported."""

import io
import zipfile
from pathlib import Path
from typing import Any

import pytest

from kbapp.errors import InputError
from kbapp.packs import bag
from kbapp.packs.entry import ENTRY_FORMAT, Lineage, PackCase, Signer, document
from kbapp.packs.faults import PackFaults
from kbapp.packs.scanning import scan_pack
from kbapp.packs.signing import public_key_of
from kbapp.packs.spool import Spool
from kbapp.packs.writing import tag_files, write_bag
from kbapp.records.case import Case
from kbapp.records.case_document import digest
from tests.packs.blank.test_images import jpeg_with_everything
from tests.packs.forge import SEED
from tests.packs.world import PRIVATE, WEIR_LANE, case

SIGNER = Signer(format="provebook-pack/1", shop=WEIR_LANE, public_key=public_key_of(SEED).hex())


def written(path: Path, one: Case, files: dict[str, bytes] | None = None) -> Path:
    with Spool() as spool, path.open("wb") as out:
        spool.add(
            bag.case_path(one.id),
            document(PackCase(format=ENTRY_FORMAT, case=one, lineage=Lineage(digest=digest(one)))),
        )
        for sha256, data in (files or {}).items():
            spool.add(bag.file_path(sha256), data)
        write_bag(out, spool, tag_files(spool, SIGNER, ""), SEED)
    return path


def coarse(**fields: Any) -> Case:
    plain = case().plain() | {"opened": "2026-06", "vehicle": None, "timeline": [], "retest": [], "sign_off": None}
    return Case.model_validate({**plain, "shop": WEIR_LANE.plain(), "concern": {"text": "climbs in traffic"}, **fields})


def scan(path: Path) -> None:
    scan_pack(path, lambda _id: [PRIVATE], lambda _id: set(), lambda _done, _of: None)


def test_a_clean_pack_passes(tmp_path: Path) -> None:
    scan(written(tmp_path / "x.zip", coarse()))


@pytest.mark.parametrize(
    ("fields", "kind"),
    [
        ({"notes": "ask Tolland"}, "name"),
        ({"notes": "tel 01632 960112"}, "phone"),
        ({"lesson": "QX-ZT 4471"}, "plate"),
        ({"opened": "2026-06-03"}, "date"),
        ({"vehicle": {"odometer": {"value": 184_322}}}, "odometer"),
    ],
)
def test_what_is_left_is_named_and_the_pack_refused(tmp_path: Path, fields: dict[str, object], kind: str) -> None:
    with pytest.raises(InputError, match="pack_still_holds") as caught:
        scan(written(tmp_path / "x.zip", coarse(**fields)))
    assert caught.value.values["kind"] == kind


def test_a_picture_that_still_hides_something_is_found(tmp_path: Path) -> None:
    import hashlib

    data = jpeg_with_everything()
    sha256 = hashlib.sha256(data).hexdigest()
    one = coarse(attachments=[{"sha256": sha256, "name": "attachment-1.jpg", "media_type": "image/jpeg"}])
    with pytest.raises(InputError, match="pack_still_holds") as caught:
        scan(written(tmp_path / "x.zip", one, {sha256: data}))
    assert caught.value.values["kind"] == "metadata"


def test_a_damaged_file_is_no_success(tmp_path: Path) -> None:
    path = written(tmp_path / "x.zip", coarse())
    path.write_bytes(path.read_bytes()[:-5])
    with pytest.raises(PackFaults):
        scan(path)


def test_the_samples_here_are_real_zips(tmp_path: Path) -> None:
    data = written(tmp_path / "x.zip", coarse()).read_bytes()
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert archive.testzip() is None
