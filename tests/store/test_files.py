"""Files: named by their bytes, kept once, proved when read."""

import hashlib
import threading
from pathlib import Path

import pytest
from sqlalchemy import update

from kbapp.errors import DamageError, EnvironmentFault, InputError
from kbapp.store import tables
from kbapp.store.book import Book, open_book
from kbapp.store.files import CHUNK, FolderFiles

BIG = bytes(range(256)) * (CHUNK // 256) * 2 + b"tail"


@pytest.mark.parametrize("data", [b"", b"x", BIG])
def test_bytes_come_back_as_they_were(book: Book, data: bytes, tmp_path: Path) -> None:
    source = tmp_path / "photo.jpg"
    source.write_bytes(data)
    sha256 = book.files.put(source)
    assert sha256 == hashlib.sha256(data).hexdigest() == book.files.put(data)
    assert book.files.read(sha256) == data
    book.files.copy_to(sha256, tmp_path / "out.jpg")
    assert (tmp_path / "out.jpg").read_bytes() == data
    assert not book.check()


def test_missing_files_are_named_in_order(book: Book) -> None:
    kept = book.files.put(b"kept")
    assert book.files.exists(kept)
    assert not book.files.exists("0" * 64)
    assert book.files.missing(["1" * 64, kept, "0" * 64, "1" * 64]) == ("1" * 64, "0" * 64)


@pytest.mark.parametrize("name", ["0" * 64, "", "../../../etc/passwd", "A" * 64])
def test_an_unknown_file_is_refused(book: Book, name: str, tmp_path: Path) -> None:
    with pytest.raises(InputError) as refused:
        book.files.read(name)
    assert refused.value.code == "file_unknown"
    with pytest.raises(InputError):
        book.files.copy_to(name, tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_an_altered_file_is_found_when_read_and_when_checked(book: Book) -> None:
    sha256 = book.files.put(BIG)
    if isinstance(book.files, FolderFiles):
        place = book.files.place(sha256)
        place.write_bytes(b"y" + BIG[1:])
    else:
        with book._database.write() as connection:
            first = tables.file_chunk.c.chunk == 0
            connection.execute(update(tables.file_chunk).where(first).values(data=b"y" + BIG[1:CHUNK]))
    with pytest.raises(DamageError) as damaged:
        book.files.read(sha256)
    assert damaged.value.code == "file_damaged"
    assert [(fault.path, fault.code) for fault in book.check()] == [(f"files.{sha256}", "check_file")]


def test_a_lost_file_is_damage(folder: Path) -> None:
    with open_book(folder) as book:
        sha256 = book.files.put(b"photo")
        assert isinstance(book.files, FolderFiles)
        book.files.place(sha256).unlink()
        with pytest.raises(DamageError) as lost:
            book.files.read(sha256)
        assert lost.value.code == "file_lost"


def test_a_missing_source_is_named(book: Book, tmp_path: Path) -> None:
    with pytest.raises(EnvironmentFault) as missing:
        book.files.put(tmp_path / "gone.jpg")
    assert missing.value.code == "path_missing"
    assert str(tmp_path / "gone.jpg") in str(missing.value.values["where"])


def test_the_same_file_put_from_several_threads_is_kept_once(book: Book) -> None:
    results: list[str] = []
    threads = [threading.Thread(target=lambda: results.append(book.files.put(BIG))) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert results == [hashlib.sha256(BIG).hexdigest()] * 4
    assert book.files.read(results[0]) == BIG
    assert not book.check()
