"""Whole answers over a small book: what matches, in which order, with which reasons, counts and offers."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kbapp.errors import Cancelled, InputError
from kbapp.lookup.index import CaseIndex
from kbapp.lookup.question import FACETS, Answer, Evidence, Hit, Narrowing, Question
from kbapp.records.case import Case
from kbapp.wording.reasons import REASONS, facet_label, reason_detail, reason_label
from tests.lookup.books import asked, case, fitted, index_of, numbers, ran

LINDLE = {"make": "Kestrow", "family": "Lindle", "platform": "KM", "generation": "2", "engine": "K20D"}
LINDLE_1 = LINDLE | {"generation": "1", "engine": "K15P"}
MARRICK = {"make": "Kestrow", "family": "Marrick", "platform": "KM", "generation": "2", "engine": "K20D"}
DROVANE = {"make": "Brennick", "family": "Drovane", "platform": "BV", "generation": "B", "engine": "B20D"}
HEXLEY = {"make": "Tarrish", "family": "Hexley", "platform": "BV", "generation": "Mk2", "engine": "B20D"}
WOLD = {"make": "Tarrish", "family": "Wold", "platform": "TW", "generation": "Mk2", "engine": "T28D"}


def _book() -> list[Case]:
    return [
        case(
            1,
            "Pedal sinks slowly at the lights",
            symptoms=["sinking pedal"],
            system="brakes_hydraulic",
            vehicle=LINDLE,
            timeline=[ran("plug master cylinder outlets, hold 60 s", "pedal sinks")],
            opened="2026-01-05",
            cause={"text": "Master cylinder seal bypasses", "section": "master cylinder", "part": "master cylinder"},
        ),
        case(
            2,
            "Low pedal, firm on the second press",
            symptoms=["low pedal"],
            system="brakes_hydraulic",
            vehicle=DROVANE,
            timeline=[fitted("master cylinder", "unchanged"), ran("plug master cylinder outlets", "holds", at=2)],
            cause={"text": "Air trapped in the LF caliper", "section": "LF circuit", "part": "brake caliper"},
            opened="2026-01-06",
        ),
        case(
            3,
            "Spongy pedal after caliper work",
            symptoms=["spongy pedal"],
            system="brakes_hydraulic",
            vehicle=MARRICK,
            state="repaired",
            opened="2026-01-07",
        ),
        case(
            4,
            "Cranks but does not start when hot",
            symptoms=["cranks but does not start"],
            system="engine_management",
            vehicle=WOLD,
            codes=[{"code": "P0335"}],
            cause={"text": "Crankshaft sensor wiring chafed", "section": "wiring"},
            opened="2026-01-08",
        ),
        case(
            5,
            "No crank, clicks once",
            symptoms=["does not crank", "starter clicks"],
            system="starting_charging",
            vehicle=HEXLEY,
            cause={"text": "Engine earth strap broken", "section": "ground"},
            opened="2026-01-09",
        ),
        case(
            6,
            "Lean at idle, both banks",
            symptoms=["runs lean"],
            system="engine_management",
            vehicle=LINDLE_1,
            codes=[{"code": "P0171"}, {"code": "P0174"}],
            timeline=[fitted("air flow sensor", "unchanged")],
            cause={"text": "Purge valve leaks when closed", "section": "purge", "part": "purge valve"},
            opened="2026-01-10",
        ),
        case(
            7,
            "Pedal sinks, master cylinder fitted twice",
            symptoms=["sinking pedal"],
            system="brakes_hydraulic",
            vehicle=LINDLE,
            state="came_back",
            opened="2026-01-11",
        ),
        case(
            8,
            "CAN bus down after washing, U0100 stored",
            system="body_electrical_network",
            vehicle=DROVANE,
            codes=[{"code": "U0100"}],
            timeline=[ran("bus resistance, battery off", "40 ohm")],
            cause={"text": "Water in the trailer module, part 04-2291-B"},
            opened="2026-01-12",
        ),
        case(
            9,
            "Overheats in traffic at idle",
            symptoms=["overheats in traffic"],
            system="hvac_cooling",
            vehicle=HEXLEY,
            state="open",
            timeline=[fitted("thermostat", "unchanged")],
            opened="2026-01-13",
        ),
        case(
            10,
            "Overheating in traffic, fan is fine",
            symptoms=["overheats in traffic"],
            system="hvac_cooling",
            vehicle=WOLD,
            timeline=[fitted("thermostat", "gone")],
            cause={"text": "Thermostat stuck", "part": "thermostat"},
            opened="2026-01-14",
        ),
    ]


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Iterator[CaseIndex]:
    with index_of(tmp_path_factory.mktemp("book"), _book()) as index:
        yield index


def _reasons(hit: Hit) -> dict[str, float]:
    return {reason.name: reason.value for reason in hit.reasons}


def _hit(answer: Answer, number: int) -> Hit:
    return next(hit for hit in answer.hits if hit.number == f"2026-{number:04d}")


def test_two_words_must_both_be_there(book: CaseIndex) -> None:
    answer = book.ask(Question(text="overheats traffic"))
    assert (answer.total, answer.full) == (2, 2)


def test_few_full_matches_are_followed_by_partial_ones(book: CaseIndex) -> None:
    answer = book.ask(Question(text="sinking pedal"))
    assert answer.full == 2
    assert answer.hits[0].number == "2026-0001"
    assert answer.total > answer.full


def test_word_forms_do_not_matter(book: CaseIndex) -> None:
    assert asked(book, "overheated")[:2] == asked(book, "overheating")[:2] != []


def test_distinct_pedal_concerns_do_not_stand_for_each_other(book: CaseIndex) -> None:
    assert book.ask(Question(text="spongy")).total == 1
    assert asked(book, "low pedal")[0] == 2
    assert asked(book, "spongy pedal")[0] == 3
    assert asked(book, "sinking pedal")[0] == 1


def test_a_negated_word_leads_to_negated_cases(book: CaseIndex) -> None:
    assert asked(book, "no crank")[0] == 5
    assert asked(book, "cranks, no start")[0] == 4


def test_an_ambiguous_saying_shows_both_concerns(book: CaseIndex) -> None:
    assert set(asked(book, "it won't start")[:2]) == {4, 5}


def test_trade_names_find_each_other(book: CaseIndex) -> None:
    answer = book.ask(Question(text="ckp"))
    assert answer.hits[0].number == "2026-0004"
    assert "trade_words" in _reasons(answer.hits[0])


def test_a_code_finds_its_case_and_then_its_group(book: CaseIndex) -> None:
    for text in ("P0174", "p0174", "P 0174", "P0174-00"):
        assert asked(book, text)[0] == 6, text
    assert asked(book, codes=("P0172",)) == [6]
    assert (
        _reasons(book.ask(Question(codes=("P0172",))).hits[0])["code"]
        < _reasons(book.ask(Question(codes=("P0171",))).hits[0])["code"]
    )


def test_a_pasted_scan_report_finds_cases_of_its_codes(book: CaseIndex) -> None:
    report = (
        "Diagnostic report 2026\nEngine control module 12 systems scanned ok\n P0335 stored crankshaft\n"
        + "Module ok\n" * 300
    )
    assert asked(book, report)[0] == 4


def test_short_and_technical_words(book: CaseIndex) -> None:
    for text in ("CAN", "can bus", "04-2291-B", "042291b", "40 ohm", "40ohm", "LF"):
        assert asked(book, text)[:1] == ([2] if text == "LF" else [8]), text


def test_a_case_number_comes_first(book: CaseIndex) -> None:
    for text in ("2026-0003", "pedal 2026-0003", "case 2026-0003 please"):
        assert asked(book, text)[0] == 3, text
    assert asked(book, _book()[4].id)[0] == 5


def test_a_vehicle_in_the_text_ranks_and_does_not_swamp(book: CaseIndex) -> None:
    assert asked(book, "pedal")[0] != 3
    assert asked(book, "marrick pedal")[0] == 3
    answer = book.ask(Question(text="marrick pedal"))
    assert answer.total == book.ask(Question(text="pedal")).total
    assert asked(book, "drovane") == [2, 8] or asked(book, "drovane") == [8, 2]


def test_vehicle_kinship_falls_from_generation_to_make(book: CaseIndex) -> None:
    answer = book.ask(Question(text="pedal", make="Kestrow", family="Lindle", generation="2", engine="K20D"))
    assert _reasons(_hit(answer, 1))["vehicle"] > _reasons(_hit(answer, 3))["vehicle"] > 0
    assert "vehicle" not in _reasons(_hit(answer, 2))


def test_stated_parts_only_rank(book: CaseIndex) -> None:
    plain = book.ask(Question(text="overheats"))
    more = book.ask(Question(text="overheats", system="hvac_cooling", make="Tarrish", family="Wold", codes=("P0171",)))
    assert plain.total == more.total == 2 or more.total >= plain.total
    assert more.hits[0].number == "2026-0010"


def test_evidence_lifts_and_contradiction_lowers(book: CaseIndex) -> None:
    sinks = book.ask(Question(text="pedal", evidence=(Evidence("plug master cylinder outlets", "pedal sinks"),)))
    holds = book.ask(Question(text="pedal", evidence=(Evidence("plug master cylinder outlets", "pedal holds"),)))
    assert sinks.hits[0].number == "2026-0001"
    assert holds.hits[0].number == "2026-0002"
    assert _reasons(_hit(sinks, 1))["evidence"] > 0 > _reasons(_hit(sinks, 2))["evidence_against"]
    assert _reasons(_hit(holds, 2))["evidence"] > 0 > _reasons(_hit(holds, 1))["evidence_against"]


def test_a_part_that_changed_nothing_either_lifts_and_one_that_cured_lowers(book: CaseIndex) -> None:
    answer = book.ask(Question(text="overheats in traffic", parts_tried=("thermostat",)))
    assert [hit.number for hit in answer.hits[:2]] == ["2026-0009", "2026-0010"]
    assert _reasons(answer.hits[0])["part_tried"] > 0 > _reasons(answer.hits[1])["tried_was_cause"]


def test_came_back_and_withdrawn_never_lead(book: CaseIndex) -> None:
    answer = book.ask(Question(text="pedal sinks master cylinder fitted twice"))
    assert answer.hits[0].state == "proved"
    assert _reasons(_hit(answer, 7))["came_back"] < 0


def test_structured_parts_without_words_find_what_is_like_them(book: CaseIndex) -> None:
    assert asked(book, symptoms=("sinking pedal",))[0] == 1
    assert set(asked(book, symptoms=("sinking pedal",))) == {1, 2, 3, 7}
    assert set(asked(book, family="Drovane")) == {2, 5, 8, 9}
    assert asked(book, parts_tried=("MAF",)) == [6]
    assert set(asked(book, system="hvac_cooling")) == {9, 10}


def test_nothing_asked_lists_the_newest_first(book: CaseIndex) -> None:
    answer = book.ask(Question())
    assert [hit.number for hit in answer.hits] == [f"2026-{number:04d}" for number in range(10, 0, -1)]
    assert all(hit.reasons == () and hit.score == 0 for hit in answer.hits)
    assert asked(book, narrow=(Narrowing("make", ("Tarrish",)),)) == [10, 9, 5, 4]


def test_facets_count_all_matches_whatever_the_limit(book: CaseIndex) -> None:
    answer = book.ask(Question(text="pedal", limit=1))
    assert (answer.total, len(answer.hits)) == (4, 1)
    assert {count.value: count.count for count in answer.facets["state"]} == {
        "proved": 2,
        "repaired": 1,
        "came_back": 1,
    }
    assert set(answer.facets) == set(FACETS)


def test_a_facet_count_is_what_narrowing_by_it_finds(book: CaseIndex) -> None:
    for text in ("pedal", "sinking pedal", "overheats in traffic at idle", ""):
        answer = book.ask(Question(text=text))
        for field, counted in answer.facets.items():
            for one in counted:
                narrowed = book.ask(Question(text=text, narrow=(Narrowing(field, (one.value,)),)))
                assert narrowed.total == one.count, (text, field, one)


def test_narrowings_join_and_their_values_are_alternatives(book: CaseIndex) -> None:
    both = (Narrowing("make", ("Kestrow", "brennick")), Narrowing("state", ("proved",)))
    assert set(asked(book, "pedal", narrow=both)) == {1, 2}
    assert asked(book, "pedal", narrow=(Narrowing("code", ("P0335",)),)) == []


def test_an_unknown_facet_is_refused(book: CaseIndex) -> None:
    with pytest.raises(InputError) as caught:
        book.ask(Question(narrow=(Narrowing("colour", ("red",)),)))
    assert caught.value.code == "facet_unknown"


def test_the_case_at_hand_is_left_out(book: CaseIndex) -> None:
    assert 1 not in asked(book, "sinking pedal", not_case=_book()[0].id)


def test_a_quoted_phrase_must_stand_as_written(book: CaseIndex) -> None:
    assert asked(book, '"second press"') == [2]
    assert asked(book, '"press second"') == []
    assert asked(book, 'pedal "caliper work"') == [3]
    assert asked(book, '"low pedal') == asked(book, "low pedal")


def test_operators_are_plain_words(book: CaseIndex) -> None:
    assert asked(book, "pedal AND sinks") == asked(book, "pedal sinks") == asked(book, "(pedal) OR -sinks*")


def test_a_slip_is_forgiven_and_a_better_spelling_offered(book: CaseIndex) -> None:
    answer = book.ask(Question(text="termostat"))
    assert answer.did_you_mean == "thermostat"
    assert {hit.number for hit in answer.hits} == {"2026-0009", "2026-0010"}
    assert "spelling" in _reasons(answer.hits[0])
    assert book.ask(Question(text="pedla, Sinkng!")).did_you_mean == "pedal, sinking!"
    assert book.ask(Question(text="pedal sinking")).did_you_mean == ""


def test_typing_makes_the_last_word_a_beginning(book: CaseIndex) -> None:
    assert set(asked(book, "overh", typing=True)) == {9, 10}
    assert set(asked(book, "traffic ov", typing=True)) == {9, 10}
    assert asked(book, "overh", typing=False) == []
    assert asked(book, "overh ", typing=True) == []


def test_typing_a_word_to_its_end_never_loses_it(book: CaseIndex) -> None:
    word = "overheating"
    found = [set(asked(book, word[:end], typing=True)) for end in range(5, len(word) + 1)]
    assert all({9, 10} <= one for one in found)


def test_what_to_drop_where_nothing_matches(book: CaseIndex) -> None:
    assert book.ask(Question(text="pedal xylophone")).loosen == ("xylophone",)
    assert book.ask(Question(text="pedal", narrow=(Narrowing("make", ("Tarrish",)),))).loosen == ("make",)
    assert book.ask(Question(text="pedal")).loosen == ()


def test_passages_mark_what_matched(book: CaseIndex) -> None:
    hit = book.ask(Question(text="sinking pedal")).hits[0]
    concern = hit.passages[0]
    assert concern.field == "concern"
    assert [concern.text[start:end] for start, end in concern.spans] == ["Pedal", "sinks"]
    assert [passage.field for passage in hit.passages][:2] == ["concern", "cause"]
    assert len(hit.passages) == 3


def test_a_hit_can_be_shown_without_the_case(book: CaseIndex) -> None:
    hit = book.ask(Question(text="2026-0002")).hits[0]
    assert (hit.number, hit.state, hit.signed_here) == ("2026-0002", "proved", True)
    assert hit.vehicle == "Brennick Drovane B B20D"
    assert hit.cause == "Air trapped in the LF caliper"


def test_a_question_can_be_stopped(book: CaseIndex) -> None:
    with pytest.raises(Cancelled):
        book.ask(Question(text="pedal"), lambda: True)
    left = iter([False] * 2 + [True] * 50)
    with pytest.raises(Cancelled):
        book.ask(Question(text="sinking pedal at the lights"), lambda: next(left))


_WORDS = (
    "pedal", "sinks", "Lindle", "drovane", "P0171", "2026-0003", "no", "not", "can", '"low', 'press"', "4x4", "-12",
    "V", "AND", "won't", "overheats", "🚗", "בלם", "刹车", "(",
)  # fmt: skip
_TRADE = st.sampled_from(_WORDS)
_QUESTIONS = st.builds(
    Question,
    text=st.one_of(st.text(max_size=60), st.lists(_TRADE, max_size=12).map(" ".join)),
    system=st.sampled_from([None, "brakes_hydraulic"]),
    symptoms=st.lists(st.sampled_from(["sinking pedal", "squeaks"]), max_size=2).map(tuple),
    family=st.sampled_from(["", "Lindle", "Nonesuch"]),
    codes=st.lists(st.sampled_from(["P0171", "nonsense", ""]), max_size=2).map(tuple),
    parts_tried=st.lists(st.sampled_from(["thermostat", "", "?"]), max_size=2).map(tuple),
    evidence=st.lists(
        st.builds(
            Evidence, st.sampled_from(["plug master cylinder", "", "🚗"]), st.sampled_from(["holds", "sinks", ""])
        ),
        max_size=2,
    ).map(tuple),
    narrow=st.lists(st.builds(Narrowing, st.sampled_from(FACETS), st.just(("proved", "Kestrow"))), max_size=1).map(
        tuple
    ),
    typing=st.booleans(),
    limit=st.integers(0, 12),
)


@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(_QUESTIONS)
def test_no_question_fails_and_every_score_adds_up(book: CaseIndex, question: Question) -> None:
    answer = book.ask(question)
    assert len(answer.hits) == min(answer.total, question.limit)
    assert 0 <= answer.full <= answer.total <= book.count
    for hit in answer.hits:
        assert hit.score == pytest.approx(sum(reason.value for reason in hit.reasons), abs=1e-9)
        assert all(reason.name in REASONS and reason.value for reason in hit.reasons)
        for passage in hit.passages:
            assert all(0 <= start < end <= len(passage.text) for start, end in passage.spans)
    scores = [hit.score for hit in answer.hits]
    assert scores == sorted(scores, reverse=True)
    states = {hit.state for hit in answer.hits}
    if states & {"proved", "repaired", "open"}:
        assert answer.hits[0].state not in ("came_back", "withdrawn")
    assert all(sum(one.count for one in answer.facets[field]) <= answer.total for field in ("system", "state", "make"))


def test_five_thousand_characters_of_anything(book: CaseIndex) -> None:
    for text in (
        "🚗" * 5000,
        "x" * 5000,
        "pedal " * 900,
        "a b " * 1250,
        "\u202eledap " * 700,
        "-- ;; !! " * 600,
        "abcdefgh" * 20 + " q" * 2000,
    ):
        assert book.ask(Question(text=text)).total >= 0


def test_reasons_and_facets_are_labelled() -> None:
    for name in REASONS:
        assert reason_label(name) != name
    for field in FACETS:
        assert facet_label(field) != field
    assert reason_label("nosuch") == facet_label("nosuch") == "nosuch"


def test_details_are_worded(book: CaseIndex) -> None:
    hit = book.ask(Question(text="marrick pedal")).hits[0]
    details = {reason.name: reason_detail(reason) for reason in hit.reasons}
    assert details["vehicle"] == "same family: Marrick"
    assert details["words"] == "pedal"


def test_an_ambiguous_term_is_told_until_the_shop_says_what_it_means(tmp_path: Path) -> None:
    with index_of(tmp_path / "i", [case(1, "stability control lamp on"), case(2, "horn dead")]) as index:
        assert index.ask(Question(text="ESC lamp")).ambiguous == ("esc",)
        index.use_terms([("esc", "stability control"), ("tooter", "horn")])
        answer = index.ask(Question(text="ESC lamp"))
        assert answer.ambiguous == ()
        assert numbers(answer)[:1] == [1]
        assert asked(index, "tooter")[:1] == [2]
        index.use_terms([])
        assert asked(index, "tooter") == []


def test_a_name_new_to_the_book_does_not_have_to_be_met(tmp_path: Path) -> None:
    with index_of(tmp_path / "i", [case(1, "horn dead in the rain"), case(2, "wipers stop")]) as index:
        named = index.ask(Question(text="horn dead Zephyrine"))
        assert (numbers(named)[0], named.full) == (1, 1)
