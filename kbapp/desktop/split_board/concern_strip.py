"""The concern of the open case in two lines: what it does, and the baseline a retest will be held against."""

from PySide6.QtCore import QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSizePolicy

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.themed import Painted
from kbapp.i18n import _
from kbapp.records.case import Case
from kbapp.records.timeline import TestEntry
from kbapp.wording.case_words import readings_words


def baseline_words(case: Case) -> str:
    """Returns the first own readings of the case, or that there are none."""
    for n, entry in enumerate(case.timeline, 1):
        if isinstance(entry, TestEntry) and entry.source == "own" and entry.readings:
            return _("Baseline, line {n}: {readings}").format(n=n, readings=readings_words(entry.readings))
    return _("No baseline reading yet: a retest would have nothing to be held against")


class ConcernStrip(Painted):
    """Paints concern and baseline."""

    def __init__(self, theme: Theme) -> None:
        self._concern, self._baseline = "", ""
        super().__init__(theme)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_case(self, case: Case) -> None:
        """Shows another case."""
        codes = ", ".join(" ".join(filter(None, (code.code, code.status))) for code in case.codes)
        self._concern = " · ".join(filter(None, (" ".join(case.concern.text.split()), codes)))
        self._baseline = baseline_words(case)
        self.setAccessibleName(_("Concern"))
        self.setAccessibleDescription(f"{self._concern}\n{self._baseline}")
        self.setToolTip(f"{self._concern}\n{self._baseline}")
        self.update()

    def relook(self) -> None:
        """Takes over the height."""
        self._fit()
        self.update()

    def _lines(self) -> int:
        return 1 if self.width() >= self.look.metrics.body * 62 else 2

    def _fit(self) -> None:
        self.setFixedHeight(self.look.pitches(self._lines()) + 6)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Takes one line or two."""
        super().resizeEvent(event)
        self._fit()

    def sizeHint(self) -> QSize:
        """Returns a width that never pushes the page wider."""
        return QSize(120, self.height())

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints the strip."""
        metrics, small = self.look.metrics, self.look.font("small", figures=True)
        ink.fill(0, 0, width, height, "band")
        start, two = metrics.pad + 4, self._lines() == 2
        split = min(round(width * 0.6), round(ink.width(self._concern, small)) + metrics.icon + metrics.pad * 4)
        for n, (icon, words, role) in enumerate((("concern", self._concern, "ink"), ("test", self._baseline, "ink2"))):
            top = 3 + (n * metrics.pitch if two else 0)
            left = start + (0 if two or not n else split)
            room = (split if not two and not n else width - left) - metrics.icon - metrics.pad - 10
            ink.icon(left, top + metrics.pitch / 2, icon, "ink2", metrics.icon * 0.85)
            ink.text(left + metrics.icon + 6, top, words, small, "ink" if role == "ink" else "ink2",
                     height=metrics.pitch, room=room)  # fmt: skip
        ink.across(0, width, height - 1, "rule_strong")
