"""The names of parts that are known, for finding them in free words: those of the section maps and of the book."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

from kbapp.records.section_map import SectionMap

_MOST = 6_000


@dataclass(frozen=True)
class PartNames:
    """Names of parts: as they are written → the name to record."""

    names: tuple[tuple[str, str], ...] = ()

    @classmethod
    def gathered(cls, maps: Iterable[SectionMap], book: Iterable[str]) -> "PartNames":
        """Returns the names of maps (with what else their parts are called) and of a book."""
        names: dict[str, str] = {}
        for section_map in maps:
            for section in section_map.sections:
                for part in section.parts:
                    plain = part.name[:1].lower() + part.name[1:] if part.name[1:2].islower() else part.name
                    for name in (part.name, *part.also_called):
                        names.setdefault(name.casefold(), plain)
        for name in book:
            names.setdefault(name.casefold(), name)
        return cls(tuple(names.items())[:_MOST])

    @cached_property
    def _by_name(self) -> dict[str, str]:
        return dict(self.names)

    @cached_property
    def _pattern(self) -> re.Pattern[str] | None:
        words = sorted((name for name, _ in self.names if len(name) > 2), key=len, reverse=True)
        if not words:
            return None
        return re.compile(rf"(?<!\w)(?P<name>{'|'.join(map(re.escape, words))})(?:e?s)?(?!\w)", re.IGNORECASE)

    def find(self, text: str) -> Iterator[tuple[str, int, int]]:
        """Yields each part in a text with its place, the longest name first where several begin alike."""
        if self._pattern is not None:
            for match in self._pattern.finditer(text):
                yield self._by_name[match["name"].casefold()], match.start(), match.end()
