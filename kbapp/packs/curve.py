"""Judges public keys as points of the curve: only points of the large subgroup are keys anybody made.

A point of low order verifies signatures nobody made (the neutral element, 01 00 … 00, all of them), and an encoding
that is not canonical gives one point two names. Arithmetic as in RFC 8032, section 5.1; it handles public values only,
so it need not run in constant time.
"""

from typing import Final

P: Final = 2**255 - 19
ORDER: Final = 2**252 + 27742317777372353535851937790883648493
_D: Final = -121665 * pow(121666, -1, P) % P
_ROOT: Final = pow(2, (P - 1) // 4, P)

Point = tuple[int, int, int, int]
_NEUTRAL: Final[Point] = (0, 1, 1, 0)


def is_sound_key(encoded: bytes) -> bool:
    """Returns whether 32 bytes are the one encoding of a point of prime order."""
    point = _decoded(encoded)
    return point is not None and not _is_neutral(point) and _is_neutral(_times(ORDER, point))


def _decoded(encoded: bytes) -> Point | None:
    if len(encoded) != 32:
        return None
    number = int.from_bytes(encoded, "little")
    sign, y = number >> 255, number & ((1 << 255) - 1)
    if y >= P:
        return None
    x = _root_x(y)
    if x is None or (x == 0 and sign):
        return None
    x = P - x if x & 1 != sign else x
    return x, y, 1, x * y % P


def _root_x(y: int) -> int | None:
    square = (y * y - 1) * pow(_D * y * y + 1, -1, P) % P
    x = pow(square, (P + 3) // 8, P)
    if (x * x - square) % P:
        x = x * _ROOT % P
    return None if (x * x - square) % P else x


def _is_neutral(point: Point) -> bool:
    x, y, z, _ = point
    return x % P == 0 and (y - z) % P == 0


def _sum(one: Point, other: Point) -> Point:
    a = (one[1] - one[0]) * (other[1] - other[0]) % P
    b = (one[1] + one[0]) * (other[1] + other[0]) % P
    c = 2 * one[3] * other[3] * _D % P
    d = 2 * one[2] * other[2] % P
    e, f, g, h = b - a, d - c, d + c, b + a
    return e * f % P, g * h % P, f * g % P, e * h % P


def _times(factor: int, point: Point) -> Point:
    out = _NEUTRAL
    while factor:
        if factor & 1:
            out = _sum(out, point)
        point = _sum(point, point)
        factor >>= 1
    return out
