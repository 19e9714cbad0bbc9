from kbapp.isolation.economics import Economics
from kbapp.isolation.model import build
from kbapp.isolation.picture import picture, ranking
from tests.isolation.examples import fitted, look, make_case, make_map, points, ran, section

MAP = make_map(
    [section("a"), section("b")],
    [points("t", "a", rig="r", setup_minutes=5), points("u", "b", rig="r", setup_minutes=5)],
)


def test_a_picture_names_what_it_stands_on() -> None:
    found = look(MAP, ran("t"), ran("u", status="unclear"), ran("t"))
    assert found.evidence_key() == ("e1", "e3")
    assert found.state("a") == "leading"
    assert found.share("a") == max(found.shares)


def test_a_standing_rig_saves_the_next_set_up() -> None:
    case, model = make_case(ran("t")), build(MAP)
    assert ranking(picture(case, model), case, Economics()).tests[0].way.minutes == 10


def test_an_earlier_moment_is_another_picture() -> None:
    case, model = make_case(ran("t"), fitted("x", "a")), build(MAP)
    assert picture(case, model, 1).evidence_key() == ("e1",)
    assert picture(case, model).evidence_key() == ("e1", "e2")
