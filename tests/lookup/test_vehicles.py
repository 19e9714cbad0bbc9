from collections.abc import Iterator

import pytest

from kbapp.lookup.index import CaseIndex
from kbapp.lookup.parse import read
from kbapp.lookup.question import Question
from kbapp.lookup.vehicles import KIN, Known, VehicleNames, kinship
from tests.lookup.books import case, index_of

LINDLE_2 = {"make": "Kestrow", "family": "Lindle", "platform": "KM", "generation": "2", "engine": "K20D"}
OTHERS = [
    LINDLE_2 | {"generation": "1"},
    {"make": "Ombrane", "family": "Nocte", "platform": "KM", "generation": "1", "engine": "O16PH"},
    {"make": "Velmond", "family": "Ardane", "platform": "VA", "generation": "II", "engine": "K20D"},
    {"make": "Kestrow", "family": "Elsewhere", "platform": "XX", "generation": "1", "engine": "K15P"},
    {"make": "Tarrish", "family": "Wold", "platform": "TW", "generation": "Mk1", "engine": "T28D"},
]


@pytest.fixture(scope="module")
def names(tmp_path_factory: pytest.TempPathFactory) -> Iterator[VehicleNames]:
    cases = [case(number, "x", vehicle=vehicle) for number, vehicle in enumerate([LINDLE_2, *OTHERS], 1)]
    with index_of(tmp_path_factory.mktemp("vehicles"), cases) as index:
        yield VehicleNames(index.view)


def _known(names: VehicleNames, question: Question) -> Known:
    words = [token for token in read(question.text).words if token.word.terms and not token.word.stop]
    return names.asked(question, words)


def test_kinship_falls_from_generation_to_nothing(names: VehicleNames) -> None:
    known = _known(names, Question(make="Kestrow", family="Lindle", generation="2", engine="K20D"))
    values, shared = kinship(known, names)
    by_family = {
        (row.family, row.generation): (kind, value) for row, kind, value in zip(names.rows, shared, values, strict=True)
    }
    order = [("lindle", "2"), ("lindle", "1"), ("nocte", "1"), ("ardane", "ii"), ("elsewhere", "1"), ("wold", "mk1")]
    assert [by_family[one][0] for one in order] == ["generation", "family", "platform", "engine", "make", ""]
    assert [by_family[one][1] for one in order] == sorted(values.tolist(), reverse=True)[: len(order)]
    assert len(set(KIN.values())) == len(KIN)


def test_names_in_free_text_are_recognised(names: VehicleNames) -> None:
    known = _known(names, Question(text="LINDLE 2 with k20d: pedal sinks"))
    assert (known.family, known.generation, known.engine) == ("lindle", "2", "k20d")
    assert known.platforms == {"km"}
    assert _known(names, Question(text="pedal 2 sinks")).empty


def test_what_is_stated_goes_before_what_is_named(names: VehicleNames) -> None:
    assert _known(names, Question(text="like the nocte", family="Lindle")).family == "lindle"


def test_a_family_of_another_make_is_no_kin(names: VehicleNames) -> None:
    _values, shared = kinship(_known(names, Question(make="Tarrish", family="Lindle")), names)
    assert "family" not in shared


def test_case_and_accents_do_not_matter(names: VehicleNames) -> None:
    assert kinship(_known(names, Question(family="líndle")), names)[1].count("family") == 2


def test_unknown_vehicles_are_no_kin(names: VehicleNames) -> None:
    values, _shared = kinship(_known(names, Question(make="Nonesuch", family="Nothing")), names)
    assert values.tolist() == [0.0] * len(values)


def test_the_index_is_made_of_real_vehicles(tmp_path_factory: pytest.TempPathFactory) -> None:
    with index_of(tmp_path_factory.mktemp("none"), [case(1, "no vehicle")]) as index:
        check: CaseIndex = index
        assert VehicleNames(check.view).rows[0].family == ""
