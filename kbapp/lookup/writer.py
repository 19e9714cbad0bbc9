"""Writes the index: Whoosh commits with one writer, small merges, and a whole build aside that is swapped in.

Whoosh has no fsync and its files are pickles: the index is disposable, kept in the user's own cache folder with
rights for the user alone, and rebuilt on any doubt. It is never imported, shared or restored.
"""

import re
import shutil
import uuid
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, Final

from whoosh.filedb.filestore import FileStorage
from whoosh.index import TOC, FileIndex, LockError
from whoosh.reading import SegmentReader
from whoosh.writing import SegmentWriter

from kbapp.errors import Cancelled, EnvironmentFault
from kbapp.lookup import stamp
from kbapp.lookup.document import describe
from kbapp.lookup.postings import damage_guard
from kbapp.lookup.schema import Codec, fields_of, format_version, new_schema
from kbapp.lookup.source import CaseSource, SourceCase
from kbapp.lookup.stamp import Stamp, State

INDEX_NAME: Final = "MAIN"
MOST_SEGMENTS: Final = 8
LARGEST_MERGE: Final = 600
"""Documents one merge may rewrite while the program is in use: about a second of work."""
PATIENCE: Final = 2.0
"""Seconds to wait for another process that writes."""
_PAGE: Final = 500
_TOC_NAME: Final = re.compile(rf"_{INDEX_NAME}_([0-9]+)\.toc")
_BUILD_MB: Final = 96
_SAVE_MB: Final = 16


def generation_of(folder: Path) -> int:
    """Returns Whoosh's newest generation by the names of its files, without reading them; -1 where there is none."""
    found = (_TOC_NAME.fullmatch(path.name) for path in folder.glob("*.toc"))
    return max((int(match[1]) for match in found if match), default=-1)


def read_toc(folder: Path) -> TOC:
    """Returns Whoosh's table of contents of the newest generation.

    Raises:
        DamageError: ``index_damaged``.
    """
    with damage_guard():
        return TOC.read(FileStorage(str(folder)), INDEX_NAME)


def create(home: Path) -> Path:
    """Makes an empty index in a new folder under ``home``, both for the user alone, and returns the folder."""
    home.mkdir(mode=0o700, parents=True, exist_ok=True)
    home.chmod(0o700)
    folder = home / f"index-{uuid.uuid4().hex[:12]}"
    folder.mkdir(mode=0o700)
    FileStorage(str(folder)).create_index(new_schema(), INDEX_NAME)
    return folder


@contextmanager
def writing(folder: Path, megabytes: int = _SAVE_MB) -> Iterator[SegmentWriter]:
    """Opens the one writer of an index; the caller commits, anything else cancels.

    Raises:
        EnvironmentFault: ``index_busy``: another process writes; ``index_not_written``: the disk is full or locked.
        DamageError: ``index_damaged``.
    """
    with damage_guard():
        index = FileIndex(FileStorage(str(folder)), indexname=INDEX_NAME)
    try:
        writer = SegmentWriter(index, codec=Codec(), limitmb=megabytes, timeout=PATIENCE)
    except LockError:
        raise EnvironmentFault("index_busy", folder=str(folder)) from None
    try:
        yield writer
    except OSError as error:
        raise EnvironmentFault("index_not_written", reason=error.strerror or type(error).__name__) from error
    finally:
        if not writer.is_closed:
            with suppress(OSError):
                writer.cancel()


def merge_small(writer: SegmentWriter, segments: Sequence[Any]) -> list[Any]:
    """Merges the smallest segments as far as one merge may go (a merge policy as Whoosh calls it)."""
    taken, documents = [], 0
    for segment in sorted(segments, key=lambda one: one.doc_count_all()):
        documents += segment.doc_count_all()
        if documents > LARGEST_MERGE:
            break
        taken.append(segment)
    if len(taken) < 2:
        return list(segments)
    for segment in taken:
        reader = SegmentReader(writer.storage, writer.schema, segment)
        writer.add_reader(reader)
        reader.close()
    return [segment for segment in segments if segment not in taken]


def build(home: Path, source: CaseSource, progress: Callable[[int, int], None], stop: Callable[[], bool]) -> None:
    """Builds the whole index aside and swaps it in; the book may change meanwhile, the stamp says where it stands.

    Raises:
        Cancelled: ``stop`` was true; the index in use is untouched.
    """
    folder = create(home)
    try:
        change, count = _fill(folder, source, progress, stop)
        generation = generation_of(folder)
        state = State(change, count, stamp.fingerprint(folder, {}))
        stamp.write(home, Stamp(format_version(), source.incarnation, folder.name, {generation: state}))
    except BaseException:
        shutil.rmtree(folder, ignore_errors=True)
        raise
    sweep(home, folder)


def sweep(home: Path, keep: Path) -> None:
    """Removes index folders no longer in use, as far as the system lets go of them."""
    for path in home.glob("index-*"):
        if path != keep and path.is_dir():
            shutil.rmtree(path, ignore_errors=True)


def _fill(
    folder: Path, source: CaseSource, progress: Callable[[int, int], None], stop: Callable[[], bool]
) -> tuple[int, int]:
    """Writes every case as it stood at the last change; returns that change and the number of cases."""
    last, total = source.last_change(), source.count()
    written: dict[str, int] = {}
    again: dict[str, SourceCase] = {}
    with writing(folder, _BUILD_MB) as writer:
        for found in _changes(source, last):
            if stop():
                raise Cancelled
            if found.case_id in written:
                again[found.case_id] = found
            elif found.case is not None:
                written[found.case_id] = len(written)
                writer.add_document(**fields_of(describe(found)))
                if len(written) % 50 == 0:
                    progress(len(written), max(total, len(written)))
        writer.commit(merge=False)
    if again:
        _rewrite(folder, again, written)
    count = len(written) - sum(1 for found in again.values() if found.case is None)
    progress(count, count)
    return last, count


def _rewrite(folder: Path, again: dict[str, SourceCase], written: dict[str, int]) -> None:
    """Replaces cases that a feed of revisions gave more than once; documents are numbered as they were written."""
    with writing(folder) as writer:
        for case_id, found in again.items():
            writer.delete_document(written[case_id])
            if found.case is not None:
                writer.add_document(**fields_of(describe(found)))
        writer.commit(merge=False)


def _changes(source: CaseSource, last: int) -> Iterator[SourceCase]:
    at = 0
    while at < last:
        page = source.changed_since(at, _PAGE)
        if not page:
            return
        yield from (found for found in page if found.change <= last)
        at = page[-1].change


def commit(writer: SegmentWriter, removed: Iterable[int], cases: Iterable[SourceCase]) -> None:
    """Removes documents, adds cases and commits without merging."""
    for document in removed:
        writer.delete_document(document)
    for found in cases:
        if found.case is not None:
            writer.add_document(**fields_of(describe(found)))
    writer.commit(merge=False)
