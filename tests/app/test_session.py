import time
from collections.abc import Callable
from pathlib import Path

import pytest

from kbapp.app.jot import Jot
from kbapp.app.places import places
from kbapp.app.session import Session, restore_book
from kbapp.errors import InputError, KbError
from kbapp.lookup.question import Evidence, Narrowing, Question
from tests.practice import OpenSession


def _wait(condition: Callable[[], bool], seconds: float = 30.0) -> None:
    deadline = time.monotonic() + seconds
    while not condition():
        assert time.monotonic() < deadline, "nothing happened in time"
        time.sleep(0.02)


def _numbers(session: Session, text: str) -> list[str]:
    return [hit.number for hit in session.look(Question(text=text)).hits]


def test_the_own_book_is_made_at_first_use_and_a_jot_is_found_at_once(open_session: OpenSession) -> None:
    session = open_session(str(places().own_book))
    assert session.count() == 0
    saved = session.jot(Jot("whines when reversing", "Lindle 2018", "belt", "", ""))
    number = session.case(saved.cases[0]).case.number
    assert number
    _wait(lambda: session.index_state().ready)
    assert _numbers(session, "whines") == [number]
    second = session.jot(Jot("whines when cold too"))
    assert session.case(second.cases[0]).case.number in _numbers(session, "whines")


def test_the_practice_book_answers_with_reasons_that_add_up(practice: Path, open_session: OpenSession) -> None:
    session = open_session("practice", follow=False)
    assert session.info.practice
    answer = session.look(
        Question(
            text="gets hot in traffic", family="Drovane", parts_tried=("thermostat",),
            evidence=(Evidence("temperature across the radiator", "outlet cold"),),
        )
    )  # fmt: skip
    assert not answer.by_text_only
    assert answer.hits[0].number == "2025-0067"
    for hit in answer.hits:
        assert hit.score == pytest.approx(sum(reason.value for reason in hit.reasons))
    assert sum(item.count for item in answer.facets["state"]) == answer.total


def test_narrowing_keeps_only_what_was_chosen(practice: Path, open_session: OpenSession) -> None:
    session = open_session("practice", follow=False)
    answer = session.look(Question(text="", narrow=(Narrowing("make", ("Ombrane",)),), limit=100))
    assert answer.total == len(answer.hits) > 3
    assert {item.value for item in answer.facets["make"] if item.count} >= {"Ombrane"}
    assert all(session.case(hit.id).case.vehicle.make == "Ombrane" for hit in answer.hits)  # type: ignore[union-attr]


def test_without_an_index_the_database_answers_and_says_so(practice: Path, open_session: OpenSession) -> None:
    import shutil

    shutil.rmtree(places().cache)
    session = open_session("practice", follow=False)
    answer = session.look(Question(text="thermostat"))
    assert answer.by_text_only
    assert answer.hits
    session.prepare_index()
    assert not session.look(Question(text="thermostat")).by_text_only


def test_a_damaged_index_is_rebuilt_in_a_process_of_its_own(practice: Path, open_session: OpenSession) -> None:
    sound = open_session("practice", follow=False).look(Question(text="gets hot in traffic"))
    for path in places().cache.rglob("*"):
        if path.is_file() and path.name != "stamp.json":
            path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    session = open_session("practice")
    assert session.look(Question(text="thermostat")).hits
    _wait(lambda: session.index_state().ready)
    answer = session.look(Question(text="gets hot in traffic"))
    assert not answer.by_text_only
    assert answer.hits == sound.hits


def test_two_sessions_on_one_book_see_each_others_cases(practice: Path, open_session: OpenSession) -> None:
    one, two = open_session("practice"), open_session("practice")
    assert two.follow() is None
    saved = one.jot(Jot("zzyzx rattle behind the dash"))
    assert _numbers(one, "zzyzx") == [one.case(saved.cases[0]).case.number]
    changed = two.follow()
    assert changed is not None
    assert changed.cases == saved.cases
    assert _numbers(two, "zzyzx") == _numbers(one, "zzyzx")


def test_a_stale_save_that_clashes_is_refused_and_one_that_adds_is_merged(
    practice: Path, open_session: OpenSession
) -> None:
    session = open_session("practice", follow=False)
    view = session.case("2025-0067")
    session.save(view.case.model_copy(update={"lesson": "mine"}), view.revision)
    merged = session.save(view.case.model_copy(update={"notes": view.case.notes + "\nmore"}), view.revision)
    assert merged.merged
    assert session.case("2025-0067").case.lesson == "mine"
    with pytest.raises(KbError) as refused:
        session.save(view.case.model_copy(update={"lesson": "yours"}), view.revision)
    assert refused.value.code == "stale_save"
    assert session.case("2025-0067").case.lesson == "mine"


def test_backup_and_restore_keep_everything(practice: Path, open_session: OpenSession, tmp_path: Path) -> None:
    session = open_session("practice", follow=False)
    session.backup(tmp_path / "out.zip")
    assert restore_book(tmp_path / "out.zip", str(tmp_path / "again")) == session.count()
    other = open_session(str(tmp_path / "again"), follow=False)
    assert other.info.incarnation != session.info.incarnation
    assert other.case("2025-0067").case == session.case("2025-0067").case
    assert other.check() == ()


def test_a_question_is_stopped_when_nobody_waits_for_it(practice: Path, open_session: OpenSession) -> None:
    session = open_session("practice", follow=False)
    with pytest.raises(KbError) as stopped:
        session.look(Question(text="hot"), lambda: True)
    assert stopped.value.code == "cancelled"


@pytest.mark.parametrize("location", ["/proc/nowhere/book", "postgresql://nobody@127.0.0.1:1/none"])
def test_a_book_that_is_not_there_is_said(location: str) -> None:
    with pytest.raises(KbError):
        Session.open(location)


def test_an_unknown_case_is_said(practice: Path, open_session: OpenSession) -> None:
    with pytest.raises(InputError) as refused:
        open_session("practice", follow=False).case("1999-9999")
    assert refused.value.code == "case_unknown"
