"""The index of one book on one PC: opened, built, kept up with the book's changes, asked."""

from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from threading import Lock
from typing import Final

from whoosh.filedb.filestore import FileStorage
from whoosh.index import TOC

from kbapp.errors import DamageError
from kbapp.lookup import stamp, writer
from kbapp.lookup.answer import Answerer
from kbapp.lookup.cache import ArrayCache
from kbapp.lookup.columns import Vocabulary
from kbapp.lookup.postings import Postings, Segment
from kbapp.lookup.question import Answer, Question
from kbapp.lookup.schema import format_version
from kbapp.lookup.source import CaseSource, SourceCase
from kbapp.lookup.stamp import Stamp, State
from kbapp.lookup.view import Part, View

POSTING_BYTES: Final = 96 << 20


def never() -> bool:
    """Returns False: a question that nobody stops."""
    return False


class CaseIndex:
    """Answers questions from any thread while one writer at a time applies changes.

    ``change`` is the change of the book the index stands at.
    """

    def __init__(self, home: Path, state: Stamp) -> None:
        self._home = home
        self._incarnation = state.incarnation
        self._folder = home / state.folder
        self._storage = FileStorage(str(self._folder), supports_mmap=False)  # mapped, Whoosh copies every file whole
        self._writing = Lock()
        self._vocabulary = Vocabulary()
        self._parts: dict[str, Part] = {}
        self._retired: list[Part] = []
        self._postings: ArrayCache[Postings] = ArrayCache(
            POSTING_BYTES, lambda found: found.ids.nbytes + found.weights.nbytes
        )
        self._answerer = Answerer()
        self.change = 0
        try:
            self._load(state)
        except BaseException:
            self.close()
            raise

    @classmethod
    def open(cls, folder: Path, incarnation: str) -> "CaseIndex":
        """Opens the index of a book.

        Raises:
            DamageError: ``index_missing``, ``index_outdated``, ``index_of_other_book`` or ``index_damaged``: rebuild
            it.
        """
        found = stamp.read(folder)
        if found.version != format_version():
            raise DamageError("index_outdated", found=found.version, expected=format_version())
        if found.incarnation != incarnation:
            raise DamageError("index_of_other_book")
        return cls(folder, found)

    @staticmethod
    def build(
        folder: Path,
        source: CaseSource,
        progress: Callable[[int, int], None] = lambda _done, _of: None,
        stop: Callable[[], bool] = never,
    ) -> None:
        """Builds the index of a book aside and swaps it in; meant for a process of its own (it holds Python's lock).

        Raises:
            Cancelled: ``stop`` was true; an index in use is untouched.
        """
        writer.build(folder, source, progress, stop)

    @property
    def count(self) -> int:
        """Returns how many cases the index holds."""
        return self._view.count

    @property
    def worn(self) -> bool:
        """Returns whether small merges no longer keep up, so that a rebuild in the background is worth it."""
        return len(self._view.parts) > 3 * writer.MOST_SEGMENTS

    @property
    def view(self) -> View:
        """Returns the view questions are answered from at this moment."""
        return self._view

    def ask(self, question: Question, stop: Callable[[], bool] = never) -> Answer:
        """Answers a question from the index as it stands.

        Raises:
            Cancelled: ``stop`` was true.
            DamageError: ``index_damaged``: rebuild it.
        """
        return self._answerer.answer(self._view, question, stop)

    def use_terms(self, lines: Iterable[Sequence[str]]) -> None:
        """Takes the shop's own terms into questions: each line gives names of one thing; cases stay as they are."""
        self._answerer.use_terms(lines)

    def apply(self, cases: Sequence[SourceCase]) -> None:
        """Takes changes of the book in, in their order; the cases are searchable when it returns.

        It merges segments only where nobody calls ``tidy``.

        Raises:
            EnvironmentFault: ``index_busy``: another process writes; try again.
            DamageError: ``index_outdated`` where another process replaced the index; ``index_damaged``.
        """
        with self._writing:
            if not cases:
                return
            self._commit({found.case_id: found for found in cases}, max(found.change for found in cases))
            if len(self._parts) > 2 * writer.MOST_SEGMENTS:
                self._merge()

    def tidy(self) -> bool:
        """Merges small segments where there are many, and returns whether it did; for the quiet after ``apply``."""
        with self._writing:
            if len(self._parts) <= writer.MOST_SEGMENTS:
                return False
            self._merge()
            return True

    def _commit(self, newest: dict[str, SourceCase], change: int) -> None:
        with writer.writing(self._folder) as opened:
            state = self._catch_up(opened.generation - 1)
            if change <= self.change:
                return
            fresh = {case_id: found for case_id, found in newest.items() if found.change > self.change}
            removed = [document for case_id in fresh for document in self._view.find(case_id)]
            count = self._view.count - len(removed) + sum(found.case is not None for found in fresh.values())
            self._announce(state, opened.generation, State(change, count))
            writer.commit(opened, removed, fresh.values())
        self._settle(opened.generation, State(change, count), state.files)

    def _merge(self) -> None:
        with writer.writing(self._folder) as opened:
            state = self._catch_up(opened.generation - 1)
            self._announce(state, opened.generation, State(state.change, state.count))
            opened.commit(mergetype=writer.merge_small)
        self._settle(opened.generation, State(state.change, state.count), state.files)

    def _catch_up(self, generation: int) -> State:
        """Returns the state of the generation on the disk, loading it where another process committed it."""
        found = stamp.read(self._home)
        if (
            found.folder != self._folder.name
            or found.incarnation != self._incarnation
            or generation not in found.states
        ):
            raise DamageError("index_outdated", found=found.folder, expected=self._folder.name)
        if generation != self._generation:
            self._load(found)
        return found.states[generation]

    def _announce(self, state: State, generation: int, coming: State) -> None:
        states = {self._generation: state, generation: coming}
        stamp.write(self._home, Stamp(format_version(), self._incarnation, self._folder.name, states))

    def _settle(self, generation: int, state: State, known: dict[str, tuple[int, int]]) -> None:
        measured = State(state.change, state.count, stamp.fingerprint(self._folder, known))
        settled = Stamp(format_version(), self._incarnation, self._folder.name, {generation: measured})
        stamp.write(self._home, settled)
        self._load(settled, verify=False)

    def _load(self, found: Stamp, *, verify: bool = True) -> None:
        """Makes the view of the generation on the disk, reusing the segments already open."""
        generation = writer.generation_of(self._folder)
        state = found.states.get(generation)
        if state is None:
            raise DamageError("index_damaged", reason="generation")
        if verify:  # before anything is unpickled
            stamp.verify(self._folder, state)
        toc = writer.read_toc(self._folder)
        parts = {segment.segment_id(): segment for segment in toc.segments}
        opened = {name: self._parts.get(name) or self._open_part(toc, segment) for name, segment in parts.items()}
        deleted = [sorted(segment.deleted_docs()) for segment in toc.segments]
        view = View(list(opened.values()), deleted, self._vocabulary, self._postings)
        self._retire([part for name, part in self._parts.items() if name not in opened])
        self._parts, self._view, self._generation, self.change = opened, view, generation, state.change
        if view.count != state.count:
            raise DamageError("index_damaged", reason="count")

    def _open_part(self, toc: TOC, segment: object) -> Part:
        return Part(Segment(self._storage, toc.schema, segment), self._vocabulary)

    def _retire(self, gone: list[Part]) -> None:
        """Closes what was retired earlier; what is retired now may still be read by a running question."""
        if not gone:
            return
        for part in self._retired:
            part.segment.close()
        self._retired = gone
        names = {part.segment.id for part in gone}
        self._postings.forget(lambda key: not (isinstance(key, tuple) and key[0] in names))

    def close(self) -> None:
        """Closes the files; the index can be opened again."""
        for part in (*self._parts.values(), *self._retired):
            part.segment.close()
        self._parts, self._retired = {}, []
