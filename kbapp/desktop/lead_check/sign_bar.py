"""The foot of Lead Check: who signs, and the three answers a lead can give."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QSizePolicy, QWidget

from kbapp.app.people import Roster
from kbapp.desktop.forms.pick_one import PickOne
from kbapp.desktop.paint.ink import Ink
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.flow_row import FlowRow
from kbapp.desktop.widgets.labels import TextLabel
from kbapp.desktop.widgets.themed import Painted
from kbapp.i18n import _


class SignBar(Painted):
    """Buttons break into rows where room is short. ``people_wanted`` is sent while nobody leads."""

    prove = Signal()
    send_back = Signal()
    not_proved = Signal()
    take_over = Signal()
    people_wanted = Signal()

    def __init__(self, theme: Theme) -> None:
        self.flow = FlowRow(8)
        super().__init__(theme)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.label = TextLabel(theme, _("Signs"), "small", "ink2", weight=600)
        self.why = TextLabel(theme, "", "small", "caution", weight=600)
        self.by = PickOne(theme, _("Who signs"), ())
        self.by.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.prove_button = Button(theme, _("Accept as proved"), "primary", "seal")
        self.back_button = Button(theme, _("Send back"), "plain", "back")
        self.not_button = Button(theme, _("Not proved"), "plain")
        self.over_button = Button(theme, _("Take the signature over"), "primary", "seal")
        self.people_button = Button(theme, _("Name who leads"), "primary")
        for button, signal in (
            (self.prove_button, self.prove), (self.back_button, self.send_back), (self.not_button, self.not_proved),
            (self.over_button, self.take_over), (self.people_button, self.people_wanted),
        ):  # fmt: skip
            button.clicked.connect(signal)
        for widget in self.widgets():
            self.flow.addWidget(widget)
        self.setLayout(self.flow)
        self.setAccessibleName(_("Signature"))
        self.relook()
        self.show_for("", Roster(), "")

    def widgets(self) -> tuple[QWidget, ...]:
        """Returns what stands in the bar, in order."""
        return (self.label, self.by, self.prove_button, self.back_button, self.not_button, self.over_button,
                self.people_button, self.why)  # fmt: skip

    def show_for(self, what: str, roster: Roster, author: str, why: str = "") -> None:
        """Shows what can be answered: ``repaired``, ``elsewhere`` or blank; the author signs if a lead.

        ``why`` is the reason for which the case cannot be proved yet.
        """
        chosen = self.by.value()
        self.by.clear()
        for initials in roster.leads:
            self.by.addItem(_("{initials}, lead").format(initials=initials), initials)
        lead = roster.find(author)
        own = lead.initials if lead is not None else ""
        wanted = next((name for name in (chosen, own) if name in roster.leads), roster.leads[0] if roster.leads else "")
        if wanted:
            self.by.put(wanted)
        led = bool(roster.leads)
        self.label.setVisible(bool(what) and led)
        self.by.setVisible(bool(what) and led)
        for button in (self.prove_button, self.back_button, self.not_button):
            button.setVisible(what == "repaired" and led)
        self.over_button.setVisible(what == "elsewhere" and led)
        self.people_button.setVisible(bool(what) and not led)
        self.prove_button.setEnabled(not why)
        self.why.setText(why)
        self.why.setVisible(bool(why) and led)
        self.setVisible(bool(what))
        self.updateGeometry()

    def relook(self) -> None:
        """Takes over margins."""
        pad = self.look.metrics.pad
        self.flow.setContentsMargins(pad, 4, pad, 4)
        if hasattr(self, "by"):
            self.by.setMinimumWidth(round(self.look.metrics.body * 9))
            for label in (self.label, self.why):
                label.setMinimumHeight(self.look.metrics.row)

    def draw(self, ink: Ink, width: int, height: int) -> None:
        """Paints band and rule."""
        ink.fill(0, 0, width, height, "band")
        ink.across(0, width, 0, "rule_strong")
