"""A process killed in the middle of saving loses nothing the book had acknowledged (process death, not power loss)."""

import os

import pytest

from kbapp.store.book import open_book
from tests.store import kill_test

ROUNDS = 1000 if os.environ.get("KBAPP_FULL") else 30


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
@pytest.mark.timeout(1200)
def test_no_acknowledged_save_is_lost(location: str) -> None:
    tally = kill_test.run(location, ROUNDS)
    assert tally.acknowledged > ROUNDS
    assert tally.lost == []
    with open_book(location) as book:
        assert book.check() == ()
