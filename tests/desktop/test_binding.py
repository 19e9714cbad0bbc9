"""The binding itself: calls that return nothing must not eat references to None.

PySide6 6.12.0 on Python 3.11 lost one reference to None at every such call and ended, after some painting, in an
abort (``none_dealloc``) [L]. From Python 3.12 on None is immortal and its count says nothing; the calls are made all
the same.
"""

import sys

from PySide6.QtCore import QObject, QPoint, QRect, QRectF
from PySide6.QtGui import QColor, QImage, QPainter

CALLS = 2_000


def test_calls_that_return_nothing_keep_none_alive() -> None:
    image = QImage(32, 32, QImage.Format.Format_ARGB32)
    painter = QPainter(image)
    colour, rect, whole, point, thing = (
        QColor("#123456"),
        QRectF(0, 0, 9, 9),
        QRect(0, 0, 4, 4),
        QPoint(1, 1),
        QObject(),
    )
    before = sys.getrefcount(None)
    for _turn in range(CALLS):
        painter.setPen(colour)
        painter.fillRect(rect, colour)
        painter.save()
        painter.restore()
        whole.moveTo(point)
        thing.setObjectName("x")
    after = sys.getrefcount(None)
    painter.end()
    # six calls a turn: a lost reference at each would be 12,000; other threads may move the count a little
    assert abs(after - before) < CALLS / 10
