from typing import Any, get_args

import pytest

from kbapp.isolation.states import SectionState
from kbapp.lookup.question import FACETS
from kbapp.records.case import Link, Retest, SignOff
from kbapp.records.codes import Origin
from kbapp.records.timeline import (
    Effect,
    FindingEntry,
    NoteEntry,
    PartEntry,
    Purpose,
    ServiceEntry,
    Source,
    Stage,
    Strength,
    TestEntry,
    TestStatus,
)
from kbapp.records.units import Measures
from kbapp.records.vin import CheckDigit
from kbapp.records.vocabulary import POSITIONS, State, System
from kbapp.wording.terms import TermKind, term, term_kinds, terms


def _allowed(record: Any, field: str) -> tuple[str, ...]:
    annotation = record.model_fields[field].annotation
    options = get_args(annotation)
    return tuple(value for option in options for value in (get_args(option) or (option,)) if isinstance(value, str))


KINDS = tuple(_allowed(entry, "kind")[0] for entry in (PartEntry, ServiceEntry, TestEntry, FindingEntry, NoteEntry))
VOCABULARIES: dict[TermKind, tuple[str, ...]] = {
    "system": get_args(System),
    "state": get_args(State),
    "kind": KINDS,
    "stage": get_args(Stage),
    "purpose": get_args(Purpose),
    "effect": get_args(Effect),
    "source": get_args(Source),
    "test_status": get_args(TestStatus),
    "strength": get_args(Strength),
    "retest_result": _allowed(Retest, "result"),
    "sign_off_result": _allowed(SignOff, "result"),
    "link": _allowed(Link, "kind"),
    "position": POSITIONS,
    "facet": FACETS,
    "section_state": get_args(SectionState),
    "check_digit": get_args(CheckDigit),
    "code_origin": get_args(Origin),
    "measures": get_args(Measures),
}


@pytest.mark.parametrize("kind", term_kinds())
def test_every_value_of_a_vocabulary_has_a_label_of_its_own(kind: TermKind) -> None:
    labels = dict(terms(kind))
    assert set(labels) == set(VOCABULARIES[kind])
    assert len(set(labels.values())) == len(labels)
    assert all(label.strip() and "_" not in label for label in labels.values())


def test_labels_read_as_the_trade_says_them() -> None:
    assert term("system", "brakes_hydraulic") == "Brakes, hydraulic"
    assert term("state", "came_back") == "Came back"
    assert term("position", "LF") == "left front"


def test_free_words_are_shown_as_they_stand() -> None:
    assert term("position", "tailgate") == "tailgate"
    assert term("system", "") == ""


def test_labels_are_translated(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("KBAPP_LANG", "pseudo")
    assert term("state", "open") == "⟦Öpéñ⟧"
    assert term("position", "tailgate") == "tailgate"


def test_no_label_calls_a_number_verified() -> None:
    assert not any("verif" in label.lower() for kind in term_kinds() for _, label in terms(kind))
