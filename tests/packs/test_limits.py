from kbapp.packs.limits import LIMITS, MIB


def test_the_limits_are_the_published_ones() -> None:
    assert (LIMITS.packed, LIMITS.unpacked, LIMITS.file) == (1024 * MIB, 1024 * MIB, 64 * MIB)
    assert (LIMITS.entries, LIMITS.ratio, LIMITS.depth, LIMITS.path) == (20_000, 100, 8, 200)
