"""Two operations on postings that decide how fast a question is."""

from typing import Final, TypeVar

import numpy as np
from numpy.typing import NDArray

_FEW: Final = 2000
_RUN: Final = 64
Number = TypeVar("Number", np.float32, np.float64)


def values_at(wanted: NDArray[np.intp], ids: NDArray[np.intp], values: NDArray[Number], size: int) -> NDArray[Number]:
    """Returns the value of each wanted document, 0 where it is not among ``ids``; all ascending and below ``size``.

    A few are looked up by bisection; many are read off an array over all documents, which costs less from about two
    thousand on.
    """
    if not len(ids) or not len(wanted):
        return np.zeros(len(wanted), dtype=values.dtype)
    if len(wanted) > _FEW:
        spread = np.zeros(size, dtype=values.dtype)
        spread[ids] = values
        return spread.take(wanted)
    places = np.searchsorted(ids, wanted)
    places[places == len(ids)] = 0
    found = values.take(places)
    found[ids.take(places) != wanted] = 0
    return found


def contenders(total: NDArray[np.float64], limit: int) -> NDArray[np.intp]:
    """Returns the places of all values that can be among the best ``limit``, ties included, and few others.

    The ``limit`` best of the maxima of short runs are a lower bound; finding them is several times quicker than a
    partition of all values, which is slow where many are equal.
    """
    runs = len(total) // _RUN
    if runs <= limit:
        return np.arange(len(total))
    maxima = total[: runs * _RUN].reshape(runs, _RUN).max(axis=1)
    return np.flatnonzero(total >= np.partition(maxima, runs - limit)[runs - limit])
