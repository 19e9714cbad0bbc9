"""What the screen asks of the session, run on a worker: all words and sheets are made there."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kbapp.desktop.tasks import Control
from kbapp.ledger.question import LedgerQuestion

if TYPE_CHECKING:
    from kbapp.app.ledger import Choices
    from kbapp.app.session import Session
    from kbapp.app.settings import Settings
    from kbapp.app.views import CaseRow
    from kbapp.desktop.ledger.chart_data import Chart
    from kbapp.isolation.lesson import Lesson
    from kbapp.ledger.report import Ledger
    from kbapp.wording.sheet import Sheet


@dataclass(frozen=True, slots=True, eq=False)
class Page:
    """A sheet ready to show, with its chart and what stands behind it."""

    sheet: "Sheet"
    chart: "Chart | None" = None
    basis: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Answer:
    """The ledger's answer: its sheets by name, what can be narrowed by, and what stands behind every figure."""

    found: "Ledger"
    pages: dict[str, Page]
    choices: "Choices"
    basis: str


def ask_ledger(question: LedgerQuestion, settings: "Settings") -> Callable[["Session", Control], Answer]:
    """Returns the work that asks the ledger."""

    def work(session: "Session", control: Control) -> Answer:
        from kbapp.desktop.ledger.questions import CHARTS
        from kbapp.wording.ledger_sheets import ledger_sheets
        from kbapp.wording.ledger_text import basis_words, bias_words, left_out_words

        desk = session.ledger()
        found = desk.ask(question, settings.currency, control.stopped)
        maps = desk.maps(line.map_id for line in found.maps)
        basis = (basis_words(found), left_out_words(found), bias_words())
        pages = {
            sheet.key: Page(sheet, CHARTS[sheet.key](found) if sheet.key in CHARTS else None, basis)
            for sheet in ledger_sheets(found, maps)
        }
        return Answer(found, pages, desk.choices(control.stopped), " ".join(filter(None, basis[:2])))

    return work


def ask_calibration(question: LedgerQuestion) -> Callable[["Session", Control], Page]:
    """Returns the work that judges the shares over the book."""

    def work(session: "Session", control: Control) -> Page:
        from kbapp.desktop.ledger.chart_data import honesty_chart
        from kbapp.wording.ledger_sheets import honesty_sheet

        found = session.ledger().honesty(question.outside, control.stopped)
        return Page(honesty_sheet(found), honesty_chart(found))

    return work


def ask_learned(settings: "Settings") -> Callable[["Session", Control], Page]:
    """Returns the work that shows what proved cases taught."""

    def work(session: "Session", control: Control) -> Page:
        from kbapp.wording.ledger_sheets import learned_sheet

        desk = session.ledger()
        lines = desk.learned(control.stopped)
        maps = desk.maps(line.map_id for line in lines)
        return Page(learned_sheet(lines, maps, switched_on=settings.learned))

    return work


def ask_cases(*, with_map: bool) -> Callable[["Session", Control], "tuple[CaseRow, ...]"]:
    """Returns the work that lists the cases to retrace, or to learn from."""

    def work(session: "Session", control: Control) -> "tuple[CaseRow, ...]":
        return session.ledger().closed_cases(with_map=with_map, stop=control.stopped)

    return work


def ask_retrace(case_id: str, settings: "Settings") -> Callable[["Session", Control], Page]:
    """Returns the work that retraces a case."""

    def work(session: "Session", _control: Control) -> Page:
        from kbapp.wording.retrace_sheets import retrace_sheet

        return Page(retrace_sheet(session.ledger().retrace(case_id, settings), settings.currency))

    return work


def ask_lesson(case_id: str, settings: "Settings") -> Callable[["Session", Control], "Lesson"]:
    """Returns the work that begins a lesson."""

    def work(session: "Session", _control: Control) -> "Lesson":
        return session.ledger().lesson(case_id, settings)

    return work


def compare_lesson(lesson: "Lesson", settings: "Settings") -> Callable[[Control], Page]:
    """Returns the work that lays a lesson beside the record and the advice."""

    def work(_control: Control) -> Page:
        from kbapp.wording.retrace_sheets import lesson_sheet

        return Page(lesson_sheet(lesson, settings.currency))

    return work
