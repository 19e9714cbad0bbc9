"""Turns what databases and disks raise into the errors of this program, so that none escapes raw."""

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

from sqlalchemy import exc

from kbapp.errors import DamageError, EnvironmentFault, KbError

_SQLITE: Final[dict[int, tuple[type[KbError], str]]] = {
    sqlite3.SQLITE_FULL: (EnvironmentFault, "disk_full"),
    sqlite3.SQLITE_BUSY: (EnvironmentFault, "book_busy"),
    sqlite3.SQLITE_LOCKED: (EnvironmentFault, "book_busy"),
    sqlite3.SQLITE_READONLY: (EnvironmentFault, "book_read_only"),
    sqlite3.SQLITE_PERM: (EnvironmentFault, "book_read_only"),
    sqlite3.SQLITE_CANTOPEN: (EnvironmentFault, "book_cannot_open"),
    sqlite3.SQLITE_IOERR: (EnvironmentFault, "disk_failed"),
    sqlite3.SQLITE_CORRUPT: (DamageError, "book_damaged"),
    sqlite3.SQLITE_NOTADB: (DamageError, "not_a_database"),
    sqlite3.SQLITE_NOMEM: (EnvironmentFault, "memory_full"),
}
# The first characters of an SQLSTATE (PostgreSQL manual, appendix A) [M]; the longest that fits wins.
_SQLSTATES: Final[dict[str, tuple[type[KbError], str]]] = {
    "53100": (EnvironmentFault, "disk_full"),
    "53200": (EnvironmentFault, "memory_full"),
    "53300": (EnvironmentFault, "server_too_many"),
    "55P03": (EnvironmentFault, "book_busy"),
    "40": (EnvironmentFault, "book_busy"),
    "25006": (EnvironmentFault, "book_read_only"),
    "42501": (EnvironmentFault, "server_rights"),
    "28": (EnvironmentFault, "server_login"),
    "3D000": (EnvironmentFault, "server_no_database"),
    "57P": (EnvironmentFault, "server_lost"),
    "08": (EnvironmentFault, "server_lost"),
    "58": (EnvironmentFault, "disk_failed"),
    "XX": (DamageError, "book_damaged"),
}
# What an English-speaking server says to those it turns away, the most telling first.
_TURNED_AWAY: Final = (
    (("FATAL", "database", "does not exist"), "server_no_database"),
    (("FATAL", "authentication"), "server_login"),
    (("FATAL", "pg_hba.conf"), "server_login"),
    (("FATAL", "role", "does not exist"), "server_login"),
    (("no password supplied",), "server_login"),
    (("FATAL", "too many"), "server_too_many"),
    (("FATAL", "permission denied"), "server_rights"),
    (("FATAL",), "server_refused"),
)
_OS: Final[dict[int, str]] = {
    errno.ENOSPC: "disk_full",
    errno.EDQUOT: "disk_full",
    errno.EFBIG: "disk_full",
    errno.EROFS: "book_read_only",
    errno.EACCES: "book_read_only",
    errno.EPERM: "book_read_only",
    errno.ENOENT: "path_missing",
    errno.ENOTDIR: "path_missing",
}


@contextmanager
def plain_errors(where: str) -> Iterator[None]:
    """Raises this program's errors in place of those of the database, its driver and the disk.

    ``where`` is the book's location (or the file at work) as a person may see it.
    """
    try:
        yield
    except KbError:
        raise
    except exc.DBAPIError as error:
        raise _of_driver(error.orig, where) from error
    except exc.SQLAlchemyError as error:
        code = "book_busy" if isinstance(error, exc.TimeoutError) else "book_unexpected"
        raise EnvironmentFault(code, where=where, detail=_first_line(error)) from error
    except sqlite3.Error as error:
        raise _of_sqlite(error, where) from error
    except OSError as error:
        raise of_disk(error, where) from error


def of_disk(error: OSError, where: str) -> EnvironmentFault:
    """Returns the fault for an error of the file system; the file it names is said where there is one."""
    place = str(error.filename) if error.filename else where
    return EnvironmentFault(_OS.get(error.errno or 0, "disk_failed"), where=place, detail=error.strerror or "")


def _of_driver(error: BaseException | None, where: str) -> KbError:
    if isinstance(error, sqlite3.Error):
        return _of_sqlite(error, where)
    state = getattr(error, "sqlstate", None)
    if not isinstance(state, str):
        return _of_lost_line(_first_line(error), where)
    for length in (5, 3, 2):
        known = _SQLSTATES.get(state[:length])
        if known:
            return known[0](known[1], where=where, detail=_first_line(error))
    return EnvironmentFault("book_unexpected", where=where, detail=_first_line(error))


def _of_lost_line(said: str, where: str) -> KbError:
    """Returns the fault for an error without an SQLSTATE: the line broke, or the server turned the user away.

    While connecting, the driver passes on no more than the server's sentence.
    """
    for words, code in _TURNED_AWAY:
        if all(word in said for word in words):
            return EnvironmentFault(code, where=where, detail=said)
    return EnvironmentFault("server_lost", where=where, detail=said)


def _of_sqlite(error: sqlite3.Error, where: str) -> KbError:
    number = getattr(error, "sqlite_errorcode", None)
    if isinstance(number, int):
        known = _SQLITE.get(number & 0xFF)
        if known:
            return known[0](known[1], where=where, detail=_first_line(error))
    return EnvironmentFault("book_unexpected", where=where, detail=_first_line(error))


def _first_line(error: BaseException | None) -> str:
    return (str(error).strip().splitlines() or [""])[0][:200]
