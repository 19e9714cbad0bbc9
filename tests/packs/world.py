"""Two invented shops with their books, cases with private details, and packs made of them."""

import io
from pathlib import Path
from typing import Any
from uuid import uuid4

from kbapp.app.crate import Crate, Made, Selection
from kbapp.packs.archive import Archive
from kbapp.packs.verifying import Bag, verify
from kbapp.records.case import Case, Shop
from kbapp.records.case_document import check_case
from kbapp.records.private import PrivateDetails
from kbapp.store.book import Book, create_book
from kbapp.store.values import Incoming

WEIR_LANE = Shop(id="3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10", name="Weir Lane Diagnostics")
COPPERHILL = Shop(id="8d2e61f4-17c3-4f0a-b6a5-94e0c7d3aa25", name="Copperhill Auto Electrics")
PRIVATE = PrivateDetails(
    customer="Maria Tolland-Özer",
    phone="+49 171 3920043",
    plate="QX-ZT 4471",
    vin="1M8GDM9AXKP042788",
    order_number="WL-20417",
    address="27 Ferry Steps, Nether Quarle, NQ4 7ZT",
    email="maria.tolland@example.org",
)


def document(**fields: Any) -> dict[str, Any]:
    return {
        "format": "provebook-case/1",
        "id": str(uuid4()),
        "number": "2026-0147",
        "state": "proved",
        "opened": "2026-06-03T09:00:00+02:00",
        "vehicle": {"make": "Brennick", "family": "Pallow", "odometer": {"value": 184322}},
        "concern": {"text": "Temperature climbs in traffic.", "system": "hvac_cooling", "since": "2026-05-11"},
        "codes": [{"code": "P0217", "status": "stored", "module": "ECM"}],
        "timeline": [
            {"id": "e1", "kind": "test", "at": "2026-06-03T09:40:00+02:00", "by": "IK", "test": "fan command",
             "outcome": "full speed", "readings": [{"where": "inlet", "value": 104, "unit": "degC"}]},
            {"id": "e2", "kind": "part", "at": "2026-06-04", "by": "IK", "part": "water pump", "effect": "gone"},
        ],
        "cause": {"text": "Impeller slips on its shaft", "part": "water pump"},
        "correction": {"text": "Pump fitted", "parts": [{"part": "water pump", "number": "0417230030"}]},
        "retest": [{"id": "r1", "at": "2026-06-04T17:00:00+02:00", "repeats": "e1", "result": "passed"}],
        "sign_off": {"by": "MH", "role": "lead", "at": "2026-06-05"},
    } | fields  # fmt: skip


def case(**fields: Any) -> Case:
    return check_case(document(**fields)).unwrap()


class Side:
    """One shop: its book and its crate."""

    def __init__(self, folder: Path, shop: Shop, author: str) -> None:
        self.book: Book = create_book(folder, shop, author=author)
        self.author = author
        self.followed: list[int] = []
        self.crate = Crate(self.book, author, self.followed.append)

    def add(self, *cases: Case, private: PrivateDetails | None = None) -> None:
        self.book.add_many([Incoming(one, private) for one in cases], origin="own")

    def pack(self, out: Path, selection: Selection | None = None, **options: Any) -> Made:
        chosen = selection or Selection()
        review = self.crate.review(chosen, **options)
        return self.crate.make(out, chosen, review.digest, **options)

    def head(self, case_id: str) -> Case:
        return self.book.case(case_id).case


def opened(data: bytes) -> tuple[Archive, Bag]:
    archive = Archive(io.BytesIO(data))
    return archive, verify(archive, "pack.zip")
