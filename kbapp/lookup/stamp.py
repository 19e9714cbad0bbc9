"""What an index stands for: format, book, change and count, with the size and checksum of every file.

The stamp is one JSON file beside the index. It is written before and after each commit and keyed by Whoosh's
generation, so that a process that dies in between leaves a stamp that fits whichever generation is on the disk.
"""

import json
import os
import zlib
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any, Final

from kbapp.errors import DamageError

NAME: Final = "stamp.json"
_READ_SIZE: Final = 1 << 20


@dataclass(frozen=True, slots=True)
class State:
    """What one generation holds: the change it stands at, its live cases, its files.

    ``files`` gives size and CRC-32 by name; it is empty where they are not yet known.
    """

    change: int
    count: int
    files: dict[str, tuple[int, int]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Stamp:
    """The whole stamp: ``folder`` is the directory in use, ``states`` is keyed by Whoosh generation."""

    version: int
    incarnation: str
    folder: str
    states: dict[int, State]


def read(home: Path) -> Stamp:
    """Returns the stamp of an index.

    Raises:
        DamageError: ``index_missing`` where there is none, ``index_damaged`` where it is unreadable.
    """
    try:
        text = (home / NAME).read_text("utf-8")
    except FileNotFoundError:
        raise DamageError("index_missing") from None
    except (OSError, UnicodeDecodeError) as error:
        raise DamageError("index_damaged", reason=type(error).__name__) from error
    try:
        return _stamp(json.loads(text))
    except (ValueError, TypeError, KeyError, AttributeError) as error:
        raise DamageError("index_damaged", reason="stamp") from error


def _stamp(plain: dict[str, Any]) -> Stamp:
    states = {int(generation): _state(state) for generation, state in plain["states"].items()}
    folder = str(plain["folder"])
    if Path(folder).name != folder or folder in ("", ".", ".."):
        raise ValueError(folder)
    return Stamp(int(plain["version"]), str(plain["incarnation"]), folder, states)


def _state(plain: dict[str, Any]) -> State:
    files = {str(name): (int(size), int(crc)) for name, (size, crc) in plain["files"].items()}
    return State(int(plain["change"]), int(plain["count"]), files)


def write(home: Path, stamp: Stamp) -> None:
    """Replaces the stamp in one step."""
    temporary = home / f"{NAME}.{os.getpid()}.new"
    temporary.write_text(json.dumps(asdict(stamp)), "utf-8")
    temporary.replace(home / NAME)


def fingerprint(folder: Path, known: dict[str, tuple[int, int]]) -> dict[str, tuple[int, int]]:
    """Returns size and checksum of every index file; files of ``known`` are immutable and not read again."""
    names = sorted(path.name for path in folder.iterdir() if path.suffix in (".seg", ".toc"))
    return {name: known.get(name) or _measure(folder / name) for name in names}


def _measure(path: Path) -> tuple[int, int]:
    size = crc = 0
    with path.open("rb") as stream:
        while piece := stream.read(_READ_SIZE):
            size += len(piece)
            crc = zlib.crc32(piece, crc)
    return size, crc


def verify(folder: Path, state: State) -> None:
    """Compares the files on the disk with a state.

    Raises:
        DamageError: ``index_damaged``: a file is missing, cut short or altered.
    """
    try:
        for name, (size, crc) in state.files.items():
            if (folder / name).stat().st_size != size or _measure(folder / name) != (size, crc):
                raise DamageError("index_damaged", reason=name)
    except OSError as error:
        raise DamageError("index_damaged", reason=type(error).__name__) from error
