from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.desktop.look_first.conditions import KINDS, Condition, Conditions
from kbapp.lookup.question import Evidence, Narrowing, Question

WORD = st.sampled_from(["Drovane", "thermostat", "P0217", "hvac_cooling", "radiator_spread"])
CONDITION = st.builds(Condition, st.sampled_from(KINDS), WORD, st.just("")) | st.builds(
    Condition, st.just("test"), WORD, WORD
)


def test_conditions_make_every_part_of_a_question() -> None:
    conditions = Conditions()
    for condition in (
        Condition("system", "hvac_cooling"), Condition("symptom", "overheats in traffic"),
        Condition("make", "Brennick"), Condition("family", "Drovane"), Condition("generation", "B"),
        Condition("engine", "B20D"), Condition("code", "P0217"), Condition("part", "thermostat"),
        Condition("test", "radiator_spread", "cold_outlet"), Condition("case", "an-id"),
    ):  # fmt: skip
        conditions = conditions.having(condition)
    conditions = conditions.narrowed("state", "proved", on=True).narrowed("state", "repaired", on=True)
    assert conditions.question(" hot ", typing=True, limit=7) == Question(
        text="hot", system="hvac_cooling", symptoms=("overheats in traffic",), make="Brennick", family="Drovane",
        generation="B", engine="B20D", codes=("P0217",), parts_tried=("thermostat",),
        evidence=(Evidence("radiator_spread", "cold_outlet"),), narrow=(Narrowing("state", ("proved", "repaired")),),
        not_case="an-id", typing=True, limit=7,
    )  # fmt: skip


def test_where_only_one_makes_sense_the_newer_takes_its_place() -> None:
    conditions = Conditions().having(Condition("family", "Drovane")).having(Condition("family", "Lindle"))
    assert conditions.items == (Condition("family", "Lindle"),)
    both = Conditions().having(Condition("code", "P0217")).having(Condition("code", "P0128"))
    assert [item.value for item in both.items] == ["P0217", "P0128"]


def test_an_unknown_system_is_never_asked() -> None:
    assert Conditions((Condition("system", "brakes"),)).question("", typing=False, limit=1).system is None


def test_unticking_the_last_value_ends_the_narrowing() -> None:
    conditions = Conditions().narrowed("make", "Brennick", on=True).narrowed("make", "Kestrow", on=True)
    assert conditions.ticked("make") == ("Brennick", "Kestrow")
    conditions = conditions.narrowed("make", "Brennick", on=False).narrowed("make", "Kestrow", on=False)
    assert conditions.narrow == ()


@settings(max_examples=60, deadline=None)
@given(st.lists(CONDITION, max_size=8))
def test_a_question_gives_its_conditions_back(items: list[Condition]) -> None:
    conditions = Conditions()
    for item in items:
        conditions = conditions.having(item)
    question = conditions.question("x", typing=False, limit=1)
    assert Conditions.of(question).question("x", typing=False, limit=1) == question


@settings(max_examples=40, deadline=None)
@given(st.lists(CONDITION, max_size=6), CONDITION)
def test_adding_twice_is_adding_once_and_removing_removes(items: list[Condition], one: Condition) -> None:
    conditions = Conditions(tuple(dict.fromkeys(items))).having(one)
    assert conditions.having(one) == conditions
    assert one not in conditions.without(one).items
