"""Keeps key files so that only their user can read them, written whole or not at all."""

import os
from contextlib import suppress
from pathlib import Path
from uuid import uuid4

from kbapp.errors import EnvironmentFault, InputError
from kbapp.packs.shop_key import KeyDocument, key_text, read_key


def write_key(path: Path, key: KeyDocument, *, replace: bool = False) -> None:
    """Writes a key file, readable by its user alone (on Windows the rights of the user's own folder do that).

    Raises:
        InputError: ``key_file_exists`` where ``replace`` is not set.
        EnvironmentFault: ``key_not_written``.
    """
    temporary = path.with_name(f".{path.name}.{uuid4().hex[:8]}")
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        if path.exists() and not replace:
            raise InputError("key_file_exists", path=str(path))
        handle = os.open(temporary, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "wb") as out:
            out.write(key_text(key))
            out.flush()
            os.fsync(out.fileno())
        temporary.replace(path)
    except OSError as error:
        raise EnvironmentFault("key_not_written", path=str(path), why=error.strerror or str(error)) from None
    finally:
        with suppress(OSError):
            temporary.unlink(missing_ok=True)


def load_key(path: Path) -> KeyDocument | None:
    """Returns the key in a file, or None where there is none.

    Raises:
        DamageError: ``key_damaged``.
        EnvironmentFault: ``file_not_read``.
    """
    try:
        return read_key(path.read_bytes(), str(path))
    except FileNotFoundError:
        return None
    except OSError as error:
        raise EnvironmentFault("file_not_read", path=str(path), why=error.strerror or str(error)) from None
