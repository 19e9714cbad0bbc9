"""Makes the small book that is kept for ever when a format ships: ``python -m tests.store.make_fixture``.

It is written once per format, to tests/fixtures/books, and never made anew after that format has shipped.
"""

import shutil
import sys
import tempfile
from pathlib import Path

from kbapp.records.private import PrivateDetails
from kbapp.store.book import create_book
from kbapp.store.identity import FORMAT
from kbapp.store.sign_offs import Signature
from tests.bench.generate import generated_cases
from tests.store.sample import SHOP, case, case_id, changed, full_case

FIXTURES = Path(__file__).resolve().parents[1] / "fixtures" / "books"


def fill(folder: Path) -> None:
    """Makes a book with some of everything in a folder."""
    with create_book(folder, SHOP, name=f"Format {FORMAT}", author="IK") as book:
        saved = book.save(full_case(), None, reason="first")
        book.save(changed(saved.case, lesson="Hold the pedal: two minutes."), saved.revision, "RA")
        book.save(case(1, opened="2026-02"), None)
        book.set_private(case_id(1), PrivateDetails(customer="A. Sample", plate="WL-AB 123", phone="0171 2345678"))
        book.undo_batch(book.add_many([case(2, number="gone")], origin="outside", title="undone").id)
        book.add_many([full_case(8), *generated_cases(6, seed=1)], origin="outside", title="kept")
        book.accept_signature(case_id(8), "MH")
        book.files.put(b"a photo, as it were")
        book.put_shelved("map", "low-pedal", '{"id": "low-pedal"}')
        first = book.case(case_id(1))
        unsure = changed(first.case, sign_off={"by": "MH", "role": "lead", "result": "not_proved"})
        book.sign(unsure, first.revision, Signature("MH", "lead", "not_proved", note="no baseline"))


def main() -> None:
    """Writes the fixture of the present format, unless there is one."""
    target = FIXTURES / f"{FORMAT}.zip"
    if target.exists():
        sys.exit(f"{target} is there already")
    FIXTURES.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as home:
        fill(Path(home) / "book")
        shutil.make_archive(str(target.with_suffix("")), "zip", home, "book")


if __name__ == "__main__":
    main()
