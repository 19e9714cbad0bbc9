"""Running heads: the head of a page over a triple rule, and the head of a section over a double one."""

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.kept import KeptMark
from kbapp.desktop.widgets.labels import ElideLabel
from kbapp.desktop.widgets.themed import Painted


class PageHead(Painted):
    """Title and remark left, what was kept and the page's buttons right."""

    def __init__(self, theme: Theme, title: str, remark: str = "") -> None:
        self._title = ElideLabel(theme, title, "title", face="slab")
        self._remark = ElideLabel(theme, remark, "small", "ink2")
        self.kept = KeptMark(theme)
        words = QVBoxLayout()
        words.setSpacing(0)
        words.addStretch()
        words.addWidget(self._title)
        words.addWidget(self._remark)
        words.addStretch()
        self._row = QHBoxLayout()
        self._row.setSpacing(8)
        self._row.addLayout(words, 1)
        self._row.addWidget(self.kept)
        super().__init__(theme)
        self.setLayout(self._row)
        self._remark.setVisible(bool(remark))
        self.setAccessibleName(title)

    def add(self, widget: QWidget) -> None:
        """Adds a button at the right."""
        self._row.addWidget(widget)

    def set_title(self, title: str) -> None:
        """Changes the title."""
        self._title.set_text(title)
        self.setAccessibleName(title)

    def set_remark(self, remark: str) -> None:
        """Changes the second line."""
        self._remark.set_text(remark)
        self._remark.setVisible(bool(remark))

    def relook(self) -> None:
        """Takes over height and margins."""
        metrics = self.look.metrics
        self._row.setContentsMargins(metrics.pad + 4, 2, metrics.pad, 8)
        self.setFixedHeight(metrics.row + 18)
        self.update()

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints page and rules."""
        ink.fill(0, 0, width, height, "page")
        ink.across(0, width, height - 5, "head_rule", 3)
        ink.across(0, width, height - 1, "head_rule", 1)


class SectionHead(Painted):
    """The head of a section: its title, and a remark in small type."""

    def __init__(self, theme: Theme, title: str, remark: str = "") -> None:
        self._title, self._remark = title, remark
        super().__init__(theme)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.set_text(title, remark)

    def set_text(self, title: str, remark: str = "") -> None:
        """Changes title and remark."""
        self._title, self._remark = title, remark
        self.setAccessibleName(f"{title}. {remark}" if remark else title)
        self.update()

    def relook(self) -> None:
        """Takes over the height."""
        self.setFixedHeight(self.look.pitches(1.55))
        self.update()

    def sizeHint(self) -> QSize:
        """Returns a width that never pushes a pane wider."""
        return QSize(80, self.height())

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints title, remark and rule."""
        look, pad = self.look, self.look.metrics.pad + 2
        ink.fill(0, 0, width, height, "page")
        used = ink.text(pad, 0, self._title, look.slab("head"), height=height - 3, room=width - 2 * pad)
        left = pad + used + 14
        if self._remark and left < width - pad:
            ink.text(left, 1, self._remark, look.font("small", figures=True), "ink2", height=height - 3,
                     room=width - left - pad)  # fmt: skip
        ink.across(0, width, height - 2, "head_rule", 2)
