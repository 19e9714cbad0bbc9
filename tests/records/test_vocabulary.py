from kbapp.records.vocabulary import CONDITIONS, POSITIONS, SYSTEMS, are_mirror_kin, axle_of, mirror_position, side_of


def test_positions_mirror_both_ways() -> None:
    for position in POSITIONS:
        mirror = mirror_position(position)
        if mirror:
            assert mirror_position(mirror) == position
            assert are_mirror_kin(position, mirror)
            assert axle_of(mirror) == axle_of(position)
            assert side_of(mirror) != side_of(position)
    assert mirror_position("front") is None
    assert not are_mirror_kin("LF", "LR")
    assert not are_mirror_kin("tailgate", "tailgate")


def test_axle_and_side() -> None:
    assert [axle_of(p) for p in POSITIONS] == ["front", "front", "rear", "rear", "front", "rear", None, None]
    assert [side_of(p) for p in POSITIONS] == ["left", "right", "left", "right", None, None, "left", "right"]


def test_terms_stand_once() -> None:
    assert len(set(CONDITIONS)) == len(CONDITIONS)
    assert len(SYSTEMS) == 10
