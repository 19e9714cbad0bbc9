"""What a shop can do wrong and what can go wrong around it: one sentence, an exit code, nothing half-written."""

import json
import os
import sqlite3
import subprocess
import sys
import uuid
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

import pytest

from kbapp.app.places import places


def _case(**changes: Any) -> dict[str, Any]:
    case = {"format": "provebook-case/1", "id": str(uuid.uuid4()), "state": "open", "concern": {"text": "zzyzx squeal"}}
    return case | changes


def _run(*arguments: str, stdin: str = "") -> tuple[int, str, str]:
    done = subprocess.run(
        [sys.executable, "-m", "kbapp", *arguments],
        capture_output=True,
        text=True,
        input=stdin,
        check=False,
        timeout=60,
    )
    assert "Traceback" not in done.stderr + done.stdout
    return done.returncode, done.stdout, done.stderr


def _file(tmp_path: Path, text: str | bytes) -> str:
    path = tmp_path / "case.json"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return str(path)


def _cases(book: Path) -> int:
    with closing(sqlite3.connect(f"file:{book}/book.db?mode=ro", uri=True)) as connection:
        return int(connection.execute("SELECT count(*) FROM revision").fetchone()[0])


TWICE = _case()


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (json.dumps(_case())[:-25], "breaks off"),
        (json.dumps(_case(format="provebook-case/2")), "newer"),
        (json.dumps(_case(format="cases-of-mine")), "provebook-case/1"),
        (json.dumps(_case(colour="red")), "colour"),
        (json.dumps(_case(notes="x" * 10_000_000)), "10000000"),
        (json.dumps(_case(notes="x" * 300_000)), "200000"),
        (json.dumps(_case(concern={"text": "beep\u0007"})), "U+0007"),
        (json.dumps([TWICE, TWICE]), "twice"),
        ('{"format": "provebook-case/1", "format": "x"}', "format"),
        (b"\xff\xfe\x00", "UTF-8"),
        ("[" * 5000, "levels"),
        ('{"a": "\\ud800"}', "half a character"),
        ("null", "nothing"),
    ],
    ids=[
        "truncated", "newer", "other", "unknown field", "10 MB text", "long text", "control character", "id twice",
        "key twice", "not UTF-8", "deep", "surrogate", "null",
    ],
)  # fmt: skip
def test_a_faulty_file_is_refused_whole(tmp_path: Path, text: str | bytes, words: str) -> None:
    code, out, err = _run("case", "add", _file(tmp_path, text))
    assert code == 1
    assert out == ""
    assert words in err
    assert not places().own_book.exists() or _cases(places().own_book) == 0


def test_right_to_left_text_is_welcome(tmp_path: Path) -> None:
    text = "السيارة تسخن في الزحام"
    assert _run("case", "add", _file(tmp_path, json.dumps(_case(concern={"text": text}))))[0] == 0
    code, out, _ = _run("look", "تسخن", "--json")
    assert code == 0
    assert json.loads(out)["hits"][0]["concern"] == text


def test_a_case_that_is_here_already_is_said(tmp_path: Path) -> None:
    path = _file(tmp_path, json.dumps(TWICE))
    assert _run("case", "add", path)[0] == 0
    code, _, err = _run("case", "add", path)
    assert code == 1
    assert TWICE["id"] in err or "already" in err
    assert _cases(places().own_book) == 1


def test_a_newer_book_is_left_alone(practice: Path) -> None:
    with closing(sqlite3.connect(practice / "book.db")) as connection, connection:
        assert connection.execute("UPDATE alembic_version SET version_num = '9999'").rowcount == 1
    before = (practice / "book.db").read_bytes()
    code, _, err = _run("--book", str(practice), "case", "list")
    assert code == 1
    assert "newer" in err
    assert (practice / "book.db").read_bytes() == before


def test_a_damaged_database_is_said_and_kept(practice: Path) -> None:
    spoilt = b"SQLite format 3\0" + b"\xff" * 5000
    (practice / "book.db").write_bytes(spoilt)
    code, _, err = _run("--book", str(practice), "case", "list")
    assert code == 3
    assert "backup" in err
    assert (practice / "book.db").read_bytes() == spoilt


def test_a_damaged_index_is_rebuilt_without_a_word(practice: Path) -> None:
    for path in places().cache.rglob("*.seg"):
        path.write_bytes(b"\x80\x04garbage")
    code, out, _ = _run("--book", str(practice), "look", "thermostat", "--json")
    assert code == 0
    assert json.loads(out)["hits"]


def test_a_book_locked_by_another_process_says_so(practice: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with closing(sqlite3.connect(practice / "book.db", isolation_level=None)) as connection:
        connection.execute("BEGIN IMMEDIATE")
        code, _, err = _run("--book", str(practice), "jot", "zzyzx")
        connection.execute("ROLLBACK")
    assert code == 1
    assert "another" in err.lower()
    assert _run("--book", str(practice), "jot", "zzyzx")[0] == 0


@contextmanager
def _small_disk(folder: Path, options: str) -> Iterator[Path]:
    folder.mkdir()
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", options, "tmpfs", str(folder)], check=False, capture_output=True
    )
    if mounted.returncode:
        pytest.skip("mounting a small disk needs rights this user does not have")
    try:
        yield folder
    finally:
        subprocess.run(["umount", "-l", str(folder)], check=True)


def test_a_full_disk_loses_nothing(tmp_path: Path) -> None:
    with _small_disk(tmp_path / "small", "size=2m") as disk:
        book = str(disk / "book")
        assert _run("--book", str(places().own_book), "jot", "zzyzx")[0] == 0
        assert _run("book", "backup", str(tmp_path / "b.zip"))[0] == 0
        assert _run("book", "restore", str(tmp_path / "b.zip"), "--book", book)[0] == 0
        (disk / "filler").write_bytes(b"x" * (os.statvfs(disk).f_bavail * os.statvfs(disk).f_frsize))
        code, _, err = _run("--book", book, "jot", "does not fit " + "x" * 9000)
        assert code == 1
        assert "full" in err
        (disk / "filler").unlink()
        assert _run("--book", book, "book", "check")[0] == 0
        assert _run("--book", book, "jot", "fits again")[0] == 0


def test_a_read_only_folder_is_said(practice: Path, tmp_path: Path) -> None:
    with _small_disk(tmp_path / "frozen", "size=8m") as disk:
        subprocess.run(["cp", "-r", str(practice), str(disk / "book")], check=True)
        subprocess.run(["mount", "-o", "remount,ro", str(disk)], check=True)
        code, _, err = _run("--book", str(disk / "book"), "jot", "zzyzx")
        assert code == 1
        assert "read" in err
