from kbapp.lookup.evidence import read_result
from kbapp.lookup.result_book import ResultBook


def _book() -> ResultBook:
    book = ResultBook()
    book.add(1, "voltage drop of the ground, assist unit to battery -, at full lock", "big drop", "ground")
    book.add(
        2, "voltage drop of the feed, battery + to the assist unit, at full lock", "little drop", "feed cable and fuse"
    )
    book.add(3, "smoke the intake at low pressure", "no smoke out", "intake leak")
    book.add(
        4, "same stretch at 70, converter clutch commanded off", "shudder stays", "converter clutch against engine"
    )
    return book


def test_the_same_test_in_other_words_is_nearest() -> None:
    nearest = _book().compare(read_result("minus side loss against the stop", "low"))[-1]
    assert nearest.number == 1
    assert nearest.agrees < 0


def test_what_a_test_isolates_is_found_by_what_is_asked() -> None:
    found = _book().compare(read_result("lock-up disabled with the tester", "still shakes"))
    assert found[-1].number == 4
    assert found[-1].agrees > 0.5


def test_a_test_nobody_ran_meets_nothing() -> None:
    assert _book().compare(read_result("tyre tread depth", "fine")) == []


def test_a_rare_word_tells_more_than_a_common_one() -> None:
    book = _book()
    assert book.weigh("smoke") > book.weigh("full lock")
    assert book.knows("ground")
    assert not book.knows("pedal")
