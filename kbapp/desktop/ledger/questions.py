"""The questions of the ledger in the order of its list."""

from collections.abc import Callable
from typing import Final

from kbapp.desktop.ledger.chart_data import Chart, comebacks_chart, months_chart, vain_chart
from kbapp.desktop.widgets.title_lines import TitleLine
from kbapp.i18n import N_, _
from kbapp.ledger.report import Ledger

RETRACE, LESSON, CALIBRATION, LEARNED = "retrace", "lesson", "calibration", "learned"

CHARTS: Final[dict[str, Callable[[Ledger], Chart]]] = {
    "months": months_chart, "vain": vain_chart, "comebacks": comebacks_chart,
}  # fmt: skip
_LIST: Final = (
    ("months", N_("Swaps before isolation"), N_("over time"), "clock"),
    ("vain", N_("Cost in vain"), N_("by month"), "ledger"),
    ("parts", N_("Parts"), N_("cured, unchanged, cost"), "part"),
    ("to_isolation", N_("To isolation"), N_("minutes and money"), "split"),
    ("tests", N_("Tests"), N_("that split best"), "test"),
    ("comebacks", N_("Comebacks"), N_("and how soon"), "back"),
    ("guard", N_("Swap guard"), N_("what it said, what came"), "guard"),
    (CALIBRATION, N_("Can it be believed?"), N_("shares and what came true"), "finding"),
    (LEARNED, N_("Learned figures"), N_("priors from your cases"), "seal"),
    ("lacking", N_("What cases lack"), N_("retest, section, split"), "state_untested"),
    ("maps", N_("Maps"), N_("used and never used"), "map"),
    (RETRACE, N_("Retrace a case"), N_("done beside advised"), "undo"),
    (LESSON, N_("Hide the answer"), N_("play a proved case"), "concern"),
)  # fmt: skip


def question_lines() -> list[TitleLine]:
    """Returns the list of questions."""
    return [TitleLine(key, _(title), _(remark), icon) for key, title, remark, icon in _LIST]
