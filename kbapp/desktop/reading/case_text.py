"""A case as plain text, for the clipboard."""

from kbapp.app.views import CaseView
from kbapp.desktop.paint.stamp import state_stamp
from kbapp.desktop.reading.case_head import case_title, head_rows
from kbapp.desktop.reading.timeline import timeline_rows
from kbapp.i18n import _


def case_text(view: CaseView) -> str:
    """Returns head, timeline, lesson and notes as lines of text; no private details, for a case holds none."""
    case = view.case
    lines = [case_title(case), state_stamp(case.state, signed_here=view.signed_here).word]
    lines.extend(f"{row.label}: {row.words}" for row in head_rows(view))
    rows = timeline_rows(case)
    if rows:
        lines.extend(("", _("Timeline")))
    for row in rows:
        mark = f" [{row.stamp.word}]" if row.stamp else ""
        parts = (row.readings, row.details, row.when)
        lines.append(f"{row.number:>3}  {row.title}{mark}")
        lines.extend(f"     {part}" for part in parts if part)
    for label, words in ((_("Lesson"), case.lesson), (_("Notes"), case.notes)):
        if words:
            lines.extend(("", label, words))
    return "\n".join(lines) + "\n"
