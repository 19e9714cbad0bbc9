"""The Kit List: every piece of kit with how it stands, and what can be tested with it."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QSplitter, QStackedWidget, QVBoxLayout, QWidget

from kbapp.desktop.context import Context
from kbapp.desktop.forms.field_grid import Inset
from kbapp.desktop.kit.line_form import LineForm
from kbapp.desktop.kit.rows import kit_lines
from kbapp.desktop.kit.testable_page import TestablePage
from kbapp.desktop.screens import Screen
from kbapp.desktop.tasks import Latest
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.fields import ValueEdit
from kbapp.desktop.widgets.title_list import TitleList
from kbapp.errors import InputError
from kbapp.i18n import _
from kbapp.wording import sentence
from kbapp.wording.drafting import due_words

if TYPE_CHECKING:
    from kbapp.app.kit_desk import KitDesk, KitRow
    from kbapp.app.session import Session
    from kbapp.app.testable import MapTests


@dataclass(frozen=True, slots=True)
class Seen:
    """The list after a step, and the line the step was about."""

    rows: "tuple[KitRow, ...]"
    families: tuple[str, ...]
    about: str = ""


class KitScreen(Screen):
    """The list, one line of it, and the other face: what can be tested."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, _("Kit List"), _("Kept as soon as it is entered; tests are matched to it"))
        theme = context.theme
        self._desk: KitDesk | None = None
        self._rows: tuple[KitRow, ...] = ()
        self._testing = Latest(context.tasks, self)
        self.face_button = Button(theme, _("What can I test?"), "plain", "test")
        self.face_button.clicked.connect(self.turn)
        self.undo_button = Button(theme, _("Undo"), "quiet", "undo")
        self.undo_button.clicked.connect(self.undo)
        self.head.add(self.undo_button)
        self.head.add(self.face_button)
        self.seek = ValueEdit(theme, _("Find kit, or type a name of your own"))
        self.seek.setPlaceholderText(_("Find, or a name of your own"))
        self.seek.textChanged.connect(lambda _text: self._show())
        self.seek.returnPressed.connect(self._entered)
        self.add_button = Button(theme, _("Add"), "plain", "plus")
        self.add_button.setAccessibleName(_("Add as a line of our own"))
        self.add_button.clicked.connect(self.add)
        self.list = TitleList(theme, _("Kit"))
        self.list.picked.connect(lambda _row: self._show_line())
        self.form = LineForm(theme)
        self.list.opened.connect(lambda _row: self.form.first().setFocus())
        self.form.stood.connect(self._stand)
        self.form.dated.connect(self._date)
        self.form.forgotten.connect(lambda: self._step(lambda desk, name: desk.forget(name)))
        self.tests = TestablePage(theme)
        self.tests.family_asked.connect(lambda _family: self._ask())
        self._lay_out()
        context.book.opened.connect(self._load)
        self._load()

    def _lay_out(self) -> None:
        theme = self.context.theme
        line = QWidget()
        row = QHBoxLayout(line)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.seek, 1)
        row.addWidget(self.add_button)
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(Inset(theme, line))
        column.addWidget(self.list, 1)
        self.split = QSplitter(Qt.Orientation.Horizontal)
        self.split.setHandleWidth(8)
        self.split.setChildrenCollapsible(False)
        self.split.addWidget(left)
        self.split.addWidget(self.form)
        self.split.setSizes([520, 560])
        self.faces = QStackedWidget()
        self.faces.addWidget(self.split)
        self.faces.addWidget(self.tests)
        self.body.addWidget(self.faces, 1)

    # -- the list

    def _load(self) -> None:
        self._run(lambda _desk: "", kept=False)

    def _run(self, step: "Callable[[KitDesk], str]", *, kept: bool = True) -> None:
        if self.context.book.state != "open":
            return

        def work(session: "Session", _control: object) -> Seen:
            from kbapp.app.kit_desk import KitDesk

            desk = self._desk = self._desk or KitDesk(session.kit())
            about = step(desk)
            maps = session.all_maps()
            families = (*session.known_vehicles().families, *(family for m in maps for family in m.families))
            return Seen(desk.rows(maps), tuple(dict.fromkeys(families)), about)

        def done(seen: Seen) -> None:
            self._rows = seen.rows
            self.form.offer_families(seen.families)
            self.tests.family.offer(seen.families)
            if seen.about and all(row.line.name != seen.about for row in seen.rows if self._matches(row)):
                self.seek.clear()
            self._show(seen.about)
            if kept and seen.about:
                self.say_kept("recorded")
            if self.faces.currentWidget() is self.tests:
                self._ask()

        self.context.book.run("change", self, work, done, self._failed)

    def _matches(self, row: "KitRow") -> bool:
        return bool(kit_lines((row,), _today(), self.seek.text()))

    def _failed(self, error: Exception) -> None:
        if isinstance(error, InputError) and error.code == "kit_due_wrong":
            self.form.due_field.say(sentence(error), "danger")
        else:
            self.context.presenter.show(error, self.notes)

    def _show(self, about: str = "") -> None:
        self.list.show_rows(kit_lines(self._rows, _today(), self.seek.text()), about)
        self._show_line()

    def _show_line(self) -> None:
        row = next((row for row in self._rows if row.line.name == self.list.key), None)
        self.form.setEnabled(row is not None)
        if row is not None:
            self.form.show_line(row.line, due_words(row.line, _today()))

    # -- steps

    def _step(self, step: "Callable[[KitDesk, str], object]") -> None:
        name = self.list.key

        def work(desk: "KitDesk") -> str:
            step(desk, name)
            return name

        if name:
            self._run(work)

    def _stand(self, standing: str, family: str) -> None:
        from kbapp.app.kit import standing_of

        self._step(lambda desk, name: desk.stand(name, standing_of(standing), family))

    def _date(self, day: str) -> None:
        self._step(lambda desk, name: desk.due(name, day))

    def _entered(self) -> None:
        if self.list.lines.rows:
            self.list.setFocus()
        else:
            self.add()

    def add(self) -> None:
        """Adds what is typed as a line of the shop's own."""
        name = self.seek.text()
        self._run(lambda desk: desk.add(name))

    def undo(self) -> bool:
        """Takes the last step back."""
        self._run(lambda desk: desk.undo())
        return True

    def redo(self) -> bool:
        """Does the undone step again."""
        self._run(lambda desk: desk.redo())
        return True

    # -- what can be tested

    def turn(self) -> None:
        """Shows the other face."""
        to_tests = self.faces.currentWidget() is not self.tests
        self.faces.setCurrentWidget(self.tests if to_tests else self.split)
        self.face_button.setText(_("Back to the list") if to_tests else _("What can I test?"))
        if to_tests:
            self._ask()
            self.tests.maps.setFocus()
        else:
            self.list.setFocus()

    def _ask(self) -> None:
        if self.context.book.state != "open":
            return
        family = " ".join(self.tests.family.text().split())

        def work(session: "Session", _control: object) -> "tuple[MapTests, ...]":
            from kbapp.app.testable import map_tests

            missing = session.kit().missing(family)
            return tuple(map_tests(section_map, missing) for section_map in session.all_maps() if section_map.tests)

        self._testing.ask(self.context.book.bound(work), self.tests.show_found, self._failed)

    # -- the frame's questions

    def arrive(self, value: object) -> None:
        """Takes in what was changed elsewhere; ``"tests"`` shows what can be tested."""
        self._load()
        if value == "tests" and self.faces.currentWidget() is not self.tests:
            self.turn()

    def leave(self) -> bool:
        """Turns back to the list."""
        if self.faces.currentWidget() is self.tests:
            self.turn()
            return True
        return False

    def first(self) -> QWidget:
        """Returns the list."""
        return self.tests.maps if self.faces.currentWidget() is self.tests else self.seek

    def panes(self) -> tuple[QWidget, ...]:
        """Returns list and line, or maps and tests."""
        if self.faces.currentWidget() is self.tests:
            return (self.tests.maps, self.tests.tests)
        return (self.seek, self.list, self.form.first())


def _today() -> date:
    return date.today()  # noqa: DTZ011 - the day on the wall of the shop
