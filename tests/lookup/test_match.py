"""The stated rule: what share of a question's words a case must meet."""

from collections.abc import Iterator

import pytest

from kbapp.lookup.index import CaseIndex
from kbapp.lookup.match import share_of
from kbapp.lookup.question import Question
from kbapp.lookup.select import ENOUGH
from tests.lookup.books import asked, case, index_of

TEXTS = {
    1: "alternator bracket cracked",
    2: "alternator bracket",
    3: "alternator cracked",
    4: "bracket cracked",
    5: "alternator",
}


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Iterator[CaseIndex]:
    cases = [case(100 * copy + number, text) for number, text in TEXTS.items() for copy in range(12)]
    with index_of(tmp_path_factory.mktemp("match"), cases) as index:
        yield index


def _kinds(index: CaseIndex, text: str) -> set[int]:
    return {number % 100 for number in asked(index, text, limit=100)}


def test_the_share_never_rises_with_more_words() -> None:
    shares = [share_of(count) for count in range(1, 30)]
    assert shares[:2] == [1.0, 1.0]
    assert shares == sorted(shares, reverse=True)
    assert shares[-1] > 0


def test_one_and_two_words_must_all_be_there(book: CaseIndex) -> None:
    assert _kinds(book, "alternator") == {1, 2, 3, 5}
    assert _kinds(book, "alternator bracket") == {1, 2}
    assert book.ask(Question(text="alternator bracket")).total == 24


def test_of_three_words_two_thirds_by_weight(book: CaseIndex) -> None:
    assert 1 in _kinds(book, "alternator bracket cracked")
    assert 5 not in _kinds(book, "alternator bracket cracked")


def test_light_words_decide_nothing(book: CaseIndex) -> None:
    plain = _kinds(book, "alternator bracket")
    assert _kinds(book, "when the left alternator is on the bracket, please") == plain


def test_light_words_alone_are_asked_for() -> None:
    assert share_of(1) == 1.0


def test_an_unknown_word_counts_like_an_average_one(book: CaseIndex) -> None:
    answer = book.ask(Question(text="alternator xylophone"))
    assert answer.full == 0
    assert answer.loosen == ("xylophone",)
    assert answer.total > 0


def test_full_matches_lead_partial_ones(tmp_path_factory: pytest.TempPathFactory) -> None:
    cases = [case(number, text) for number, text in TEXTS.items()]
    with index_of(tmp_path_factory.mktemp("few"), cases) as index:
        answer = index.ask(Question(text="alternator cracked"))
        assert answer.full == 2 < ENOUGH
        assert {hit.number for hit in answer.hits[:2]} == {"2026-0001", "2026-0003"}
        assert answer.total > 2
