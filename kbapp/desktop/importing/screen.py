"""Bring old records in: a table with its columns, or pasted notes; seen first, then recorded as one."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QWidget

from kbapp.app.views import ChangeSet
from kbapp.desktop.context import Context
from kbapp.desktop.forms.field_grid import FieldGrid, Inset
from kbapp.desktop.forms.form_page import FormPage
from kbapp.desktop.forms.full_lines import title_list
from kbapp.desktop.forms.labelled import Labelled
from kbapp.desktop.forms.suggest_edit import LineEdit
from kbapp.desktop.importing.batch_list import BatchList
from kbapp.desktop.importing.columns import Columns
from kbapp.desktop.keys import action
from kbapp.desktop.screens import Screen
from kbapp.desktop.tasks import Latest
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.choice import Choice
from kbapp.desktop.widgets.fields import RuledEdit
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.note import Note
from kbapp.desktop.widgets.title_lines import TitleLine
from kbapp.i18n import _, ngettext
from kbapp.records.case import Case
from kbapp.records.fault import Fault
from kbapp.records.private import PrivateDetails
from kbapp.wording import fault_sentence
from kbapp.wording.case_words import vehicle_words
from kbapp.wording.terms import term

if TYPE_CHECKING:
    from kbapp.app.batches import BatchUndone
    from kbapp.app.importing import ImportPlan
    from kbapp.app.pasting import NotesPlan
    from kbapp.app.session import Session
    from kbapp.app.tables import Table

SHOWN = 40
"""Cases and faults of a preview that are listed; all of them count."""
PREVIEW_MS = 300


class ImportScreen(Screen):
    """The page of an import."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, _("Bring old records in"), _("Nothing is recorded before you have seen it."))
        theme = context.theme
        self._cases: tuple[Case, ...] = ()
        self._private: Mapping[str, PrivateDetails] = {}
        self._table: Table | None = None
        self._planning = Latest(context.tasks, self)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(PREVIEW_MS)
        self._timer.timeout.connect(self._plan_notes)
        self.record_button = Button(theme, _("Bring them in"), "primary", "tick")
        self.record_button.clicked.connect(self.record)
        back = Button(theme, _("Back"), "plain", "left")
        back.clicked.connect(lambda: self.window().leave())  # type: ignore[attr-defined]
        self.head.add(back)
        self.head.add(self.record_button)
        self.page = FormPage(theme, _("Old records"))
        self._build()
        self.body.addWidget(self.page, 1)
        self._connect()
        self._choose("table")
        self._show_plan((), (), {})

    def _build(self) -> None:
        theme = self.context.theme
        self.way = Choice(theme, _("Where from"), {"table": _("A spreadsheet (CSV)"), "notes": _("Pasted notes")})
        self.page.add(FieldGrid(theme, [Labelled(theme, _("Where from"), self.way, wide=True)], most=1))
        self.path = LineEdit(theme, _("File"), _("path of the CSV file"))
        self.browse_button = Button(theme, _("Choose a file"), "plain", "folder")
        row = QWidget()
        line = QHBoxLayout(row)
        line.setContentsMargins(3, 0, 3, 3)
        line.addWidget(self.path, 1)
        line.addWidget(self.browse_button)
        self.file_head = SectionHead(theme, _("The table"), _("saved as CSV; comma, semicolon or tab"))
        self.file_row = Inset(theme, row)
        self.columns = Columns(theme)
        self.notes_head = SectionHead(theme, _("The notes"), _("a blank line between two of them"))
        self.text = RuledEdit(
            theme, _("Pasted notes"), _("concern, vehicle, tried, split, fixed: a line each"), breaks=True
        )
        self.text_row = Inset(theme, self.text)
        self.plan_head = SectionHead(theme, _("What would be recorded"))
        self.cases = title_list(theme, _("Cases to record"))
        self.faults_head = SectionHead(theme, _("What is left out"))
        self.faults = title_list(theme, _("Faults"))
        self.batches = BatchList(theme)
        for widget in (
            self.file_head, self.file_row, self.columns, self.notes_head, self.text_row, self.faults_head, self.faults,
            self.plan_head, self.cases, self.batches,
        ):  # fmt: skip
            self.page.add(widget)

    def _connect(self) -> None:
        self.way.chosen.connect(self._choose)
        self.path.done.connect(self.open_file)
        self.path.go_on.connect(lambda: self.open_file(self.path.text()))  # a file put right is read again
        self.browse_button.clicked.connect(self._browse)
        self.columns.changed.connect(self._plan_table)
        self.text.textChanged.connect(self._timer.start)
        self.batches.undo_wanted.connect(self._undo)
        action("record", self, self.record)

    def _choose(self, way: str) -> None:
        self.way.show_chosen(way)
        table = way == "table"
        for widget in (self.file_head, self.file_row):
            widget.setVisible(table)
        self.columns.setVisible(table and bool(self.columns.picks))
        for widget in (self.notes_head, self.text_row):
            widget.setVisible(not table)
        if table:
            self._plan_table()
        else:
            self._plan_notes()

    # -- a table

    def _browse(self) -> None:
        name, _kind = QFileDialog.getOpenFileName(self, _("Choose a table"), "", _("Tables (*.csv *.tsv *.txt)"))
        if name:
            self.path.put(name)
            self.open_file(name)

    def open_file(self, text: str) -> None:
        """Opens a table and shows its columns."""
        if not text.strip():
            return

        def work(_control: object) -> "Table":
            from kbapp.app.tables import open_table

            return open_table(Path(text.strip()).expanduser())

        self._planning.ask(work, self._show_table, self._failed)

    def _show_table(self, table: "Table") -> None:
        again = self._table is not None and self._table.path == table.path
        self._table = table
        self.notes.put(None)
        rows = ngettext("{n} row", "{n} rows", table.rows).format(n=table.rows)
        columns = ngettext("{n} column", "{n} columns", len(table.columns)).format(n=len(table.columns))
        self.file_head.set_text(_("The table"), _("{rows}, {columns}").format(rows=rows, columns=columns))
        self.columns.show_columns(table.columns, again=again)
        self.columns.show()
        self._plan_table()
        first = next(iter(self.columns.picks.values()), None)
        if first is not None:
            first.setFocus()

    def _plan_table(self) -> None:
        table, mapping = self._table, self.columns.mapping()
        if table is None or self.context.book.state != "open":
            self._show_plan((), (), {})
            return
        if "concern" not in mapping:
            self._show_plan((), (), {})
            self.plan_head.set_text(_("What would be recorded"), _("nothing yet: say which column is the concern"))
            return

        def done(plan: "ImportPlan") -> None:
            self._show_plan(plan.cases, plan.faults, plan.private)

        self._planning.ask(
            self.context.book.bound(lambda session, _control: session.plan_import(table.path, mapping, only=True)),
            done,
            self._failed,
        )

    # -- notes

    def _plan_notes(self) -> None:
        text = self.text.toPlainText()
        if self.context.book.state != "open":
            return

        def done(plan: "NotesPlan") -> None:
            if text == self.text.toPlainText():
                self._show_plan(plan.cases, plan.faults, {})

        self._planning.ask(
            self.context.book.bound(lambda session, _control: session.plan_notes(text)), done, self._failed
        )  # fmt: skip

    # -- the preview

    def _show_plan(self, cases: Sequence[Case], faults: Sequence[Fault], private: Mapping[str, PrivateDetails]) -> None:
        self._cases, self._private = tuple(cases), private
        self.cases.show_rows([_case_line(n, case) for n, case in enumerate(self._cases[:SHOWN])])
        self.faults.show_rows([TitleLine(str(n), fault_sentence(f), "", "guard") for n, f in enumerate(faults[:SHOWN])])
        self.faults_head.setVisible(bool(faults))
        rows = len({fault.path.split(":")[0] for fault in faults})
        out = ngettext("{n} row with something to put right", "{n} rows with something to put right", rows)
        self.faults_head.set_text(_("What is left out"), out.format(n=rows))
        count = len(self._cases)
        words = ngettext("{n} case", "{n} cases", count).format(n=f"{count:,}")
        first = _("{cases}, the first {n}").format(cases=words, n=SHOWN) if count > SHOWN else words
        self.plan_head.set_text(_("What would be recorded"), first if count else _("nothing yet"))
        self.record_button.setEnabled(bool(count))
        if count and rows:
            put = _("Bring {n} in, leave {m} out").format(n=f"{count:,}", m=rows)
        else:
            put = _("Bring {n} in").format(n=f"{count:,}") if count else _("Bring them in")
        self.record_button.setText(put)

    def _failed(self, error: Exception) -> None:
        self._show_plan((), (), {})
        self.context.presenter.show(error, self.notes)

    # -- recording

    def record(self) -> None:
        """Records what the preview shows, as one."""
        cases, private = self._cases, self._private
        if not cases or not self.record_button.isEnabled():
            return
        self.record_button.setEnabled(False)

        def failed(error: Exception) -> None:
            self.record_button.setEnabled(True)
            self.context.presenter.show(error, self.notes)

        self.context.book.change(self, lambda session: session.import_cases(cases, private), self._recorded, failed)

    def _recorded(self, changes: ChangeSet) -> None:
        self.say_kept("recorded")
        self._table = None
        self.path.put("")
        self.text.clear()
        self.columns.show_columns(())
        self.columns.hide()
        self._show_plan((), (), {})
        count = len(changes.cases)
        undo = Button(self.context.theme, _("Take it out again"), "danger")
        undo.clicked.connect(lambda: self._undo(changes.batch))
        look = Button(self.context.theme, _("Show it in Look First"), "plain", "look")
        look.clicked.connect(lambda: self.context.go("look", None))
        fact = ngettext("{n} case was brought in", "{n} cases were brought in", count).format(n=f"{count:,}")
        hint = _("They are searchable now. What their words could become is suggested when you open one.")
        self.notes.put(Note(self.context.theme, "tick", "good", fact, hint, [look, undo]))
        self._read_batches()

    def _undo(self, batch_id: str) -> None:
        seen: list[BatchUndone] = []

        def change(session: "Session") -> ChangeSet:
            seen.append(session.undo_batch(batch_id))
            return seen[0].changes

        def done(_changes: ChangeSet) -> None:
            out = ngettext("{n} case was taken out again", "{n} cases were taken out again", seen[0].removed)
            kept = ngettext(
                "{n} case stays: it was worked on since.", "{n} cases stay: they were worked on since.", seen[0].kept
            )
            hint = kept.format(n=seen[0].kept) if seen[0].kept else _("The book is as it was before.")
            self.notes.put(Note(self.context.theme, "back", "info", out.format(n=seen[0].removed), hint))
            self._read_batches()

        self.context.book.change(self, change, done, lambda error: self.context.presenter.show(error, self.notes))

    def _read_batches(self) -> None:
        if self.context.book.state == "open":
            self.context.book.run(
                "read", self, lambda session, _control: session.batches(), self.batches.show_batches, self._failed
            )  # fmt: skip

    # -- the frame's questions

    def arrive(self, value: object) -> None:
        """Shows what was brought in before."""
        self._read_batches()

    def first(self) -> QWidget:
        """Returns the file or the text."""
        return self.path if self.path.isVisible() or not self.text.isVisible() else self.text

    def panes(self) -> tuple[QWidget, ...]:
        """Returns what one writes in, and the lists."""
        return (self.first(), self.cases, self.faults, self.batches.list)


def _case_line(n: int, case: Case) -> TitleLine:
    concern = " ".join(case.concern.text.split())
    cause = case.cause.text if case.cause else case.correction.text if case.correction else ""
    facts = (vehicle_words(case.vehicle), term("state", case.state), " ".join(cause.split()))
    title = f"{case.number}  {concern}" if case.number else concern
    return TitleLine(str(n), title[:200], "  ·  ".join(filter(None, facts))[:200], "concern")
