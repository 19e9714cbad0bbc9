"""Settings: each one in force and kept as soon as it is entered; a faulty entry says what to type."""

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from kbapp.app.settings import amount_of, currency_of, initials_of, shop_name_of
from kbapp.desktop.context import Context
from kbapp.desktop.reading.page_scroll import PageScroll
from kbapp.desktop.screens import Screen
from kbapp.desktop.settings.choices import ChoiceRows
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.form import EntryRow
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.errors import InputError
from kbapp.i18n import _
from kbapp.wording import sentence


class SettingsScreen(Screen):
    """What a person sets once."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, _("Settings"), _("In force and kept as soon as they are entered"))
        theme = context.theme
        back = Button(theme, _("Back"), "plain", "left")
        back.clicked.connect(lambda: self.window().leave())  # type: ignore[attr-defined]
        self.head.add(back)
        self.choices = ChoiceRows(theme, context.preferences, self)
        self.initials = EntryRow(theme, _("Your initials"), _("sign what you record on this PC"))
        self.shop = EntryRow(theme, _("Name of the shop"), _("stands in the book, on sheets and in packs"))
        self.currency = EntryRow(theme, _("Currency"), _("a code or a sign, such as EUR"))
        self.labour = EntryRow(theme, _("Labour rate"), _("for an hour; expected costs are made from it"))
        self.limit = EntryRow(
            theme, _("Guard cost limit"), _("a dearer part needs a reason where nothing points to it")
        )
        self.page = PageScroll(theme, _("Settings"))
        self._lay_out()
        self._connect()
        self._show()

    def _lay_out(self) -> None:
        theme = self.context.theme
        for head, rows in (
            (_("What the screen looks like"), (self.choices.size, self.choices.theme)),
            (_("Who works here"), (self.initials, self.shop)),
            (_("Units and money"), (self.choices.units, self.currency, self.labour, self.limit)),
        ):
            self.page.add(SectionHead(theme, head))
            for row in rows:
                self.page.add(row)
        self.page.column.addStretch()
        self.body.addWidget(self.page, 1)

    def _connect(self) -> None:
        self.initials.entered.connect(lambda text: self._enter(self.initials, "author", initials_of, text))
        self.currency.entered.connect(lambda text: self._enter(self.currency, "currency", currency_of, text))
        self.labour.entered.connect(
            lambda text: self._enter(self.labour, "labour_rate", lambda words: amount_of("labour_rate", words), text)
        )
        self.limit.entered.connect(
            lambda text: self._enter(
                self.limit, "guard_cost_limit", lambda words: amount_of("guard_cost_limit", words), text
            )
        )
        self.shop.entered.connect(self._name_shop)
        self.context.preferences.changed.connect(lambda _settings: self._show())
        self.context.preferences.kept.connect(lambda: self.say_kept("recorded"))
        self.context.book.opened.connect(self._show)

    def _enter(self, row: EntryRow, field: str, read: Callable[[str], object], text: str) -> None:
        try:
            value = read(text)
        except InputError as error:
            row.say_wrong(sentence(error))
            return
        row.say_wrong("")
        self.context.preferences.change(**{field: value})
        self._show()

    def _name_shop(self, text: str) -> None:
        try:
            name = shop_name_of(text)
        except InputError as error:
            self.shop.say_wrong(sentence(error))
            return
        book = self.context.book
        if book.info is None or book.info.practice:
            self._enter(self.shop, "shop_name", shop_name_of, text)
            return

        def done(_none: None) -> None:
            book.renamed()
            self.context.preferences.change(shop_name=name)
            self.say_kept("recorded")
            self._show()

        book.run("change", self, lambda session, _control: session.rename_shop(name), done, self._failed)

    def _failed(self, error: Exception) -> None:
        self.context.presenter.show(error, self.notes)

    def _show(self) -> None:
        settings, info = self.context.preferences.now, self.context.book.info
        own = info is not None and not info.practice
        values = (
            (self.initials, settings.author), (self.currency, settings.currency),
            (self.labour, f"{settings.labour_rate:g}"), (self.limit, f"{settings.guard_cost_limit:g}"),
            (self.shop, info.shop.name if info is not None and own else settings.shop_name),
        )  # fmt: skip
        for row, value in values:
            if not row.edit.hasFocus() or not row.edit.property("bad"):
                row.put(value)

    def arrive(self, value: object) -> None:
        """Shows what is in force."""
        self._show()

    def first(self) -> QWidget:
        """Returns the size that is in force."""
        return self.choices.first()

    def panes(self) -> tuple[QWidget, ...]:
        """Returns the first choice and the first field."""
        return (self.first(), self.initials.edit)
