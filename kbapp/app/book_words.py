"""What a book's own words are: its vehicles and parts, for completing and recognising them."""

from kbapp.app.advising import all_maps
from kbapp.app.jot import KnownVehicles
from kbapp.app.part_names import PartNames
from kbapp.app.suggestions import Known
from kbapp.app.vehicle_names import FIELDS, VehicleNames
from kbapp.store.book import Book
from kbapp.store.ledger_rows import PACKED_BY, Wanted


def vehicle_names(book: Book) -> VehicleNames:
    """Returns every vehicle of the book."""
    packed = book.case_columns(Wanted((), (FIELDS,)))[0]
    rows = [text.split(PACKED_BY) for text in dict.fromkeys(packed)]
    return VehicleNames.of(*zip(*rows, strict=True)) if rows else VehicleNames()


def part_names(book: Book) -> PartNames:
    """Returns the parts of all maps and of the book."""
    used = dict.fromkeys(name for name in book.line_columns("part", Wanted(("part",)))[0] if name)
    return PartNames.gathered(all_maps(book), used)


def known_names(book: Book, vehicles: KnownVehicles) -> Known:
    """Returns the names that can be recognised in free words."""
    return Known(vehicles, part_names(book))
