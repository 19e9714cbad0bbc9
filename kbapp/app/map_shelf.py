"""The shop's own maps: saving makes a version, a case keeps the one it was worked with."""

from collections.abc import Mapping
from typing import Any

from kbapp.app.advising import MAP_SHELF, book_maps, map_versions
from kbapp.app.draft_lines import fresh_id
from kbapp.errors import InputError
from kbapp.maps.shipped import shipped_ids
from kbapp.records.map_document import canonical_map, check_map
from kbapp.records.moment import instant_now
from kbapp.records.section_map import MapChange, SectionMap
from kbapp.store.book import Book


class MapShelf:
    """The maps a shop drew itself. Every method may be called from any thread."""

    def __init__(self, book: Book, author: str) -> None:
        self._book, self._author = book, author

    def own(self) -> Mapping[str, SectionMap]:
        """Returns the shop's own maps in force, by id."""
        return book_maps(self._book)

    def versions(self, map_id: str) -> tuple[SectionMap, ...]:
        """Returns every version of a map, the latest first."""
        return map_versions(map_id, self._book)

    def taken(self) -> frozenset[str]:
        """Returns the ids that maps bear already."""
        return frozenset((*shipped_ids(), *self.own()))

    def save(self, document: Mapping[str, Any], based_on: int | None) -> SectionMap:
        """Puts a drawn map on the shelf as a new version and returns it; the same again is no new version.

        Raises:
            DocumentFaults: every fault of the map.
            InputError: ``map_moved_on``: someone else saved a version since ``based_on``.
        """
        drawn = check_map({**document, "version": 1}).unwrap(str(document.get("title", "")))
        if based_on is None and (drawn.id in self.taken() or self.versions(drawn.id)):
            drawn = drawn.model_copy(update={"id": fresh_id(drawn.id, self.taken(), "-")})
        before = self.versions(drawn.id)
        if based_on is not None and before and before[0].version != based_on:
            raise InputError("map_moved_on", title=drawn.title, version=before[0].version)
        if before and _same(before[0], drawn) and drawn.id in self.own():
            return before[0]
        version = max((kept.version for kept in before), default=0) + 1
        change = MapChange(version=version, at=instant_now(), by=self._author)
        history = (*(before[0].history if before else ()), change)
        made = drawn.model_copy(update={"version": version, "history": history})
        self._book.put_shelved(MAP_SHELF, made.id, canonical_map(made).decode(), self._author)
        return made

    def take_off(self, map_id: str) -> None:
        """Takes a map off the shelf; cases worked with it still find their version."""
        self._book.put_shelved(MAP_SHELF, map_id, "", self._author)


def _same(one: SectionMap, other: SectionMap) -> bool:
    bare = {"version": 1, "history": ()}
    return canonical_map(one.model_copy(update=bare)) == canonical_map(other.model_copy(update=bare))
