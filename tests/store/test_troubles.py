"""What the disk, other processes and damage do to a book is said in plain words, and nothing is half done."""

import errno
import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from sqlalchemy import event

from kbapp.errors import DamageError, EnvironmentFault, KbError
from kbapp.store import troubles
from kbapp.store.book import Book, create_book, open_book
from kbapp.store.drafts import Drafts
from kbapp.store.troubles import plain_errors
from kbapp.wording import known_codes, sentence
from tests.bench.generate import generated_cases
from tests.store.sample import SHOP, case, changed


def _is_said(error: KbError, code: str, place: Path | str) -> None:
    assert error.code == code
    assert str(place) in sentence(error)


def test_every_trouble_has_a_sentence() -> None:
    codes = {code for _, code in (*troubles._SQLITE.values(), *troubles._SQLSTATES.values())}
    codes |= {*troubles._OS.values()} | {code for _, code in troubles._TURNED_AWAY}
    assert codes <= known_codes()


@contextmanager
def _limited(book: Book, pages: int) -> Iterator[None]:
    def limit(connection: sqlite3.Connection, _entry: object) -> None:
        connection.execute(f"PRAGMA max_page_count = {pages}")

    book.close()
    event.listen(book._database.engine, "connect", limit)
    yield
    event.remove(book._database.engine, "connect", limit)
    book.close()


def test_a_full_database_refuses_the_save_and_keeps_the_rest(folder: Path) -> None:
    with open_book(folder) as book:
        saved = book.save(case(1), None)
        with _limited(book, 100):
            with pytest.raises(EnvironmentFault) as full:
                book.save(changed(saved.case, notes="x" * 190_000), saved.revision)
            _is_said(full.value, "disk_full", folder)
            with pytest.raises(EnvironmentFault):
                book.add_many(generated_cases(300), origin="own")
        assert book.last_change() == 1
        assert book.check() == ()
        assert book.save(changed(saved.case, notes="x" * 190_000), saved.revision).change == 2


@contextmanager
def _mounted(place: Path, size: str) -> Iterator[None]:
    place.mkdir()
    command = ["mount", "-t", "tmpfs", "-o", f"size={size}", "none", str(place)]
    if sys.platform != "linux" or os.geteuid() != 0 or subprocess.run(command, capture_output=True).returncode != 0:
        pytest.skip("a small disk of its own needs Linux and the right to mount one")
    try:
        yield
    finally:
        subprocess.run(["umount", "--lazy", str(place)], check=True)  # even where a failed test left a file open


def test_a_full_disk_refuses_everything_in_plain_words(folder: Path, tmp_path: Path) -> None:
    small = tmp_path / "small"
    with _mounted(small, "2m"):
        shutil.copytree(folder, small / "book")
        with open_book(small / "book") as book:
            saved = book.save(case(1), None)
            book.backup(tmp_path / "whole.zip")
            (small / "filler").write_bytes(b"\0" * _free(small))
            attempts = (
                lambda: book.save(changed(saved.case, notes="x" * 190_000), saved.revision),
                lambda: book.files.put(os.urandom(300_000)),
                lambda: Drafts(small / "drafts", "one").keep("a", "x" * 100_000),
                lambda: book.backup(small / "backup.zip"),
                lambda: create_book(small / "other", SHOP),
            )
            for attempt in attempts:
                with pytest.raises(EnvironmentFault) as full:
                    attempt()
                _is_said(full.value, "disk_full", small)
            assert Drafts(small / "drafts", "one").all() == ()
            assert not list(small.rglob("*.part"))
            (small / "filler").unlink()
            assert book.check() == ()
            assert book.save(changed(saved.case, notes="x" * 90_000), saved.revision).change == 2
            assert book.files.read(book.files.put(b"photo")) == b"photo"
            create_book(small / "other", SHOP).close()


def _free(place: Path) -> int:
    return shutil.disk_usage(place).free


def test_a_folder_that_may_only_be_read_is_refused(folder: Path, tmp_path: Path) -> None:
    small = tmp_path / "small"
    with _mounted(small, "4m"):
        shutil.copytree(folder, small / "book")
        with open_book(small / "book") as book:
            saved = book.save(case(1), None)
        subprocess.run(["mount", "-o", "remount,ro", str(small)], check=True)
        for attempt in (
            lambda: open_book(small / "book"),
            lambda: create_book(small / "new", SHOP),
            lambda: Drafts(small, "one").keep("a", "b"),
        ):
            with pytest.raises(EnvironmentFault) as refused:
                attempt()
            _is_said(refused.value, "book_read_only", small)
        subprocess.run(["mount", "-o", "remount,rw", str(small)], check=True)
        with open_book(small / "book") as book:
            assert book.case(saved.case.id).case == saved.case


@pytest.mark.skipif(sys.platform == "win32" or os.geteuid() == 0, reason="root may write anywhere")
def test_a_folder_without_the_right_to_write_is_refused(folder: Path) -> None:
    folder.chmod(0o500)
    try:
        with pytest.raises(EnvironmentFault) as refused:
            open_book(folder)
        _is_said(refused.value, "book_read_only", folder)
    finally:
        folder.chmod(0o700)


def test_a_book_held_by_another_process_is_said_in_time(folder: Path) -> None:
    with open_book(folder, busy_seconds=0.1) as book, closing(sqlite3.connect(folder / "book.db")) as other:
        saved = book.save(case(1), None)
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(EnvironmentFault) as busy:
            book.save(changed(saved.case, lesson="x"), saved.revision)
        _is_said(busy.value, "book_busy", folder)
        assert book.case(saved.case.id).case == saved.case
        other.rollback()
        assert book.save(changed(saved.case, lesson="x"), saved.revision).change == 2


@pytest.mark.parametrize("content", [b"", b"not a database at all, but long enough to be looked at" * 20])
def test_a_file_that_is_no_database(folder: Path, content: bytes) -> None:
    (folder / "book.db").write_bytes(content)
    with pytest.raises(KbError) as refused:
        open_book(folder)
    _is_said(refused.value, "not_a_database" if content else "not_a_book", folder)


def test_a_damaged_database_is_said_and_never_crashes(folder: Path) -> None:
    with open_book(folder) as book:
        book.add_many(generated_cases(120), origin="own")
    whole = (folder / "book.db").read_bytes()
    codes = set[str]()
    for page in range(1, len(whole) // 4096, 9):
        (folder / "book.db").write_bytes(whole[: page * 4096] + b"\xa5" * 4096 + whole[(page + 1) * 4096 :])
        codes |= _use_all(folder)
    (folder / "book.db").write_bytes(whole[: len(whole) // 2])
    codes |= _use_all(folder)
    assert "book_damaged" in codes
    assert codes <= {"book_damaged", "not_a_database", "not_a_book", "check_database", "document_damaged"} | {
        code for code in known_codes() if code.startswith("check_")
    }


def _use_all(folder: Path) -> set[str]:
    """Returns the codes of all that is said about a damaged book; anything raised raw fails the test."""
    try:
        with open_book(folder) as book:
            codes = {fault.code for fault in book.check()}
            book.list_cases()
            book.repair_projection()
            return codes
    except (DamageError, KbError) as error:
        return {error.code}


def test_errors_of_the_disk_name_the_file(tmp_path: Path) -> None:
    for number, code in ((errno.ENOSPC, "disk_full"), (errno.EACCES, "book_read_only"), (errno.EIO, "disk_failed")):
        with pytest.raises(EnvironmentFault) as caught, plain_errors("the book"):
            raise OSError(number, os.strerror(number), str(tmp_path / "photo.jpg"))
        assert caught.value.code == code
        assert caught.value.values["where"] == str(tmp_path / "photo.jpg")
