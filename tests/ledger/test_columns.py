from collections import Counter

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.ledger.columns import any_by, commonest, floats, last_rows, renamed, same_name, sums, unpack, words

TEXTS = st.lists(st.text(max_size=3), max_size=30)
KEYS = st.lists(st.integers(0, 4), max_size=30)


@given(TEXTS)
@settings(max_examples=40)
def test_a_column_keeps_its_texts(texts: list[str]) -> None:
    column = words(texts)
    assert [column.at(n) for n in range(len(texts))] == texts
    assert column.among("a").tolist() == [text == "a" for text in texts]
    assert column.called("A").tolist() == [same_name(text) == "a" for text in texts]


@given(st.lists(st.tuples(st.sampled_from("abc"), st.sampled_from(["", "x"])), max_size=20))
@settings(max_examples=40)
def test_packed_columns_come_apart_again(rows: list[tuple[str, str]]) -> None:
    found = unpack(["|".join(row) for row in rows], ("one", "two"), "|")
    assert [(found["one"].at(n), found["two"].at(n)) for n in range(len(rows))] == rows


@given(KEYS)
@settings(max_examples=40)
def test_the_last_row_of_each_key(keys: list[int]) -> None:
    order = np.arange(len(keys))[::-1]  # the first row is the latest
    found = last_rows(np.array(keys, dtype=np.int64), order.astype(np.int64))
    assert found.tolist() == [keys.index(key) for key in sorted(set(keys))]


@given(st.lists(st.tuples(st.integers(0, 4), st.booleans()), max_size=30))
@settings(max_examples=40)
def test_whether_anything_holds(rows: list[tuple[int, bool]]) -> None:
    keys, holds = any_by(np.array([k for k, _ in rows], dtype=np.int64), np.array([h for _, h in rows], dtype=np.bool_))
    expected: dict[int, bool] = {}
    for key, hold in rows:
        expected[key] = expected.get(key, False) or hold
    assert dict(zip(keys.tolist(), holds.tolist(), strict=True)) == expected


def test_the_commonest_spelling_stands_for_a_name() -> None:
    column = words(["Hose", "hose", "hose", "pump", "HOSE "])
    known: dict[str, int] = {}
    codes = renamed(column, known)
    assert commonest(column, codes, len(known)) == ["hose", "pump"]
    assert commonest(words(["b", "a"]), np.zeros(2, dtype=np.int64), 2) == ["a", ""]


def test_names_are_shared_between_columns() -> None:
    known: dict[str, int] = {}
    assert renamed(words(["Water pump"]), known).tolist() == renamed(words(["water  PUMP"]), known).tolist()


@given(st.lists(st.tuples(st.integers(0, 3), st.one_of(st.none(), st.integers(0, 9).map(float))), max_size=20))
@settings(max_examples=40)
def test_sums_leave_out_what_is_unknown(rows: list[tuple[int, float | None]]) -> None:
    found = sums(np.array([k for k, _ in rows], dtype=np.int64), floats([v for _, v in rows]), 4)
    expected = Counter[int]()
    for key, value in rows:
        expected[key] += int(value or 0)
    assert found.tolist() == [expected[key] for key in range(4)]
