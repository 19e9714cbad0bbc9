"""One archive serves embedded books and books on a server; restoring proves it first."""

import hashlib
import json
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from kbapp.errors import Cancelled, DamageError, InputError, KbError
from kbapp.records.private import PrivateDetails
from kbapp.store.automatic_backup import rotate
from kbapp.store.backup import restore
from kbapp.store.book import Book, open_book
from kbapp.store.drafts import Drafts
from tests.store.conftest import PLACES, Server, address_of
from tests.store.sample import case, case_id, changed, full_case


@pytest.fixture
def archive(book: Book, tmp_path: Path) -> Path:
    """A backup of a book with some of everything."""
    saved = book.save(full_case(), None, "RA", "first")
    book.save(changed(saved.case, lesson="ΔP ≥ 2 bar — ‘ok’"), saved.revision)
    book.set_private(saved.case.id, PrivateDetails(plate="AB 12", customer="C"))
    book.undo_batch(book.add_many([case(1), case(2)], origin="outside", title="gone").id)
    book.add_many([full_case(8)], origin="outside", title="kept")
    book.accept_signature(case_id(8), "MH")
    book.files.put(b"photo" * 100_000)
    book.files.put(b"")
    book.put_shelved("map", "low-pedal", "{}")
    out = tmp_path / "backup.zip"
    made = book.backup(out)
    assert (made.path, made.revisions, made.files, made.size) == (out, 5, 2, out.stat().st_size)
    return out


def _everything(book: Book) -> list[Any]:
    ids = [row.id for row in book.list_cases()]
    return [
        book.list_cases(), book.changes_since(0), book.documents_changed_since(0), [book.revisions(one) for one in ids],
        [book.private(one) for one in ids], book.batches(), book.all_shelved("map"), book.info.book_id, book.info.shop,
        book.info.name, book.part_facts(), book.cause_facts(),
    ]  # fmt: skip


@pytest.fixture(params=PLACES)
def other_place(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    if request.param == "sqlite":
        yield str(tmp_path / "restored")
        return
    server: Server = request.getfixturevalue("server")
    url = server.make()
    yield address_of(url)
    server.drop(str(url.database))


def test_a_restored_book_holds_the_same_in_a_new_incarnation(book: Book, archive: Path, other_place: str) -> None:
    info = restore(archive, other_place)
    with open_book(other_place, author="IK") as restored:
        assert _everything(restored) == _everything(book)
        assert restored.info.incarnation == info.incarnation != book.info.incarnation
        assert restored.info.location != book.info.location
        assert [restored.files.read(book.files.put(data)) for data in (b"photo" * 100_000, b"")]
        assert not restored.check()
        last = restored.last_change()
        new = restored.save(case(5), None)
        assert new.change == last + 1
        assert new.revision > max(one.revision for one in restored.revisions(case_id(7)))
        assert restored.put_shelved("map", "low-pedal", "{ }")
        assert not restored.check()


def test_drafts_of_before_a_restore_are_not_offered(book: Book, archive: Path, tmp_path: Path) -> None:
    Drafts(tmp_path, book.info.incarnation).keep("a", "text")
    info = restore(archive, tmp_path / "restored")
    assert Drafts(tmp_path, info.incarnation).all() == ()


def test_a_backup_never_replaces_a_file(book: Book, archive: Path) -> None:
    before = archive.read_bytes()
    with pytest.raises(InputError) as refused:
        book.backup(archive)
    assert refused.value.code == "backup_exists"
    assert archive.read_bytes() == before


def test_a_stopped_backup_or_restore_leaves_nothing(book: Book, archive: Path, tmp_path: Path) -> None:
    steps: list[tuple[int, int]] = []
    with pytest.raises(Cancelled):
        book.backup(tmp_path / "two.zip", lambda done, of: steps.append((done, of)), lambda: True)
    with pytest.raises(Cancelled):
        restore(
            archive, tmp_path / "restored", cancel=lambda: len(steps) > 3, progress=lambda *step: steps.append(step)
        )
    assert steps
    assert not (tmp_path / "two.zip").exists()
    assert not list(tmp_path.glob("*.part"))
    assert not list(tmp_path.glob("restored/*"))


def test_progress_ends_at_the_end(book: Book, archive: Path, tmp_path: Path) -> None:
    steps: list[tuple[int, int]] = []
    book.backup(tmp_path / "two.zip", lambda *step: steps.append(step))
    assert steps[-1][0] == steps[-1][1]
    steps.clear()
    restore(archive, tmp_path / "restored", lambda *step: steps.append(step))
    assert steps[-1][0] == steps[-1][1]
    assert steps == sorted(steps)


def test_a_place_that_holds_something_is_refused(archive: Path, location: str, tmp_path: Path) -> None:
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "invoice.txt").touch()
    for place, code in ((location, "book_exists"), (tmp_path / "full", "folder_not_empty")):
        with pytest.raises(InputError) as refused:
            restore(archive, place)
        assert refused.value.code == code
    assert [path.name for path in (tmp_path / "full").iterdir()] == ["invoice.txt"]


def _rewritten(archive: Path, change: Callable[[str, bytes], bytes | None], extra: str = "") -> None:
    with zipfile.ZipFile(archive) as old:
        members = {name: change(name, old.read(name)) for name in old.namelist()}
    with zipfile.ZipFile(archive, "w") as new:
        for name, data in members.items():
            if data is not None:
                new.writestr(name, data)
        if extra:
            new.writestr(extra, b"x")


def _refused(archive: Path, tmp_path: Path) -> KbError:
    with pytest.raises(KbError) as refused:
        restore(archive, tmp_path / "restored")
    assert not (tmp_path / "restored").exists()
    return refused.value


@pytest.mark.parametrize("kind", ["sqlite"], indirect=True)
class TestDamage:
    def test_an_altered_row_is_found(self, archive: Path, tmp_path: Path) -> None:
        _rewritten(archive, lambda name, data: data.replace(b"lesson", b"LESSON") if "revision" in name else data)
        error = _refused(archive, tmp_path)
        assert (error.code, error.values["detail"]) == ("backup_damaged", "tables/revision.jsonl")

    def test_a_missing_file_is_found(self, archive: Path, tmp_path: Path) -> None:
        gone: list[str] = []

        def drop_one(name: str, data: bytes) -> bytes | None:
            if name.startswith("files/") and not gone:
                gone.append(name)
                return None
            return data

        _rewritten(archive, drop_one)
        error = _refused(archive, tmp_path)
        assert (error.code, [error.values["detail"]]) == ("backup_damaged", gone)

    def test_something_unlisted_is_found(self, archive: Path, tmp_path: Path) -> None:
        _rewritten(archive, lambda _, data: data, extra="../../escape")
        assert isinstance(_refused(archive, tmp_path), DamageError)

    def test_a_listed_name_outside_is_refused(self, archive: Path, tmp_path: Path) -> None:
        def list_it(name: str, data: bytes) -> bytes:
            if name != "manifest.json":
                return data
            manifest = json.loads(data)
            manifest["members"]["../x"] = {"sha256": "2d711642b726b04401627ca9fbac32f5c8530fb1903cc4db02258717921a4881"}
            return json.dumps(manifest).encode()

        _rewritten(archive, list_it, extra="../x")
        error = _refused(archive, tmp_path)
        assert (error.code, error.values["detail"]) == ("backup_damaged", "../x")

    @pytest.mark.parametrize("row", [b"{", b"[]", b'{"key": "x"}', b'{"key": "x", "value": "y", "more": 1}', b"\xff"])
    def test_rows_that_are_none_are_found_whatever_the_manifest_says(
        self, archive: Path, tmp_path: Path, row: bytes
    ) -> None:
        def listed(name: str, data: bytes) -> bytes:
            if name == "tables/meta.jsonl":
                return data + row
            if name == "manifest.json":
                manifest = json.loads(data)
                with zipfile.ZipFile(archive) as old:
                    proof = hashlib.sha256(old.read("tables/meta.jsonl") + row).hexdigest()
                manifest["members"]["tables/meta.jsonl"]["sha256"] = proof
                return json.dumps(manifest).encode()
            return data

        _rewritten(archive, listed)
        with pytest.raises(DamageError) as refused:
            restore(archive, tmp_path / "restored")
        assert refused.value.values["detail"] == "tables/meta.jsonl"
        assert not list((tmp_path / "restored").iterdir())

    @pytest.mark.parametrize(
        "manifest",
        [b"", b"[]", b"{}", b'{"format": "provebook-backup/1", "book_format": "0001", "members": {}}', b"[" * 5000],
    )
    def test_a_manifest_that_is_none(self, archive: Path, tmp_path: Path, manifest: bytes) -> None:
        _rewritten(archive, lambda name, data: manifest if name == "manifest.json" else data)
        assert _refused(archive, tmp_path).code == "backup_wrong"

    @pytest.mark.parametrize("book_format", ["", "1", "0000", "x"])
    def test_a_format_that_is_none(self, archive: Path, tmp_path: Path, book_format: str) -> None:
        def other(name: str, data: bytes) -> bytes:
            return json.dumps({**json.loads(data), "book_format": book_format}).encode() if "manifest" in name else data

        _rewritten(archive, other)
        assert _refused(archive, tmp_path).code == "backup_wrong"

    def test_a_flipped_byte_is_found(self, archive: Path, tmp_path: Path) -> None:
        data = bytearray(archive.read_bytes())
        data[len(data) // 3] ^= 0x41
        archive.write_bytes(data)
        assert isinstance(_refused(archive, tmp_path), (DamageError, InputError))

    def test_a_cut_off_file_is_no_backup(self, archive: Path, tmp_path: Path) -> None:
        archive.write_bytes(archive.read_bytes()[:5000])
        assert _refused(archive, tmp_path).code == "backup_wrong"

    def test_another_zip_is_no_backup(self, archive: Path, tmp_path: Path) -> None:
        _rewritten(archive, lambda name, data: None if name == "manifest.json" else data)
        assert _refused(archive, tmp_path).code == "backup_wrong"

    @pytest.mark.parametrize(("field", "value"), [("format", "provebook-backup/2"), ("book_format", "9999")])
    def test_a_newer_backup_is_refused(self, archive: Path, tmp_path: Path, field: str, value: str) -> None:
        def newer(name: str, data: bytes) -> bytes:
            return json.dumps({**json.loads(data), field: value}).encode() if name == "manifest.json" else data

        _rewritten(archive, newer)
        assert _refused(archive, tmp_path).code == "backup_newer"

    def test_a_missing_archive_is_said(self, tmp_path: Path, kind: str) -> None:
        assert _refused(tmp_path / "none.zip", tmp_path).code == "path_missing"


def test_automatic_backups_are_rotated(folder: Path) -> None:
    with open_book(folder) as book:
        book.save(case(1), None)
        made = [book.backup_automatically(kept=2) for _ in range(3)]
    assert sorted((folder / "backups").iterdir()) == made[1:]
    restore(made[-1], folder.parent / "again")


def test_rotation_spares_other_files(tmp_path: Path) -> None:
    for name in ("automatic-1.zip", "automatic-2.zip", "automatic-3.zip", "automatic-1.txt", "mine.zip"):
        (tmp_path / name).touch()
    assert [path.name for path in rotate(tmp_path, "automatic-", 1)] == ["automatic-1.zip", "automatic-2.zip"]
    assert sorted(path.name for path in tmp_path.iterdir()) == ["automatic-1.txt", "automatic-3.zip", "mine.zip"]
