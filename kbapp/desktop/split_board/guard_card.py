"""The swap guard's card, pinned under the line it judges: what speaks, what it costs, three ways on."""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QPainterPath, QPen, QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QSizePolicy, QVBoxLayout, QWidget

from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.paint.stamp import Stamp, draw_stamp, stamp_width
from kbapp.desktop.paint.wrapped import wrap
from kbapp.desktop.split_board.guard_rows import GuardWords
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.theme.tokens import Role
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.fields import ValueEdit
from kbapp.desktop.widgets.flow_row import FlowRow
from kbapp.desktop.widgets.labels import TextLabel
from kbapp.desktop.widgets.themed import Painted
from kbapp.i18n import _

LEAST_REASON = 10
_NOTCH = 10
_WASHES: dict[Role, Role] = {"danger": "danger_wash", "caution": "caution_wash", "info": "info_wash", "ink2": "band"}


class GuardCard(Painted):
    """Shows one judgement.

    ``test_wanted(test)``, ``fit_wanted(entry, author, reason)``, ``exemption_wanted(entry)``, ``closed()``.
    """

    test_wanted = Signal(str)
    fit_wanted = Signal(str, str, str)
    exemption_wanted = Signal(str)
    closed = Signal()
    grew = Signal()

    def __init__(self, theme: Theme) -> None:
        self.words: GuardWords | None = None
        super().__init__(theme)
        self.test_button = Button(theme, _("Run the next test"), "primary", "test")
        self.fit_button = Button(theme, _("Fit anyway, give a reason"), "danger")
        self.exempt_button = Button(theme, _("Name an exemption"), "quiet")
        self.close_button = Button(theme, "", "quiet", "x")
        self.close_button.setAccessibleName(_("Close what the guard says"))
        self.close_button.setToolTip(_("Close; the line keeps its mark"))
        self.author = ValueEdit(theme, _("Who decides"))
        self.reason = ValueEdit(theme, _("Reason, at least 10 characters"))
        self.reason.setPlaceholderText(_("why it is fitted all the same"))
        self.confirm_button = Button(theme, _("Fit it"), "danger")
        self._need = TextLabel(theme, "", "small", "ink2", wrap=True)
        self.ways = QWidget()
        row = FlowRow(6, self.ways)
        for button in (self.test_button, self.fit_button, self.exempt_button):
            row.addWidget(button)
        self.reasons = QWidget()
        fields = QHBoxLayout(self.reasons)
        fields.setContentsMargins(0, 0, 0, 0)
        fields.setSpacing(6)
        fields.addWidget(self.author, 1)
        fields.addWidget(self.reason, 4)
        fields.addWidget(self.confirm_button)
        self.close_button.setParent(self)
        self._column = QVBoxLayout(self)
        self._column.setSpacing(4)
        self._column.addStretch()
        for widget in (self.ways, self.reasons, self._need):
            self._column.addWidget(widget)
        self.reasons.hide()
        self._need.hide()
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self._connect()
        self.hide()
        self.relook()

    def _connect(self) -> None:
        self.test_button.clicked.connect(lambda: self.test_wanted.emit(self.words.next_test if self.words else ""))
        self.exempt_button.clicked.connect(lambda: self.exemption_wanted.emit(self.words.entry if self.words else ""))
        self.close_button.clicked.connect(self.closed)
        self.fit_button.clicked.connect(self._ask_reason)
        self.reason.textChanged.connect(self._check)
        self.author.textChanged.connect(self._check)
        self.reason.returnPressed.connect(self._confirm)
        self.confirm_button.clicked.connect(self._confirm)

    def show_words(self, words: GuardWords | None, author: str) -> None:
        """Shows another judgement, or none."""
        same = words is not None and self.words is not None and words.entry == self.words.entry
        self.words = words
        self.setVisible(words is not None)
        self.grew.emit()
        if words is None:
            return
        if not same:
            self.reasons.hide()
            self._need.hide()
            self.ways.show()
            self.reason.clear()
            self.author.setText(author)
        self.setAccessibleName(words.spoken())
        self.test_button.setVisible(bool(words.next_test))
        self.test_button.setToolTip(f"{words.next_name}, {words.next_minutes}")
        self.confirm_button.setText(_("Fit it") if words.planned else _("Keep it fitted"))
        self._check()
        self.relook()

    def first(self) -> QWidget:
        """Returns the control that answers by default."""
        if not self.reasons.isHidden():
            return self.reason
        return self.test_button if not self.test_button.isHidden() else self.fit_button

    def _ask_reason(self) -> None:
        self.ways.hide()
        self.reasons.show()
        self._check()
        self._fit()
        (self.reason if self.author.text().strip() else self.author).setFocus()

    def leave(self) -> bool:
        """Goes back from the reason to the three ways; returns whether it did."""
        if self.reasons.isHidden() or self.isHidden():
            return False
        self.reasons.hide()
        self._need.hide()
        self.ways.show()
        self._fit()
        self.first().setFocus()
        return True

    def _check(self) -> None:
        missing = LEAST_REASON - len(self.reason.text().strip())
        nobody = not self.author.text().strip()
        self.confirm_button.setEnabled(missing <= 0 and not nobody)
        words = _("Say who decides.") if nobody else ""
        if missing > 0:
            words = _("The reason needs {n} more characters.").format(n=missing)
        self._need.setText(words)
        self._need.setVisible(bool(words) and not self.reasons.isHidden())

    def _confirm(self) -> None:
        if self.words is not None and self.confirm_button.isEnabled():
            self.fit_wanted.emit(self.words.entry, self.author.text().strip(), self.reason.text().strip())

    # -- room

    def relook(self) -> None:
        """Takes over margins and height."""
        if hasattr(self, "_column"):
            self._fit()
        self.update()

    def _left(self) -> int:
        return self.look.metrics.margin + 14

    def _band(self) -> int:
        return round(self.look.metrics.pitch * 1.6)

    def _sentences(self, width: int) -> tuple[str, ...]:
        if self.words is None:
            return ()
        look, room = self.look, width - self._left() - 18
        return tuple(line for said in self.words.sentences for line in wrap(look, said, look.font("small"), room))

    def _text_height(self, width: int) -> int:
        pitch = self.look.metrics.pitch
        costs = 1 if self.words is not None and self.words.fit_now else 0
        return _NOTCH + self._band() + 4 + pitch * (len(self._sentences(width)) + costs) + 4

    def heightForWidth(self, width: int) -> int:
        """Returns the height of words and buttons."""
        inner = width - self._left() - 14
        row = self.ways.layout()
        rows = row.heightForWidth(inner) if not self.ways.isHidden() and row is not None else self.look.metrics.row
        need = self._need.heightForWidth(inner) + 4 if not self._need.isHidden() else 0
        return self._text_height(width) + rows + need + 14

    def _fit(self) -> None:
        self._column.setContentsMargins(self._left(), 0, 14, 10)
        row = self.ways.layout()
        side = self.look.metrics.row
        self.close_button.setGeometry(self.width() - side - 8, _NOTCH - 4, side, side)
        if row is not None:
            self.ways.setFixedHeight(
                max(self.look.metrics.row, row.heightForWidth(max(80, self.width() - self._left() - 14)))
            )
        tall = self.heightForWidth(max(self.width(), 200))
        if self.height() != tall or self.minimumHeight() != tall:
            self.setFixedHeight(tall)
            self.grew.emit()

    def sizeHint(self) -> QSize:
        """Returns a width that never pushes the pane wider."""
        return QSize(200, self.height())

    def minimumSizeHint(self) -> QSize:
        """Returns a width that never pushes the pane wider."""
        return QSize(120, self.height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Grows with the words."""
        super().resizeEvent(event)
        self._fit()

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints the card with its notch."""
        words = self.words
        if words is None:
            return
        look, painter = self.look, ink.painter
        ink.fill(0, 0, width, height, "page")
        at = look.metrics.margin / 2
        path = QPainterPath(QPointF(6, _NOTCH))
        for x, y in (
            (at - 9, _NOTCH),
            (at, 1),
            (at + 9, _NOTCH),
            (width - 6, _NOTCH),
            (width - 6, height - 2),
            (6, height - 2),
        ):
            path.lineTo(x, y)
        path.closeSubpath()
        painter.fillPath(path, look.colour("page"))
        band = self._band()
        painter.save()
        painter.setClipPath(path)
        painter.fillRect(QRectF(0, 0, width, _NOTCH + band), look.colour(_WASHES[words.role]))
        painter.restore()
        painter.setPen(QPen(look.colour(words.role), 1.5))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(path)
        ink.fill(6, _NOTCH, 6, height - _NOTCH - 2, words.role)
        ink.icon(at - look.metrics.icon * 0.5 + 3, _NOTCH + band / 2, "guard", words.role, look.metrics.icon * 1.1)
        self._draw_words(ink, words, width, _NOTCH + band)

    def _draw_words(self, ink: Ink, words: GuardWords, width: int, top: int) -> None:
        look, pitch, left = self.look, self.look.metrics.pitch, self._left()
        stamp = Stamp(_(words.stamp), words.role, "single", "guard")
        used = draw_stamp(ink, left, top - self._band() / 2, stamp)
        ink.text(left + used + 12, top - self._band(), words.head, look.font("body", 600), height=self._band(),
                 room=width - left - used - 26 - self.close_button.width())  # fmt: skip
        y: float = top + 4
        for sentence in self._sentences(width):
            ink.text(left, y, sentence, look.font("small", figures=True), height=pitch)
            y += pitch
        if not words.fit_now:
            return
        x: float = left
        for label, cost in ((_("Fit now"), words.fit_now), (_("Test first"), words.test_first)):
            if cost:
                x += ink.text(x, y, label, look.font("small"), "ink2", height=pitch) + 7
                x += ink.text(x, y, cost, look.font("body", 600, figures=True), height=pitch) + 18
        remark = _("expected; next: {test}, {minutes}").format(test=words.next_name, minutes=words.next_minutes)
        ink.text(x, y, remark, look.font("small"), "ink2", height=pitch, room=width - x - 12)


class GuardScroll(QScrollArea):
    """Gives the card its full height where there is room, and lets it scroll where there is not."""

    def __init__(self, card: GuardCard) -> None:
        super().__init__()
        self._card = card
        self.setWidget(card)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        card.grew.connect(self._fit)
        self._fit()

    def _fit(self) -> None:
        self.setVisible(self._card.words is not None)
        self.setMaximumHeight(max(1, self._card.height()))
        self.updateGeometry()

    def sizeHint(self) -> QSize:
        """Returns the whole card."""
        return QSize(200, self._card.height())

    def minimumSizeHint(self) -> QSize:
        """Returns room for its head and a row of buttons."""
        return QSize(120, min(self._card.height(), round(self._card.look.metrics.row * 2.5)))


class GuardBar(Painted):
    """The card as one line with "See why", where there is no room for more."""

    opened = Signal()

    def __init__(self, theme: Theme) -> None:
        self.words: GuardWords | None = None
        super().__init__(theme)
        self.why_button = Button(theme, _("See why"), "plain")
        self.why_button.clicked.connect(self.opened)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 2, 8, 2)
        row.addStretch()
        row.addWidget(self.why_button)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.hide()

    def show_words(self, words: GuardWords | None) -> None:
        """Shows another judgement, or none."""
        self.words = words
        self.setVisible(words is not None)
        if words is not None:
            self.setAccessibleName(words.spoken())
        self.update()

    def relook(self) -> None:
        """Takes over the height."""
        self.setFixedHeight(self.look.metrics.row + 4)
        self.update()

    def sizeHint(self) -> QSize:
        """Returns a width that never pushes the pane wider."""
        return QSize(200, self.height())

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints the bar."""
        words = self.words
        if words is None:
            return
        ink.fill(0, 0, width, height, _WASHES[words.role])
        ink.fill(0, 0, 6, height, words.role)
        ink.across(0, width, 0, words.role)
        stamp = Stamp(_(words.stamp), words.role, "single", "guard")
        left = 16 + stamp_width(self.look, stamp) + 12
        draw_stamp(ink, 16, height / 2, stamp)
        ink.text(left, 0, words.head, self.look.font("body", 500), height=height,
                 room=self.why_button.x() - left - 8)  # fmt: skip
