"""Files taken into the book, and what is said when that fails."""

import errno
from pathlib import Path

import pytest

from kbapp.app.session import Session
from kbapp.desktop.attachments.intake import take_in
from kbapp.errors import EnvironmentFault
from kbapp.wording import sentence
from tests.app.proof_cases import book_with
from tests.desktop.attachments.test_photo import _jpeg
from tests.practice import OpenSession

REPORT = "ECM\nP0171 stored system too lean\nABS\nC0035 pending left front sensor\n"


@pytest.fixture
def session(open_session: OpenSession, tmp_path: Path) -> Session:
    return open_session(str(book_with(tmp_path / "book")), follow=False)


def test_a_photo_is_kept_smaller_and_as_it_came(session: Session, tmp_path: Path) -> None:
    data = _jpeg(3000, 2000)
    (tmp_path / "pump.jpg").write_bytes(data)
    taken = take_in(session, "pump.jpg", tmp_path / "pump.jpg")
    assert taken.media_type == "image/jpeg"
    assert session.read_file(taken.original) == data
    assert len(session.read_file(taken.sha256)) == taken.size < len(data)


def test_a_scan_report_offers_its_codes(session: Session) -> None:
    taken = take_in(session, "report.txt", REPORT.encode())
    assert [(code.code, code.status, code.module) for code in taken.codes] == [
        ("P0171", "stored", "ECM"), ("C0035", "pending", "ABS"),
    ]  # fmt: skip
    assert session.read_file(taken.sha256) == REPORT.encode()
    assert take_in(session, "wave.csv", b"0.1;0.2\n").codes == ()


def test_documents_are_kept_as_they_are(session: Session) -> None:
    taken = take_in(session, "bulletin.pdf", b"%PDF-1.7 text P0171")
    assert (taken.media_type, taken.codes, taken.original) == ("application/pdf", (), "")


def test_a_file_that_vanishes_is_one_sentence(session: Session, tmp_path: Path) -> None:
    with pytest.raises(EnvironmentFault) as gone:
        take_in(session, "gone.jpg", tmp_path / "gone.jpg")
    assert "gone.jpg cannot be read" in sentence(gone.value)


def test_a_full_disk_is_one_sentence_and_keeps_nothing(session: Session, monkeypatch: pytest.MonkeyPatch) -> None:
    class Full:
        def write(self, _data: bytes) -> int:
            raise OSError(errno.ENOSPC, "No space left on device")

    from kbapp.store import files

    before = files._copy
    monkeypatch.setattr(files, "_copy", lambda source, sha256, _out: before(source, sha256, Full()))  # type: ignore[arg-type]
    with pytest.raises(EnvironmentFault) as full:
        take_in(session, "notes.txt", b"some text")
    assert full.value.code == "disk_full"
    assert "full" in sentence(full.value)
    monkeypatch.undo()
    assert session.check() == ()
