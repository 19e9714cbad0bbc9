import pytest

from kbapp.errors import InputError
from kbapp.packs.limits import Limits
from kbapp.packs.spool import Spool


def test_files_come_back_sorted_and_each_once() -> None:
    with Spool() as spool:
        for path, data in (("data/b", b"two"), ("data/a", b"one"), ("data/b", b"two")):
            spool.add(path, data)
        assert list(spool.files()) == [("data/a", b"one"), ("data/b", b"two")]
        assert spool.size == 6


@pytest.mark.parametrize("limits", [Limits(file=2), Limits(packed=5_000), Limits(unpacked=5_000), Limits(entries=8)])
def test_what_no_reader_would_take_is_not_begun(limits: Limits) -> None:
    def fill(spool: Spool) -> None:
        for n in range(3):
            spool.add(f"data/{n}", b"x" * (n + 1))

    with Spool(limits) as spool, pytest.raises(InputError, match="pack_over_limit"):
        fill(spool)
