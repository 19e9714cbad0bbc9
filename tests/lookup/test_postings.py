"""What is read past Whoosh's public matchers equals Whoosh's own search: matching exactly, BM25F to the last digit."""

import random
from collections.abc import Iterator

import numpy as np
import pytest
from whoosh.filedb.filestore import FileStorage
from whoosh.index import FileIndex
from whoosh.query import And, Or, Term
from whoosh.scoring import BM25F
from whoosh.searching import Searcher

from kbapp.lookup import stamp
from kbapp.lookup.index import CaseIndex
from kbapp.lookup.view import K1, B, View
from tests.bench.generate import generated_cases
from tests.lookup.books import INCARNATION, MemorySource


@pytest.fixture(scope="module")
def worn(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[CaseIndex, Searcher]]:
    """An index of several segments with deleted and changed documents, and Whoosh's own searcher on the same files."""
    home = tmp_path_factory.mktemp("worn")
    cases = list(generated_cases(260, seed=7))
    source = MemorySource(cases[:200])
    CaseIndex.build(home, source)
    index = CaseIndex.open(home, INCARNATION)
    for at in range(0, 60, 20):
        changes = [source.save(one) for one in cases[200 + at : 220 + at]]
        changes += [
            source.save(one.model_copy(update={"lesson": "Pedal sinks: look twice."})) for one in cases[at : at + 5]
        ]
        changes += [source.remove(one.id) for one in cases[at + 5 : at + 8]]
        index.apply(changes)
    folder = home / stamp.read(home).folder
    opened = FileIndex(FileStorage(str(folder)))
    reader = opened.reader()
    searcher = Searcher(reader, weighting=BM25F(B=B, K1=K1))
    yield index, searcher
    searcher.close()
    index.close()


def _words(view: View) -> list[str]:
    names = sorted({name for part in view.parts for name in part.segment.lexicon("text")[0]})
    common = sorted(names, key=lambda name: (-view.frequency(name), name))[:40]
    return common + random.Random(3).sample(names, 160)


def test_there_are_several_segments_and_deleted_documents(worn: tuple[CaseIndex, Searcher]) -> None:
    index, searcher = worn
    assert len(index.view.parts) == 4
    assert index.view.size - index.view.count == 24
    assert index.count == searcher.reader().doc_count() == 251


def test_scores_equal_whoosh_to_the_last_digit(worn: tuple[CaseIndex, Searcher]) -> None:
    index, searcher = worn
    view = index.view
    for word in _words(view):
        ids, scores = view.scores(word)
        ours = {int(at): float(score) for at, score in zip(ids, scores, strict=True) if view.live[at]}
        theirs = {hit.docnum: hit.score for hit in searcher.search(Term("text", word), limit=None)}
        assert ours == theirs, word


def test_a_sum_of_words_equals_whoosh(worn: tuple[CaseIndex, Searcher]) -> None:
    index, searcher = worn
    view = index.view
    words = _words(view)[:12]
    total = np.zeros(view.size)
    for word in words:
        ids, scores = view.scores(word)
        total[ids] += scores
    theirs = {hit.docnum: hit.score for hit in searcher.search(Or([Term("text", word) for word in words]), limit=None)}
    ours = {int(at): float(total[at]) for at in np.flatnonzero((total > 0) & view.live)}
    assert ours.keys() == theirs.keys()
    assert all(ours[at] == pytest.approx(theirs[at], rel=1e-13) for at in ours)


def test_matching_equals_whoosh_boolean_search(worn: tuple[CaseIndex, Searcher]) -> None:
    index, searcher = worn
    view = index.view
    words = _words(view)[:30]
    some = random.Random(11)
    for _ in range(60):
        pair = some.sample(words, some.randint(2, 4))
        found = [set(view.postings("text", word).ids.tolist()) for word in pair]
        live = set(np.flatnonzero(view.live).tolist())
        both = {hit.docnum for hit in searcher.search(And([Term("text", word) for word in pair]), limit=None)}
        either = {hit.docnum for hit in searcher.search(Or([Term("text", word) for word in pair]), limit=None)}
        assert set.intersection(*found) & live == both
        assert set.union(*found) & live == either


def test_lexicon_and_counts_equal_whoosh(worn: tuple[CaseIndex, Searcher]) -> None:
    index, searcher = worn
    for part, (reader, _base) in zip(index.view.parts, searcher.reader().leaf_readers(), strict=True):
        for field in ("text", "plain", "mark", "id", "number"):
            names, counts = part.segment.lexicon(field)
            assert names == [name.decode() for name in reader.lexicon(field)]
            assert counts.tolist() == [reader.doc_frequency(field, name) for name in names]


def test_columns_equal_whoosh(worn: tuple[CaseIndex, Searcher]) -> None:
    index, searcher = worn
    for part, (reader, _base) in zip(index.view.parts, searcher.reader().leaf_readers(), strict=True):
        assert part.days.tolist() == list(reader.column_reader("opened"))
        lengths = [reader.doc_field_length(at, "text") for at in range(reader.doc_count_all())]
        assert [int(byte) for byte in part.lengths] != [0] * len(lengths)
        assert index.view.parts[0].segment.length_total() == searcher.reader().leaf_readers()[0][0].field_length("text")


def test_an_unknown_word_has_no_postings(worn: tuple[CaseIndex, Searcher]) -> None:
    index, _ = worn
    assert len(index.view.postings("text", "nosuchword").ids) == 0
    assert len(index.view.scores("nosuchword")[0]) == 0
