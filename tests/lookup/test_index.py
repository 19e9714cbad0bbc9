"""Building, opening, following and losing the index."""

import json
import os
import shutil
import stat
from collections.abc import Callable
from pathlib import Path

import pytest
from whoosh.writing import SegmentWriter

from kbapp.errors import Cancelled, DamageError, EnvironmentFault
from kbapp.lookup import stamp, writer
from kbapp.lookup.index import CaseIndex
from kbapp.lookup.question import Question
from kbapp.lookup.source import SourceCase
from tests.bench.generate import generated_cases
from tests.lookup.books import INCARNATION, MemorySource, asked, case, index_of


def _folder(home: Path) -> Path:
    return home / stamp.read(home).folder


def _code(home: Path, incarnation: str = INCARNATION) -> str:
    with pytest.raises(DamageError) as caught:
        CaseIndex.open(home, incarnation).close()
    return caught.value.code


def test_an_index_that_is_not_there(tmp_path: Path) -> None:
    assert _code(tmp_path / "nowhere") == "index_missing"


def test_an_index_of_another_book_or_life(tmp_path: Path) -> None:
    CaseIndex.build(tmp_path, MemorySource([case(1, "pedal sinks")]))
    assert _code(tmp_path, "after a restore") == "index_of_other_book"


def test_an_index_of_another_version(tmp_path: Path) -> None:
    CaseIndex.build(tmp_path, MemorySource([case(1, "pedal sinks")]))
    plain = json.loads((tmp_path / stamp.NAME).read_text("utf-8"))
    (tmp_path / stamp.NAME).write_text(json.dumps(plain | {"version": plain["version"] + 1}), "utf-8")
    assert _code(tmp_path) == "index_outdated"


def test_an_empty_book(tmp_path: Path) -> None:
    with index_of(tmp_path, []) as index:
        assert (index.count, index.change) == (0, 0)
        answer = index.ask(Question(text="pedal"))
        assert (answer.total, answer.hits) == (0, ())
        index.apply([SourceCase(1, case(1, "x").id, case(1, "pedal sinks"), True)])
        assert asked(index, "pedal") == [1]


def test_the_folder_is_for_the_user_alone(tmp_path: Path) -> None:
    home = tmp_path / "cache" / "index"
    CaseIndex.build(home, MemorySource([case(1, "pedal sinks")]))
    assert stat.S_IMODE(home.stat().st_mode) == 0o700
    assert stat.S_IMODE(_folder(home).stat().st_mode) == 0o700


def _cut(path: Path) -> None:
    os.truncate(path, path.stat().st_size // 2)


def _garble(path: Path) -> None:
    data = bytearray(path.read_bytes())
    middle = len(data) // 2
    data[middle : middle + 16] = bytes(byte ^ 0xFF for byte in data[middle : middle + 16])
    path.write_bytes(data)


@pytest.mark.parametrize("suffix", [".seg", ".toc"])
@pytest.mark.parametrize("harm", [_cut, _garble, Path.unlink])
def test_any_damage_is_one_error(tmp_path: Path, suffix: str, harm: Callable[[Path], None]) -> None:
    CaseIndex.build(tmp_path, MemorySource(generated_cases(30, seed=2)))
    victim = next(path for path in _folder(tmp_path).iterdir() if path.suffix == suffix)
    harm(victim)
    assert _code(tmp_path) == "index_damaged"


@pytest.mark.parametrize(
    "text", ["", "{", "[]", "null", '{"version": 1}', "\x00\x01", '{"version": "x", "states": {}}']
)
def test_a_damaged_stamp(tmp_path: Path, text: str) -> None:
    CaseIndex.build(tmp_path, MemorySource([case(1, "pedal sinks")]))
    (tmp_path / stamp.NAME).write_text(text, "utf-8")
    assert _code(tmp_path) == "index_damaged"


def test_a_stamp_cannot_point_elsewhere(tmp_path: Path) -> None:
    CaseIndex.build(tmp_path, MemorySource([case(1, "pedal sinks")]))
    plain = json.loads((tmp_path / stamp.NAME).read_text("utf-8"))
    (tmp_path / stamp.NAME).write_text(json.dumps(plain | {"folder": "../elsewhere"}), "utf-8")
    assert _code(tmp_path) == "index_damaged"


def test_a_folder_that_vanished(tmp_path: Path) -> None:
    CaseIndex.build(tmp_path, MemorySource([case(1, "pedal sinks")]))
    shutil.rmtree(_folder(tmp_path))
    assert _code(tmp_path) == "index_damaged"


def test_a_wrong_count_is_damage(tmp_path: Path) -> None:
    CaseIndex.build(tmp_path, MemorySource([case(1, "pedal sinks"), case(2, "pedal low")]))
    plain = json.loads((tmp_path / stamp.NAME).read_text("utf-8"))
    for state in plain["states"].values():
        state["count"] = 3
    (tmp_path / stamp.NAME).write_text(json.dumps(plain), "utf-8")
    assert _code(tmp_path) == "index_damaged"


def test_following_changes(tmp_path: Path) -> None:
    source = MemorySource([case(1, "pedal sinks"), case(2, "low pedal")])
    CaseIndex.build(tmp_path, source)
    index = CaseIndex.open(tmp_path, INCARNATION)
    assert index.change == 2
    index.apply([source.save(case(1, "steering knock")), source.save(case(3, "spongy pedal"))])
    assert (index.change, index.count) == (4, 3)
    assert sorted(asked(index, "pedal")) == [2, 3]
    assert asked(index, "knock") == [1]
    index.apply([source.remove(case(2, "x").id)])
    assert (index.count, asked(index, "pedal")) == (2, [3])
    index.apply([])
    index.close()
    again = CaseIndex.open(tmp_path, INCARNATION)
    assert (again.change, again.count, asked(again, "pedal")) == (5, 2, [3])
    again.close()


def test_a_case_changed_twice_in_one_batch_counts_once(tmp_path: Path) -> None:
    with index_of(tmp_path, [case(1, "pedal sinks")]) as index:
        one = case(2, "low pedal").id
        index.apply(
            [
                SourceCase(2, one, case(2, "low pedal")),
                SourceCase(3, one, case(2, "hard pedal")),
                SourceCase(4, one, None),
            ]
        )
        assert (index.count, index.change) == (1, 4)


def test_changes_already_taken_in_are_left_alone(tmp_path: Path) -> None:
    source = MemorySource([case(1, "pedal sinks"), case(2, "low pedal")])
    CaseIndex.build(tmp_path, source)
    index = CaseIndex.open(tmp_path, INCARNATION)
    index.apply(source.changed_since(0, 10))
    assert (index.change, index.count, index.view.size) == (2, 2, 2)
    index.close()


def test_many_saves_merge_into_few_segments(tmp_path: Path) -> None:
    source = MemorySource([case(1, "pedal sinks")])
    CaseIndex.build(tmp_path, source)
    index = CaseIndex.open(tmp_path, INCARNATION)
    for number in range(2, 42):
        index.apply([source.save(case(number, f"low pedal number {number}"))])
        index.tidy()
        assert len(index.view.parts) <= writer.MOST_SEGMENTS
    assert index.count == 41
    assert not index.worn
    assert asked(index, "number 17", limit=1) == [17]
    index.close()


def test_applying_equals_building_anew(tmp_path: Path) -> None:
    cases = list(generated_cases(120, seed=5))
    source = MemorySource(cases[:60])
    CaseIndex.build(tmp_path / "followed", source)
    followed = CaseIndex.open(tmp_path / "followed", INCARNATION)
    for at in range(60, 120, 5):
        followed.apply([source.save(one) for one in cases[at : at + 5]] + [source.save(cases[at - 60])])
    followed.apply([source.remove(one.id) for one in cases[7:12]])
    CaseIndex.build(tmp_path / "built", source)
    built = CaseIndex.open(tmp_path / "built", INCARNATION)
    assert (followed.count, followed.change) == (built.count, built.change) == (115, source.last_change())
    for text in (
        "pedal",
        "low pressure",
        "noise when cold",
        "leak",
        "battery voltage",
        "the sensor reads wrong at idle",
    ):
        one, other = followed.ask(Question(text=text, limit=200)), built.ask(Question(text=text, limit=200))
        assert one.total == other.total, text
        assert one.facets == other.facets, text
        scores = {hit.id: hit.score for hit in other.hits}
        # deleted documents still count in a followed index's statistics, as they do in Whoosh's own
        assert {hit.id: hit.score for hit in one.hits} == pytest.approx(scores, rel=0.25, abs=0.25), text
    followed.close()
    built.close()


def test_a_new_build_replaces_the_one_in_use(tmp_path: Path) -> None:
    source = MemorySource([case(1, "pedal sinks")])
    CaseIndex.build(tmp_path, source)
    old = CaseIndex.open(tmp_path, INCARNATION)
    CaseIndex.build(tmp_path, source)
    with pytest.raises(DamageError) as caught:
        old.apply([source.save(case(2, "low pedal"))])
    assert caught.value.code in ("index_outdated", "index_damaged")
    old.close()
    assert [path.name for path in tmp_path.glob("index-*")] == [_folder(tmp_path).name]


def test_a_stopped_build_leaves_the_index_in_use(tmp_path: Path) -> None:
    CaseIndex.build(tmp_path, MemorySource([case(1, "pedal sinks")]))
    before = _folder(tmp_path)
    seen: list[int] = []
    with pytest.raises(Cancelled):
        CaseIndex.build(
            tmp_path,
            MemorySource(generated_cases(120, seed=1)),
            lambda done, _of: seen.append(done),
            lambda: len(seen) > 1,
        )
    assert seen == [50, 100]
    assert list(tmp_path.glob("index-*")) == [before]
    CaseIndex.open(tmp_path, INCARNATION).close()


class _Revisions(MemorySource):
    """A feed that gives every revision, not only the latest."""

    def __init__(self) -> None:
        super().__init__()
        self.log: list[SourceCase] = []

    def _keep(self, change: SourceCase) -> SourceCase:
        self.log.append(change)
        return super()._keep(change)

    def changed_since(self, change: int, limit: int) -> list[SourceCase]:
        return [one for one in self.log if one.change > change][:limit]


def test_building_from_a_feed_that_repeats_cases(tmp_path: Path) -> None:
    source = _Revisions()
    source.save(case(1, "pedal sinks"))
    source.save(case(2, "low pedal"))
    source.save(case(1, "steering knock"))
    source.remove(case(2, "x").id)
    CaseIndex.build(tmp_path, source)
    index = CaseIndex.open(tmp_path, INCARNATION)
    assert (index.count, index.change) == (1, 4)
    assert (asked(index, "knock"), asked(index, "pedal")) == ([1], [])
    index.close()


def test_one_writer_at_a_time(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(writer, "PATIENCE", 0.05)
    with index_of(tmp_path, [case(1, "pedal sinks")]) as index:
        change = SourceCase(2, case(2, "x").id, case(2, "low pedal"))
        with writer.writing(_folder(tmp_path)):
            with pytest.raises(EnvironmentFault) as caught:
                index.apply([change])
            assert caught.value.code == "index_busy"
        index.apply([change])
        assert sorted(asked(index, "pedal")) == [1, 2]


def test_two_processes_on_one_index_pick_up_each_others_commits(tmp_path: Path) -> None:
    source = MemorySource([case(1, "pedal sinks")])
    CaseIndex.build(tmp_path, source)
    one, other = CaseIndex.open(tmp_path, INCARNATION), CaseIndex.open(tmp_path, INCARNATION)
    first, second = source.save(case(2, "low pedal")), source.save(case(3, "hard pedal"))
    one.apply([first])
    other.apply([first, second])
    assert (other.change, other.count, sorted(asked(other, "pedal"))) == (3, 3, [1, 2, 3])
    one.apply([first, second])
    assert (one.change, one.count, sorted(asked(one, "pedal"))) == (3, 3, [1, 2, 3])
    one.close()
    other.close()


@pytest.mark.parametrize("moment", ["before the commit", "after the commit"])
def test_dying_in_the_middle_of_a_commit(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, moment: str) -> None:
    source = MemorySource([case(1, "pedal sinks")])
    CaseIndex.build(tmp_path, source)
    index = CaseIndex.open(tmp_path, INCARNATION)
    real = SegmentWriter.commit

    def dying(self: SegmentWriter, *args: object, **kwargs: object) -> None:
        if moment == "after the commit":
            real(self, *args, **kwargs)
        raise KeyboardInterrupt

    monkeypatch.setattr(SegmentWriter, "commit", dying)
    with pytest.raises(KeyboardInterrupt):
        index.apply([source.save(case(2, "low pedal"))])
    monkeypatch.undo()
    index.close()
    again = CaseIndex.open(tmp_path, INCARNATION)
    assert again.change in (1, 2)
    again.apply(source.changed_since(again.change, 10))
    assert (again.change, again.count, sorted(asked(again, "pedal"))) == (2, 2, [1, 2])
    again.close()


def test_following_into_a_folder_that_vanished(tmp_path: Path) -> None:
    with index_of(tmp_path, generated_cases(40, seed=3)) as index:
        shutil.rmtree(_folder(tmp_path))
        with pytest.raises(DamageError):
            index.apply([SourceCase(100, case(1, "x").id, case(1, "pedal"))])


def test_closing_twice_is_harmless(tmp_path: Path) -> None:
    CaseIndex.build(tmp_path, MemorySource([case(1, "pedal sinks")]))
    index = CaseIndex.open(tmp_path, INCARNATION)
    index.close()
    index.close()


def test_nobody_has_to_tidy(tmp_path: Path) -> None:
    source = MemorySource([case(1, "pedal sinks")])
    CaseIndex.build(tmp_path, source)
    index = CaseIndex.open(tmp_path, INCARNATION)
    for number in range(2, 40):
        index.apply([source.save(case(number, "low pedal"))])
        assert len(index.view.parts) <= 2 * writer.MOST_SEGMENTS
    assert index.count == 39
    index.close()
