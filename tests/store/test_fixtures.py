"""Books of every format that ever shipped open for ever; the projection of a format never changes unnoticed."""

import hashlib
import shutil
from pathlib import Path

import pytest

from kbapp.store.book import open_book
from kbapp.store.identity import FORMAT
from tests.store.make_fixture import FIXTURES
from tests.store.sample import case, case_id

BOOKS = sorted(FIXTURES.glob("*.zip"))


def test_the_present_format_has_its_book() -> None:
    assert f"{FORMAT}.zip" in [path.name for path in BOOKS]


@pytest.mark.parametrize("archive", BOOKS, ids=lambda path: str(path.stem))
def test_a_book_of_any_format_opens_whole(archive: Path, tmp_path: Path) -> None:
    shutil.unpack_archive(archive, tmp_path)
    with open_book(tmp_path / "book", author="IK") as book:
        assert book.info.name == f"Format {archive.stem}"
        # where this fails after a change of the projection or of a record, the change needs a new format
        # and a migration that rebuilds
        assert book.check() == ()
        assert book.count() == 9
        full = book.case("W-7")
        assert (full.case.lesson, full.author, full.signed_here) == ("Hold the pedal: two minutes.", "RA", True)
        assert [one.reason for one in book.revisions(full.case.id)] == ["", "first"]
        assert [one.case_id for one in book.find_private("0171-2345678")] == [case_id(1)]
        assert book.case(case_id(8)).signed_here
        assert [(one.title, bool(one.undone_at)) for one in book.batches()] == [("kept", False), ("undone", True)]
        photo = hashlib.sha256(b"a photo, as it were").hexdigest()
        assert book.files.read(photo) == b"a photo, as it were"
        assert book.all_shelved("map")[0].document == '{"id": "low-pedal"}'
        notes = [line.note for line in book.sign_offs(case_id(1))]
        assert notes == ([] if archive.stem == "0001" else ["no baseline"])
        assert book.save(case(50), None).change == book.last_change()
        assert book.check() == ()
