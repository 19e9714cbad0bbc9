"""The queue: a line a case, with what it lacks."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QRectF

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.paint.stamp import Edge, Stamp, draw_stamp, stamp_width
from kbapp.desktop.theme.tokens import Role
from kbapp.desktop.widgets.lines import LineDelegate
from kbapp.i18n import _
from kbapp.wording.case_words import vehicle_words
from kbapp.wording.proof_words import GROUP_WORDS, lack_words

if TYPE_CHECKING:
    from kbapp.app.lead_check import QueueRow

_STAMPS: Final[dict[str, tuple[Role, Edge, str]]] = {
    "waiting": ("accent", "single", "clock"),
    "sent_back": ("caution", "single", "back"),
    "not_proved": ("ink3", "dashed", "x"),
    "elsewhere": ("good", "single", "seal"),
}


@dataclass(frozen=True, slots=True)
class QueueLine:
    """A case of the queue: concern, facts, what it lacks, mark."""

    case_id: str
    revision: int
    concern: str
    facts: str
    lacks: str
    ready: bool
    stamp: Stamp

    def spoken(self) -> str:
        """Returns the line as it is read aloud."""
        return ". ".join(filter(None, (self.concern, self.stamp.word, self.facts, self.lacks)))


def queue_line(row: "QueueRow") -> QueueLine:
    """Returns the line of a case that waits."""
    case = row.view.case
    role, edge, icon = _STAMPS[row.group]
    ready = not row.lacks and row.group == "waiting"
    said = _("Ready to sign") if ready else "; ".join(lack_words(lack) for lack in row.lacks)
    if row.group == "sent_back" and case.sign_off is not None:
        said = _("Sent back: {words}").format(words=" ".join(case.sign_off.note.split()))
    if row.group == "elsewhere":
        said = _("Signed by another shop: {name}").format(name=case.shop.name if case.shop else "?")
    return QueueLine(
        case.id, row.view.revision, " ".join(case.concern.text.split()),
        " · ".join(filter(None, (case.number, vehicle_words(case.vehicle)))), said, ready,
        Stamp(_(GROUP_WORDS[row.group]), role, edge, icon),
    )  # fmt: skip


class QueueDelegate(LineDelegate[QueueLine]):
    """Writes a case of the queue on three lines."""

    lines = 3
    margin = False

    def height(self, row: QueueLine) -> int:
        """Returns three pitches and a little air."""
        return self.theme.look.pitches(3) + 6

    def line(self, ink: Ink, row: QueueLine, rect: QRectF) -> None:
        """Writes a row."""
        look, pitch, pad = ink.look, ink.look.metrics.pitch, ink.look.metrics.pad
        left, right, top = rect.left() + pad + 4, rect.right() - pad - 4, rect.top() + 3
        draw_stamp(ink, right, top + pitch * 0.6, row.stamp, right=True)
        room = right - left - stamp_width(look, row.stamp) - 14
        ink.text(left, top, row.concern, look.font("body", 600), height=pitch, room=room)
        ink.text(left, top + pitch, row.facts, look.font("small", figures=True), "ink2", height=pitch * 0.95,
                 room=right - left)  # fmt: skip
        side = look.metrics.icon * 0.8
        icon, role = ("tick", "good") if row.ready else ("guard", "caution")
        if row.lacks:
            ink.icon(left, top + pitch * 2.5, icon, role, side)  # type: ignore[arg-type]
            ink.text(left + side + 6, top + pitch * 2, row.lacks, look.font("small", 500), height=pitch * 0.95,
                     room=right - left - side - 6)  # fmt: skip
