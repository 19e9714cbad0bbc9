"""A case made ready for reading on a worker: Markdown is rendered there, not while the window waits."""

from dataclasses import dataclass

from kbapp.app.views import CaseView
from kbapp.desktop.markdown import safe_html


@dataclass(frozen=True, slots=True)
class Content:
    """A case with its lesson and notes as cleaned HTML (empty where there are none)."""

    view: CaseView
    lesson: str
    notes: str


def content_of(view: CaseView) -> Content:
    """Returns the content of a case; may be called from any thread."""
    case = view.case
    return Content(
        view, safe_html(case.lesson) if case.lesson else "", safe_html(case.notes) if case.notes else ""
    )  # fmt: skip
