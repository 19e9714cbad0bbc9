"""What Look First shows before anything is asked: the cases recorded last, and counts over the whole book."""

from typing import TYPE_CHECKING

from kbapp.desktop.tasks import Control
from kbapp.lookup.question import Answer, Hit, Question

if TYPE_CHECKING:
    from kbapp.app.session import Session

LAST = 12


def recent_hits(session: "Session", control: Control) -> tuple[tuple[Hit, ...], Answer | None]:
    """Returns the cases recorded last, and an answer to the empty question for its counts (None without an index)."""
    from kbapp.app.text_answer import row_vehicle

    hits = tuple(
        Hit(row.id, row.number, 0.0, (), row.state, row.concern, row_vehicle(row), row.cause, row.signed_here)
        for row in session.list_cases(limit=LAST)
    )
    overview = session.look(Question(limit=1), control.stopped) if hits else None
    return hits, overview
