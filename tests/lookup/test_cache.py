from kbapp.lookup.cache import ArrayCache


def test_the_least_recently_used_goes_first() -> None:
    cache: ArrayCache[bytes] = ArrayCache(1500, len)
    for key in "abc":
        cache.get(key, lambda: bytes(300))
    assert len(cache) == 3
    cache.get("a", lambda: b"")
    cache.get("d", lambda: bytes(300))
    made: list[str] = []

    def make(key: str) -> bytes:
        made.append(key)
        return bytes(300)

    for key in "adcb":
        cache.get(key, lambda key=key: make(key))  # type: ignore[misc]
    assert made == ["b"]
    assert cache.bytes <= 1500


def test_one_value_larger_than_the_limit_is_still_kept() -> None:
    cache: ArrayCache[bytes] = ArrayCache(100, len)
    assert len(cache.get("big", lambda: bytes(500))) == 500
    assert len(cache) == 1


def test_forgetting() -> None:
    cache: ArrayCache[bytes] = ArrayCache(10_000, len)
    for key in "abc":
        cache.get(key, lambda: bytes(10))
    cache.forget(lambda key: key != "b")
    assert len(cache) == 2
    assert cache.bytes == 2 * 210
