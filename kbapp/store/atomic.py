"""Writes files so that a crash leaves either the old or the new one, never half of one."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO
from uuid import uuid4

TEMPORARY_SUFFIX = ".part"


@contextmanager
def atomic_file(path: Path) -> Iterator[BinaryIO]:
    """Yields a file to write; it takes the place of ``path`` at the end, flushed to the disk, or vanishes on an error.

    Raises:
        OSError: as the file system says.
    """
    temporary = path.with_name(f"{path.name}.{uuid4().hex[:12]}{TEMPORARY_SUFFIX}")
    try:
        with temporary.open("xb") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        temporary.replace(path)
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise
    flush_folder(path.parent)


def flush_folder(folder: Path) -> None:
    """Makes a rename in a folder last through a power cut, where the system can."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
