"""A cache of arrays bounded by their bytes, least recently used first out."""

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import Lock
from typing import Generic, TypeVar

V = TypeVar("V")


class ArrayCache(Generic[V]):
    """Keeps values up to a number of bytes; ``size_of`` tells the bytes of one."""

    def __init__(self, limit: int, size_of: Callable[[V], int]) -> None:
        self._limit = limit
        self._size_of = size_of
        self._kept: OrderedDict[Hashable, V] = OrderedDict()
        self._lock = Lock()
        self.bytes = 0

    def get(self, key: Hashable, make: Callable[[], V]) -> V:
        """Returns the kept value of a key, made first where it is missing."""
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key]
        value = make()
        with self._lock:
            if key not in self._kept:
                self._kept[key] = value
                self.bytes += self._size_of(value) + 200
                while self.bytes > self._limit and len(self._kept) > 1:
                    _, dropped = self._kept.popitem(last=False)
                    self.bytes -= self._size_of(dropped) + 200
        return value

    def forget(self, wanted: Callable[[Hashable], bool]) -> None:
        """Drops the values whose key is no longer wanted."""
        with self._lock:
            for key in [key for key in self._kept if not wanted(key)]:
                self.bytes -= self._size_of(self._kept.pop(key)) + 200

    def __len__(self) -> int:
        return len(self._kept)
