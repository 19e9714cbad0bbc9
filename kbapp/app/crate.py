"""The Case Crate: the exchange of packs with other shops, for the screen and the commands alike."""

from collections.abc import Callable, Collection
from dataclasses import dataclass
from pathlib import Path

from kbapp.app.pack_history import MadePack, PackHistory, ReadPack
from kbapp.app.pack_making import Made, PackMaking, Review, Selection, signer_of, silent
from kbapp.app.pack_reading import Choices, Clash, PackReading, ReadDone, ReadPlan
from kbapp.app.pack_trust import KeyRing, KnownKey, Trust
from kbapp.app.shop_keys import Ask, ShopKeys, no_passphrase
from kbapp.packs.blank.removal import Removal
from kbapp.packs.plan import PlanItem
from kbapp.store.book import Book

__all__ = [
    "Clash", "Crate", "KnownKey", "Made", "MadePack", "PlanItem", "ReadDone", "ReadPack", "ReadPlan", "Removal",
    "Review", "Selection", "Trust", "UndonePack",
]  # fmt: skip

Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class UndonePack:
    """What undoing a pack came to; ``kept``: cases that stay because someone touched them since."""

    pack: ReadPack
    removed: tuple[str, ...]
    set_back: tuple[str, ...]
    kept: tuple[str, ...]


class Crate:
    """Packs of one open book. Every method may be called from any thread; the long ones belong on a worker."""

    def __init__(self, book: Book, author: str, follow: Callable[[int], None]) -> None:
        self._book, self._author, self._follow = book, author, follow
        self.shop_key = ShopKeys(book, author)
        self.trusted = KeyRing(book, author)

    def review(
        self, selection: Selection, title: str = "", kept: Collection[str] = (), progress: Progress = silent
    ) -> Review:
        """Returns what a pack would hold and every removal in its place; ``kept``: ids of removals not to be made.

        Raises:
            InputError: ``pack_empty``, ``pack_of_practice``, ``pack_over_limit``, or the key lies elsewhere.
        """
        return self._making().review(selection, title, kept, progress)

    def make(
        self, out: Path, selection: Selection, accept: str, title: str = "", kept: Collection[str] = (),
        ask: Ask = no_passphrase, progress: Progress = silent,
    ) -> Made:  # fmt: skip
        """Writes exactly the pack that was reviewed under the digest ``accept``, then reads, proves and searches it.

        Raises:
            InputError: ``pack_plan_changed``, ``pack_exists``, ``pack_still_holds``, ``key_passphrase_wrong``.
            EnvironmentFault: ``pack_not_written``. Nothing is left behind in any of these.
        """
        making, seed = self._making(), self.shop_key.seed(ask)
        return making.write(out, selection, accept, seed, title, kept, progress)

    def plan(self, path: Path, progress: Progress = silent) -> ReadPlan:
        """Returns what reading a pack would do; nothing is written. Raises as ``PackReading.plan``."""
        return self._reading().plan(path, progress)

    def clash(self, path: Path, case_id: str) -> Clash:
        """Returns both versions of a case that clashes, field by field."""
        return self._reading().clash(path, case_id)

    def read(self, path: Path, choices: Choices | None = None, progress: Progress = silent) -> ReadDone:
        """Reads a pack as one batch; ``choices``: fields to take, by case. Raises as ``PackReading.read``."""
        done = self._reading().read(path, choices, progress)
        self._follow(done.change)
        return done

    def undo(self, reference: str) -> UndonePack:
        """Takes back what a pack brought, named by the beginning of its id or of its batch.

        Raises:
            InputError: ``pack_unknown`` or ``batch_undone``.
        """
        pack, undone = self._reading().undo(reference)
        if undone is None:
            return UndonePack(pack, (), (), ())
        self._follow(undone.last_change)
        return UndonePack(pack, undone.removed, undone.set_back, undone.kept)

    def history(self) -> tuple[tuple[MadePack, ...], tuple[ReadPack, ...]]:
        """Returns the packs made and the packs read, the oldest first."""
        history = PackHistory(self._book)
        return history.made, history.read

    def _making(self) -> PackMaking:
        if self._book.info.practice:  # before a key is made for nothing
            return PackMaking(self._book, self._author, signer_of(self._book, "0" * 64), "")
        key = self.shop_key.own()
        return PackMaking(self._book, self._author, signer_of(self._book, key.public_key), key.fingerprint)

    def _reading(self) -> PackReading:
        return PackReading(self._book, self._author, self.shop_key.fingerprint)
