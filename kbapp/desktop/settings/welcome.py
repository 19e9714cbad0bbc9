"""The first run: size, theme, units, initials, kit; left at any point with one key, never in the way of an answer."""

from PySide6.QtWidgets import QWidget

from kbapp.app.places import PRACTICE
from kbapp.app.settings import initials_of
from kbapp.desktop.context import Context
from kbapp.desktop.reading.page_scroll import PageScroll
from kbapp.desktop.screens import Screen, has_screen
from kbapp.desktop.settings.choices import ChoiceRows
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.choice import Ticks
from kbapp.desktop.widgets.foot import Foot
from kbapp.desktop.widgets.form import EntryRow, FormRow
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.errors import InputError
from kbapp.i18n import _
from kbapp.wording import sentence


class Welcome(Screen):
    """Asked once, where no settings are kept yet; everything can be changed later."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, _("Welcome to Provebook"), _("All of this can wait: Esc leaves it"))
        theme = context.theme
        self._gone = False
        self.skip_button = Button(theme, _("Skip"), "quiet")
        self.skip_button.clicked.connect(lambda: self.window().leave())  # type: ignore[attr-defined]
        self.head.add(self.skip_button)
        self.choices = ChoiceRows(theme, context.preferences, self)
        self.initials = EntryRow(theme, _("Your initials"), _("sign what you record, such as IK"))
        self.initials.entered.connect(self._sign)
        self.kit = self._kit_ticks()
        self.page = PageScroll(theme, _("First run"))
        self.start_button = Button(theme, _("Start a concern"), "primary", "plus")
        self.practice_button = Button(theme, _("Open the practice book"), "plain", "book")
        self.start_button.clicked.connect(self.start_concern)
        self.practice_button.clicked.connect(self.open_practice)
        self._lay_out()
        self.initials.put(context.preferences.now.author)

    def _kit_ticks(self) -> Ticks:
        from kbapp.app.kit import COMMON_KIT

        kit = Ticks(self.context.theme, _("Kit of the shop"), COMMON_KIT)
        kit.changed.connect(self._tick)
        return kit

    def _lay_out(self) -> None:
        theme = self.context.theme
        rows = (self.choices.size, self.choices.theme, self.choices.units, self.initials)
        self.page.add(SectionHead(theme, _("For you")))
        for row in rows:
            self.page.add(row)
        self.page.add(SectionHead(theme, _("What the shop has"), _("so that tests fit your kit")))
        blank = _("Once you tick one, what is left blank counts as missing; the Kit List changes it.")
        self.page.add(FormRow(theme, _("Tick what is here"), self.kit, blank))
        self.page.column.addStretch()
        foot = Foot(theme)
        for button in (self.start_button, self.practice_button):
            foot.row.addWidget(button)
        foot.row.addStretch()
        self.body.addWidget(self.page, 1)
        self.body.addWidget(foot)

    def _sign(self, text: str) -> None:
        try:
            self.context.preferences.change(author=initials_of(text))
        except InputError as error:
            self.initials.say_wrong(sentence(error))

    def _tick(self, ticked: frozenset[str]) -> None:
        if self.context.book.state == "open":
            work = self.context.book.bound(lambda session, _control: session.kit().tick(ticked))
            self.context.tasks.run("change", self, work, self._kept, self._failed)

    def _kept(self, _none: None) -> None:
        self.say_kept("recorded")

    def _failed(self, error: Exception) -> None:
        self.context.presenter.show(error, self.notes)

    def start_concern(self) -> None:
        """Begins with a new concern."""
        self.context.go("triage" if has_screen("triage") else "jot", None)

    def open_practice(self) -> None:
        """Opens the practice book."""
        self._keep()
        self.context.book.switch(PRACTICE, lambda: None, self._failed)

    def _keep(self) -> None:
        if self.context.preferences.first_run:
            self.context.preferences.keep()

    def gone(self) -> None:
        """Asks no more, whichever way it was left."""
        self._keep()

    def closing(self) -> None:
        """Keeps nothing: left by closing the window, it is asked again."""

    def first(self) -> QWidget:
        """Returns the size that is in force."""
        return self.choices.first()

    def panes(self) -> tuple[QWidget, ...]:
        """Returns the choices, the initials, the kit and the ways on."""
        kit = next(iter(self.kit.buttons.values()))
        return (self.first(), self.initials.edit, kit, self.start_button)
