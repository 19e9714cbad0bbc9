from collections.abc import Iterator

import pytest

from kbapp.lookup.index import CaseIndex
from kbapp.lookup.lexicon import expansions, near_words
from tests.lookup.books import case, index_of


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Iterator[CaseIndex]:
    words = ["wiring", "wiring loom", "wire", "wires", "wired", "winding", "thermostat", "thermostats", "pedal"]
    cases = [case(number, words[number % len(words)]) for number in range(1, 40)]
    with index_of(tmp_path_factory.mktemp("lexicon"), cases) as index:
        yield index


def test_the_most_used_spellings_come_first(book: CaseIndex) -> None:
    found = expansions(book.view.lexicons, "wir")
    assert found[0][0] == "wiring"
    assert {word for word, _ in found} == {"wiring", "wire", "wires", "wired"}
    assert [count for _, count in found] == sorted((count for _, count in found), reverse=True)
    assert expansions(book.view.lexicons, "wirin") == [("wiring", found[0][1])]
    assert len(expansions(book.view.lexicons, "w", most=2)) == 2
    assert expansions(book.view.lexicons, "zz") == []


def test_near_words_by_slips_then_use(book: CaseIndex) -> None:
    assert near_words(book.view.lexicons, "termostat", 2)[0][0] == "thermostat"
    assert near_words(book.view.lexicons, "pedla", 1)[0] == ("pedal", 1, book.view.lexicons[0].count("pedal"))
    assert near_words(book.view.lexicons, "epdal", 1)[0][0] == "pedal"
    assert near_words(book.view.lexicons, "zzzzzz", 2) == []


def test_counts_of_spellings(book: CaseIndex) -> None:
    lexicon = book.view.lexicons[0]
    assert lexicon.count("wiring") == 9
    assert lexicon.count("nosuch") == lexicon.count("zzz") == 0
