"""What is drawn of a sheet: points with their intervals, bars, steps. Plain numbers, made from the ledger itself."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from kbapp.i18n import _
from kbapp.isolation.honesty import Honesty
from kbapp.isolation.intervals import Interval
from kbapp.ledger.report import Ledger
from kbapp.wording.ledger_cells import month_words

Mark = Literal["circle", "square"]


@dataclass(frozen=True, slots=True)
class Point:
    """A point at ``x``, with the interval around it."""

    x: float
    y: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Series:
    """Points of one kind, told apart by mark, line and word as well as by colour."""

    name: str
    mark: Mark
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Chart:
    """A chart.

    ``ticks`` name places of the x axis, of which as many are written as have room; ``percent``: y is a share;
    ``diagonal``: a line from 0 to 1 shows where all would be well.
    """

    title: str
    x_name: str
    y_name: str
    series: tuple[Series, ...]
    ticks: tuple[tuple[float, str], ...] = ()
    percent: bool = False
    kind: Literal["points", "bars", "steps"] = "points"
    diagonal: bool = False

    @property
    def empty(self) -> bool:
        """Whether there is nothing to draw."""
        return not any(series.points for series in self.series)

    def summary(self) -> str:
        """Returns what a screen reader hears: the title and how much is drawn; the figures stand in the table."""
        n = sum(len(series.points) for series in self.series)
        return _("{title}. {n} points; the same figures stand in the table.").format(title=self.title, n=n)


def _point(x: float, share: Interval) -> Point:
    return Point(x, share.successes / share.of, share.low, share.high)


def _month_ticks(months: Sequence[str]) -> tuple[tuple[float, str], ...]:
    return tuple((float(n), month_words(month)) for n, month in enumerate(months))


def months_chart(found: Ledger) -> Chart:
    """Returns the share of vehicles with a swap before isolation, a month a point."""
    dated = [line for line in found.months if line.month]
    own = tuple(_point(n, line.own) for n, line in enumerate(dated) if line.own.of)
    reported = tuple(_point(n, line.reported) for n, line in enumerate(dated) if line.reported.of)
    return Chart(
        _("Swaps before isolation, by month"), _("Month"), _("Vehicles, share"),
        (Series(_("By this shop"), "circle", own), Series(_("Reported of others"), "square", reported)),
        _month_ticks([line.month for line in dated]), percent=True,
    )  # fmt: skip


def vain_chart(found: Ledger) -> Chart:
    """Returns what parts fitted in vain cost, a month a bar, in the currency that stands in most months."""
    dated = [line for line in found.months if line.month]
    counted: dict[str, int] = {}
    for line in dated:
        for amount in line.in_vain:
            counted[amount.currency] = counted.get(amount.currency, 0) + 1
    currency = min(counted, key=lambda name: (-counted[name], name), default="")
    points = tuple(
        Point(n, amount.value, amount.value, amount.value)
        for n, line in enumerate(dated)
        for amount in line.in_vain
        if amount.currency == currency
    )
    name = _("In vain, {currency}").format(currency=currency) if currency else _("In vain")
    return Chart(
        _("Cost of parts fitted in vain, by month"), _("Month"), name, (Series(name, "square", points),),
        _month_ticks([line.month for line in dated]), kind="bars",
    )  # fmt: skip


def comebacks_chart(found: Ledger) -> Chart:
    """Returns after how many days repairs came back, counted up."""
    days = [line.days for line in found.comebacks.cases if line.days is not None]
    points = tuple(Point(day, n, n, n) for n, day in enumerate(days, 1))
    return Chart(
        _("Comebacks by days since the repair"), _("Days since the repair"), _("Comebacks, counted up"),
        (Series(_("Comebacks"), "circle", points),), kind="steps",
    )  # fmt: skip


def honesty_chart(found: Honesty) -> Chart:
    """Returns shares given against how often they came true."""
    bins = found.calibration.bins if found.calibration is not None else ()
    points = tuple(_point(line.mean, line.came_true) for line in bins)
    return Chart(
        _("Shares given and what came true"), _("Share given"), _("Was the cause"),
        (Series(_("Sections, by share given"), "circle", points),), percent=True, diagonal=True,
    )  # fmt: skip
