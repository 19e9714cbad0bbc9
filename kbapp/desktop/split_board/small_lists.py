"""The short lists of the board: gaps, what is still on the vehicle, similar cases."""

from PySide6.QtCore import QRectF

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.paint.wrapped import wrap
from kbapp.desktop.split_board.fitted import FittedLines, OpenDelegate
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.lines import LinesModel
from kbapp.desktop.widgets.title_lines import TitleLine
from kbapp.i18n import _
from kbapp.isolation.advice import Advice
from kbapp.isolation.rigs import StillOn
from kbapp.lookup.question import Hit
from kbapp.records.case import Case
from kbapp.wording.advice_text import gap_reason
from kbapp.wording.board import kin_facts
from kbapp.wording.map_names import MapNames, minutes, percent
from kbapp.wording.terms import term


class ShortDelegate(OpenDelegate[TitleLine]):
    """Writes title over remark; both break where they are too long."""

    def _left(self) -> float:
        metrics = self.theme.look.metrics
        return metrics.pad + 2 + metrics.icon + 10

    def _broken(self, row: TitleLine, width: float) -> tuple[tuple[str, ...], tuple[str, ...]]:
        look = self.theme.look
        room = width - self._left() - look.metrics.pad
        title = wrap(look, row.title, look.font("body", 500), room)
        return title, wrap(look, row.remark, look.font("small"), room) if row.remark else ()

    def height(self, row: TitleLine) -> int:
        """Returns room for every line."""
        title, remark = self._broken(row, self.width())
        return max(self.theme.look.pitches(len(title) + len(remark)), self.theme.look.metrics.row)

    def line(self, ink: Ink, row: TitleLine, rect: QRectF) -> None:
        """Writes a row."""
        look, metrics = ink.look, ink.look.metrics
        title, remark = self._broken(row, rect.width())
        left, top = rect.left() + self._left(), rect.top() + 1
        ink.icon(rect.left() + metrics.pad + 2, top + metrics.pitch, row.icon or "note", "ink2")
        if not remark and len(title) == 1:
            top += (rect.height() - metrics.pitch) / 2
        for words in title:
            ink.text(left, top, words, look.font("body", 500), height=metrics.pitch)
            top += metrics.pitch
        for words in remark:
            ink.text(left, top, words, look.font("small", figures=True), "ink2", height=metrics.pitch * 0.9)
            top += metrics.pitch


class ShortList(FittedLines):
    """A list of titled lines at its full height."""

    def __init__(self, theme: Theme, name: str) -> None:
        self.lines = LinesModel[TitleLine](lambda row: f"{row.title}. {row.remark}" if row.remark else row.title)
        super().__init__(theme, name)
        self.lines.setParent(self)
        self.setModel(self.lines)
        self.setItemDelegate(ShortDelegate(theme, self))

    def show_rows(self, rows: tuple[TitleLine, ...]) -> None:
        """Shows other lines."""
        if rows != self.lines.rows:
            self.lines.replace(rows)
            self.fit()

    @property
    def current(self) -> TitleLine | None:
        """The current line, or the only one."""
        rows, n = self.lines.rows, self.currentIndex().row()
        if 0 <= n < len(rows):
            return rows[n]
        return rows[0] if len(rows) == 1 else None


def gap_rows(advice: Advice) -> tuple[TitleLine, ...]:
    """Returns the sections without a result, and why."""
    names = MapNames(advice.section_map)
    rows = []
    for gap in advice.gaps:
        said = gap_reason(gap.reason)
        why = _("{reason}: {why}").format(reason=said, why=gap.why) if gap.why else said
        remark = _("{why}. Not tested is no evidence").format(why=why[:1].upper() + why[1:])
        title = _("{section}, {share}").format(section=names.section(gap.section), share=percent(gap.share))
        rows.append(TitleLine(gap.section, title, remark, "state_untested"))
    return tuple(rows)


def still_on_rows(case: Case, items: tuple[StillOn, ...]) -> tuple[TitleLine, ...]:
    """Returns what is to be taken off, a line for each line of the timeline that left something."""
    lines = {entry.id: n for n, entry in enumerate(case.timeline, 1)}
    whole: dict[str, list[StillOn]] = {}
    for item in items:
        whole.setdefault(item.entry, []).append(item)
    rows = []
    for entry, left in whole.items():
        total = sum(item.restore_minutes for item in left)
        remark = _("since line {n}").format(n=lines[entry])
        if total:
            remark = _("{since}; {minutes} to restore").format(since=remark, minutes=minutes(total))
        rows.append(TitleLine(entry, "; ".join(item.what for item in left), remark, "guard"))
    return tuple(rows)


def kin_rows(hits: tuple[Hit, ...]) -> tuple[TitleLine, ...]:
    """Returns similar cases: what they complained of, and what it was."""
    rows = []
    for hit in hits:
        facts = kin_facts(hit.number, term("state", hit.state), hit.cause)
        rows.append(TitleLine(hit.id, " ".join(hit.concern.split())[:160], facts, "look"))
    return tuple(rows)
