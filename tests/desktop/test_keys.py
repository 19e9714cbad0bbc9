from itertools import combinations

from PySide6.QtGui import QKeySequence

from kbapp.desktop.keys import KEYS, shown


def test_no_two_commands_share_a_key() -> None:
    pairs = [(key.id, QKeySequence(sequence).toString()) for key in KEYS if key.action for sequence in key.sequences]
    assert [(one, other) for one, other in combinations(pairs, 2) if one[1] == other[1]] == []


def test_every_sequence_is_one_qt_knows() -> None:
    assert [key.id for key in KEYS for text in key.sequences if QKeySequence(text).isEmpty()] == []
    assert len({key.id for key in KEYS}) == len(KEYS)


def test_alternatives_are_shown_together() -> None:
    assert shown(next(key for key in KEYS if key.id == "question")) == "Ctrl+L or Ctrl+F"
