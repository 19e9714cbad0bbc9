"""The list of cases found: four ruled lines each, with the reasons underlined by their part of the score."""

from dataclasses import dataclass
from typing import Final

from PySide6.QtCore import QRectF

from kbapp.desktop.look_first.reasons import reason_short, reason_words
from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.paint.stamp import draw_stamp, stamp_width, state_stamp
from kbapp.desktop.paint.weight import draw_weight
from kbapp.desktop.widgets.lines import LineDelegate
from kbapp.i18n import _
from kbapp.lookup.question import Hit

GAP: Final = 14


@dataclass(frozen=True, slots=True)
class ResultRow:
    """A hit at its place (from 1); ``best`` is the weightiest reason of the whole answer, which scales underlines."""

    place: int
    hit: Hit
    best: float = 1.0


def rows_of(hits: tuple[Hit, ...]) -> tuple[ResultRow, ...]:
    """Returns the rows of an answer."""
    best = max((abs(reason.value) for hit in hits for reason in hit.reasons), default=1.0) or 1.0
    return tuple(ResultRow(place, hit, best) for place, hit in enumerate(hits, 1))


def one_line(text: str) -> str:
    """Returns a text with its line breaks as spaces."""
    return " ".join(text.split())


def speak_result(row: ResultRow) -> str:
    """Returns a row as it is read aloud."""
    hit = row.hit
    why = ", ".join(reason_words(reason) for reason in hit.reasons)
    parts = (
        _("{place}. {concern}").format(place=row.place, concern=one_line(hit.concern)),
        state_stamp(hit.state, signed_here=hit.signed_here).word,
        hit.vehicle,
        _("Cause: {cause}").format(cause=one_line(hit.cause)) if hit.cause else "",
        _("Why: {reasons}").format(reasons=why) if why else "",
    )
    return ". ".join(part for part in parts if part)


class ResultDelegate(LineDelegate[ResultRow]):
    """Writes one case found."""

    def height(self, row: ResultRow) -> int:
        """Returns four pitches and the air for the underlines; three where there is no why."""
        return self.theme.look.pitches(4 if row.hit.reasons else 3) + 4

    def number(self, row: ResultRow) -> str:
        """Returns the place in the list."""
        return str(row.place)

    def line(self, ink: Ink, row: ResultRow, rect: QRectF) -> None:
        """Writes concern, vehicle, cause and why."""
        look, hit = ink.look, row.hit
        pitch, small = look.metrics.pitch, look.font("small", figures=True)
        left, right, top = look.metrics.margin + 14, rect.right() - look.metrics.pad - 4, rect.top() + 3
        mark = state_stamp(hit.state, signed_here=hit.signed_here)
        draw_stamp(ink, right, top + pitch * 0.6, mark, right=True)
        room = right - left - stamp_width(look, mark) - 14
        ink.text(left, top, one_line(hit.concern), look.font("body", 600), height=pitch, room=room)
        facts = " · ".join(filter(None, (hit.number, hit.vehicle)))
        ink.text(left, top + pitch * 0.95, facts, small, "ink2", height=pitch, room=room)
        used = ink.text(left, top + pitch * 1.9, _("Cause"), small, "ink2", height=pitch) + 8
        cause = one_line(hit.cause) or _("not found yet")
        ink.text(left + used, top + pitch * 1.9, cause, look.font("body"), "ink" if hit.cause else "ink3",
                 height=pitch, room=right - left - used)  # fmt: skip
        self._why(ink, row, left, right, top + pitch * 2.92)

    def _why(self, ink: Ink, row: ResultRow, left: float, right: float, top: float) -> None:
        look, pitch = ink.look, ink.look.metrics.pitch
        reasons = sorted(row.hit.reasons, key=lambda reason: (reason.value < 0, -abs(reason.value)))
        if not reasons:
            return
        font = look.font("small", 500)
        x = left + ink.text(left, top, _("Why"), look.font("small"), "ink2", height=pitch) + 8
        tail = ink.width("+9", font) + 8
        for n, reason in enumerate(reasons):
            words = reason_short(reason)
            width = min(ink.width(words, font), (right - x) if n == 0 else (right - left) * 0.5)
            if n == 0 and len(reasons) > 1:
                width = min(width, (right - left) * 0.55)
            if n and x + width > right - (tail if n < len(reasons) - 1 else 0):
                ink.text(x, top, f"+{len(reasons) - n}", font, "ink2", height=pitch)
                return
            against = reason.value < 0
            ink.text(x, top, words, font, "danger" if against else "ink", height=pitch, room=width + 1)
            draw_weight(ink, x, top + pitch - 3, width, reason.value / row.best)
            x += width + GAP
