"""The vehicles a book holds, for completing what is typed: makes, their families, generations and engines."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal

VehicleField = Literal["make", "family", "generation", "engine"]
FIELDS: Final[tuple[VehicleField, ...]] = ("make", "family", "generation", "engine")


@dataclass(frozen=True, slots=True)
class VehicleNames:
    """Every combination of make, family, generation and engine of the book, once."""

    rows: tuple[tuple[str, str, str, str], ...] = ()

    @classmethod
    def of(
        cls, makes: Iterable[str], families: Iterable[str], generations: Iterable[str], engines: Iterable[str]
    ) -> "VehicleNames":
        """Returns the combinations in columns that stand beside each other."""
        rows = dict.fromkeys(zip(makes, families, generations, engines, strict=True))
        return cls(tuple(sorted(row for row in rows if any(row))))

    def offered(self, field: VehicleField, told: dict[VehicleField, str]) -> tuple[str, ...]:
        """Returns the values of a field that go with what is told of the others; all of them where nothing goes."""
        place = FIELDS.index(field)
        others = [
            (FIELDS.index(name), text.casefold()) for name, text in told.items() if name != field and text.strip()
        ]
        fitting = [row for row in self.rows if all(row[n].casefold() in (text, "") for n, text in others)]
        return tuple(sorted({row[place] for row in (fitting or self.rows) if row[place]}, key=str.casefold))

    def follows(self, field: VehicleField, told: dict[VehicleField, str]) -> str:
        """Returns the one value of a field that all vehicles of the book as told have, or an empty text."""
        place = FIELDS.index(field)
        given = [(FIELDS.index(name), text.casefold()) for name, text in told.items() if name != field and text.strip()]
        if not given:
            return ""
        values = {row[place] for row in self.rows if all(row[n].casefold() == text for n, text in given) and row[place]}
        return values.pop() if len(values) == 1 else ""
