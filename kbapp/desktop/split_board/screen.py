"""The Split Board: one open case beside the vehicle. Every step is recorded at once; advice follows on a worker."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import QStackedWidget, QWidget

from kbapp.desktop.context import Context
from kbapp.desktop.keys import action
from kbapp.desktop.reading.case_head import case_title
from kbapp.desktop.screens import Screen
from kbapp.desktop.split_board.attaching import Attaching
from kbapp.desktop.split_board.board_drafts import BoardDrafts
from kbapp.desktop.split_board.board_head import BoardHead
from kbapp.desktop.split_board.commands import BoardMenu
from kbapp.desktop.split_board.concern_strip import ConcernStrip
from kbapp.desktop.split_board.desk import BoardDesk
from kbapp.desktop.split_board.file_page import FilePage
from kbapp.desktop.split_board.flow_pane import FlowPane
from kbapp.desktop.split_board.form import NEW, FormScene
from kbapp.desktop.split_board.layout import BoardLayout
from kbapp.desktop.split_board.lines_hand import LinesHand
from kbapp.desktop.split_board.map_chooser import MapChooser
from kbapp.desktop.split_board.picker import Picker
from kbapp.desktop.split_board.prepared import Prepared
from kbapp.desktop.split_board.record_panel import RecordPanel, kind_words
from kbapp.desktop.split_board.timeline_pane import TimelinePane
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.note import Note
from kbapp.i18n import _
from kbapp.records.case import Attachment, Cause, Correction
from kbapp.records.section_map import SectionMap
from kbapp.records.timeline import TimelineEntry
from kbapp.wording.board import numbers
from kbapp.wording.case_words import vehicle_words

if TYPE_CHECKING:
    from kbapp.app.board import BoardView


class SplitBoard(Screen):
    """The board of one case, or the open cases to pick one. ``settled`` is sent when all that follows is shown."""

    settled = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__(context, _("Split Board"))
        theme = context.theme
        self.desk = BoardDesk(context.book, context.tasks, self)
        self.drafts = BoardDrafts(context.book, self)
        self._fresh = True
        self._whole = False
        self._scene_map: SectionMap | None = None
        self.strip = ConcernStrip(theme)
        self.picker = Picker(theme, context.book, context.tasks)
        self.layout_ = BoardLayout(
            theme, FlowPane(theme), TimelinePane(theme), RecordPanel(theme, self.drafts), MapChooser(theme),
            FilePage(theme, context.book),
        )  # fmt: skip
        self.flow, self.timeline, self.panel = self.layout_.flow, self.layout_.timeline, self.layout_.panel
        self.side, self.possible = self.layout_.side, self.layout_.possible
        self.lines = LinesHand(self.desk, self.timeline, self)
        self.attaching = Attaching(theme, context.book, self.desk, self, lambda: self.timeline.current)
        self.stack = QStackedWidget()
        self.stack.addWidget(self.picker)
        self.stack.addWidget(self.layout_)
        self.body.addWidget(self.strip)
        self.body.addWidget(self.stack, 1)
        self._add_head()
        self._connect()
        theme.changed.connect(self._rearrange)
        self._show_case(shown=False)

    def _add_head(self) -> None:
        self.buttons = BoardHead(self.context.theme, self.head, {
            "whole": self._toggle_whole, "undo": self.undo, "redo": self.redo, "more": self.open_menu,
            "look": self.look_first, "record": lambda: self.record("test"),
        })  # fmt: skip
        self.menu = BoardMenu(self, {
            "board-test": lambda: self.record("test"), "board-part": lambda: self.record("part"),
            "board-finding": lambda: self.record("finding"), "board-service": lambda: self.record("service"),
            "board-note": lambda: self.record("note"), "board-repaired": lambda: self.record("repair"),
            "board-map": self.choose_map, "board-look": self.look_first, "board-attach": self.attaching.choose,
            "board-guard": self.to_guard, "board-cases": self.put_down,
        })  # fmt: skip
        action("record", self, self._submit)

    def _connect(self) -> None:
        book, desk = self.context.book, self.desk
        book.opened.connect(self._book_opened)
        book.changed.connect(lambda _changes: self.picker.load() if not self.desk.case_id else None)
        desk.shown.connect(self._show_view)
        desk.advised.connect(self._show_outlook)
        desk.kin.connect(self.side.show_kin)
        desk.recorded.connect(lambda: self.head.kept.say("recorded"))
        for failing in (desk, self.drafts, self.picker, self.attaching, self.layout_.files):
            failing.failed.connect(self._failed)
        self.picker.chosen.connect(self.open_case)
        self.drafts.kept.connect(lambda: self.head.kept.say("draft"))
        self.drafts.found.connect(self._offer_draft)
        self.attaching.refused.connect(lambda words: self._say("guard", "caution", words))
        self.attaching.offered.connect(self.notes.put)
        self.flow.pressed.connect(self.possible.list.pick_section)
        self.flow.map_wanted.connect(self._take_map)
        self.flow.all_wanted.connect(self.choose_map)
        self.possible.list.section_picked.connect(self.flow.flow.page.choose)
        self.side.test_wanted.connect(self.run_test)
        self.side.unable_wanted.connect(lambda test: self.run_test(test, unable=True))
        self.side.off_wanted.connect(lambda entry: self.desk.step(lambda work: work.take_off(entry)))
        self.side.kin_wanted.connect(self._read_kin)
        self.side.section_wanted.connect(self.possible.list.pick_section)
        self.lines.form_wanted.connect(self._correct)
        self.lines.test_wanted.connect(self.run_test)
        self.lines.files_wanted.connect(self._show_files)
        self.panel.ready.connect(self._record)
        self.panel.repaired.connect(self._repaired)
        self.panel.closed.connect(self._to_board)
        self.panel.test.test_changed.connect(lambda _test: self._stand_buttons())
        for page in (self.layout_.chooser, self.layout_.files):
            page.closed.connect(self._to_board)
        self.layout_.chooser.chosen.connect(self._take_map)

    # -- which case

    def _book_opened(self) -> None:
        if self.desk.case_id:
            self.desk.open(self.desk.case_id)
        else:
            self.picker.load()

    def open_case(self, case_id: str) -> None:
        """Takes a case in hand."""
        if case_id == self.desk.case_id and self.desk.view is not None:
            return
        self.drafts.flush()
        self.lines.state.clear()
        self._fresh, self._whole = True, False
        self.head.kept.clear()
        self.notes.put(None)
        self.side.clear()
        if self.context.book.state == "open":
            self.desk.open(case_id)
        else:
            self.desk.case_id = case_id

    def put_down(self) -> None:
        """Goes back to the open cases."""
        self.drafts.flush()
        self.desk.leave()
        self._show_case(shown=False)
        self.picker.load()
        self.picker.list.setFocus()

    def _show_case(self, *, shown: bool) -> None:
        self.stack.setCurrentWidget(self.layout_ if shown else self.picker)
        self.strip.setVisible(shown and not self.layout_.across)
        self._stand_buttons()
        self.menu.allow(case=shown)
        if not shown:
            self.head.set_title(_("Split Board"))
            self.head.set_remark(_("Take a case in hand: it is worked here, beside the vehicle"))

    # -- showing

    def _show_view(self, view: "BoardView") -> None:
        fresh, info = self._fresh, self.context.book.info
        self.lines.author = info.author if info is not None else ""
        self.head.set_title(case_title(view.case))
        title = view.section_map.title if view.section_map is not None else _("no section map")
        self.head.set_remark(". ".join(filter(None, (vehicle_words(view.case.vehicle), title))))
        self.strip.show_case(view.case)
        self._show_case(shown=True)
        self.buttons.undo.setEnabled(view.can_undo)
        self.buttons.redo.setEnabled(view.can_redo)
        self.flow.show_view(view, upright=self.layout_.upright)
        self._stand(view)
        self.timeline.show_view(view, self.lines.state.marks)
        if fresh or view.section_map != self._scene_map:
            self._scene_map = view.section_map
            self.panel.show_scene(self._scene())
        self.lines.show()
        if fresh:
            self._to_board(focus=False)
            self.drafts.search(view.case.id)
            if self.window().isActiveWindow():
                self.first().setFocus()

    def _scene(self) -> FormScene:
        view, outlook = self.desk.view, self.desk.outlook
        assert view is not None
        advice = outlook.advice if outlook is not None else None
        if advice is not None and (view.section_map is None or advice.section_map.id != view.section_map.id):
            advice = None
        return FormScene(view.case, view.section_map, advice, view.currency, view.nested)

    def _show_outlook(self, prepared: Prepared) -> None:
        view, outlook = self.desk.view, prepared.outlook
        if view is None or outlook.revision != view.view.revision:
            return
        fresh, self._fresh = self._fresh, False
        self.lines.state.take(view.case, outlook.judgements, fresh=fresh)
        advice = outlook.advice
        if advice is not None:
            rows = prepared.sections
            lines = sorted({line for row in rows for line in (*row.lines_for, *row.lines_against)})
            ticks = _("ticks at 5 and 70 %")
            remark = _("after lines {lines}; {ticks}").format(lines=numbers(lines), ticks=ticks) if lines else ticks
            self.possible.head.set_text(_("Still possible"), remark)
            self.possible.list.show_rows(rows, fold=self.layout_.folds)
            self.flow.show_picture(rows, prepared.gates)
        self.timeline.show_view(view, self.lines.state.marks)
        self.lines.show()
        # the rest in turns of its own, so that no turn of the window's loop is long
        QTimer.singleShot(0, self, lambda: self._show_next(prepared, fresh=fresh))

    def _show_next(self, prepared: Prepared, *, fresh: bool) -> None:
        if self.desk.outlook is not prepared.outlook:
            return
        self.side.show_outlook(prepared)
        QTimer.singleShot(0, self, lambda: self._show_forms(prepared, fresh=fresh))

    def _show_forms(self, prepared: Prepared, *, fresh: bool) -> None:
        if self.desk.outlook is not prepared.outlook or self.desk.view is None:
            return
        self.panel.show_scene(self._scene())
        if self.layout_.across and fresh:
            self._to_board(focus=False)
        self.settled.emit()

    # -- recording

    def record(self, kind: str) -> None:
        """Opens the form of a kind of line; for a test the best next one."""
        if self.desk.view is None:
            return
        if kind == "test" and not self.panel.test.to_draft():
            self._choose_test(self.side.next.current)
        self._open_panel(kind)

    def _choose_test(self, test: str) -> None:
        if self.panel.test.correcting is not None:
            self.panel.begin("test")
        self.panel.test.choose(test)
        self.panel.test.use_best_way()

    def run_test(self, test: str, *, unable: bool = False) -> None:
        """Opens the form of a test of the map."""
        if self.panel.test.chosen != test or not self.panel.test.to_draft():
            self._choose_test(test)
        self._open_panel("test")
        if unable:
            self.panel.refuse(_("Say why it cannot be run, then press “Can’t run it”."))
            self.panel.test.why.setFocus()

    def _open_panel(self, kind: str, entry: TimelineEntry | None = None) -> None:
        self.panel.begin(kind, entry)
        self.layout_.show_page(self.panel)
        self._whole = False
        self._stand_buttons()
        self.panel.current.first().setFocus()

    def _record(self, entry: TimelineEntry) -> None:
        kind = entry.kind
        started = self.desk.step(
            lambda work: work.record(entry) if entry.id == NEW else work.correct(entry), lambda: self._recorded(kind)
        )
        if not started:
            self.panel.refuse(_("The line before is still being recorded. Press again in a moment."))

    def _recorded(self, kind: str) -> None:
        self.panel.recorded(kind)
        self._to_board()

    def _repaired(self, cause: Cause, correction: Correction) -> None:
        self.desk.step(lambda work: work.repaired(cause, correction), lambda: self._recorded("repair"))

    def _to_board(self, *, focus: bool = True) -> None:
        if self.layout_.across and not self._whole:
            if not self.panel.test.to_draft():
                self._choose_test(self.side.next.current)
            self.panel.show_kind("test")
            self.layout_.show_page(self.panel)
        else:
            self.layout_.show_page(self.layout_.left)
        self._stand_buttons()
        if focus:
            self.first().setFocus()

    def _toggle_whole(self) -> None:
        self._whole = not self._whole
        self._to_board()

    def _stand_buttons(self) -> None:
        page, across = self.layout_.page, self.layout_.across
        self.buttons.stand(
            case=self.stack.currentWidget() is self.layout_, board=page is self.layout_.left,
            one_test=page is self.panel, across=across, upright=self.layout_.upright,
        )  # fmt: skip

    def _correct(self, entry: TimelineEntry, purpose: bool) -> None:  # noqa: FBT001 - the signal's argument
        self._open_panel(entry.kind, entry)
        if purpose:
            self.panel.part.purpose.setFocus()

    def _show_files(self, files: tuple[Attachment, ...]) -> None:
        self.layout_.files.show_files(files)
        self.layout_.show_page(self.layout_.files)
        self._stand_buttons()
        self.layout_.files.close_button.setFocus()

    def _submit(self) -> None:
        if self.layout_.page is self.panel and self.desk.view is not None:
            self.panel.submit()

    def to_guard(self) -> None:
        """Goes to what the guard says."""
        self._whole = True
        self.layout_.show_page(self.layout_.left)
        self._stand_buttons()
        self.lines.open_guard()

    # -- the map, Look First, other screens

    def choose_map(self) -> None:
        """Shows every section map."""
        view = self.desk.view
        if view is None:
            return

        def done(maps: tuple[SectionMap, ...]) -> None:
            self.layout_.chooser.show_maps(maps, view)
            self.layout_.show_page(self.layout_.chooser)
            self._stand_buttons()
            self.layout_.chooser.list.setFocus()

        self.context.book.run("read", self, lambda session, _control: session.all_maps(), done, self._failed)

    def _take_map(self, section_map: SectionMap | None) -> None:
        self.desk.step(lambda work: work.choose_map(section_map), self._to_board)

    def look_first(self) -> None:
        """Asks Look First with everything the case knows."""
        from kbapp.app.board import question_of

        if self.desk.view is not None:
            self.context.go("look", question_of(self.desk.view.case, limit=20))

    def _read_kin(self, case_id: str) -> None:
        def done(number: str) -> None:
            self.context.go("look", number)

        self.context.book.run(
            "read", self, lambda session, _control: session.case(case_id).case.number or case_id, done, self._failed
        )

    # -- notes

    def _failed(self, error: Exception) -> None:
        self.context.presenter.show(error, self.notes)
        if not self.desk.case_id or self.desk.view is None:
            self.desk.leave()
            self._show_case(shown=False)
            self.picker.load()

    def _say(self, icon: str, tone: str, words: str) -> None:
        close = Button(self.context.theme, _("Close this note"), "quiet")
        close.clicked.connect(lambda: self.notes.put(None))
        self.notes.put(Note(self.context.theme, icon, tone, words, "", [close]))  # type: ignore[arg-type]

    def _offer_draft(self, key: str, kind: str, values: dict[str, object]) -> None:
        case_id = self.desk.case_id
        take = Button(self.context.theme, _("Go on with it"), "primary")
        drop = Button(self.context.theme, _("Throw it away"), "danger")

        def go_on() -> None:
            self.notes.put(None)
            self.drafts.take_up(case_id, kind, key)
            self.panel.take_up(kind, values)
            self.layout_.show_page(self.panel)
            self._stand_buttons()
            self.panel.current.first().setFocus()

        def throw_away() -> None:
            self.notes.put(None)
            self.drafts.throw_away(key)

        take.clicked.connect(go_on)
        drop.clicked.connect(throw_away)
        fact = _("A line was begun here and never recorded: {kind}").format(kind=kind_words(kind))
        words = " ".join(str(value) for value in values.values() if isinstance(value, str) and len(value) > 2)
        self.notes.put(Note(self.context.theme, "jot", "info", fact, words[:160], [take, drop]))

    # -- the frame's questions

    def arrive(self, value: object) -> None:
        """Takes the id of a case, or nothing."""
        if isinstance(value, str) and value:
            self.open_case(value)
        elif not self.desk.case_id:
            self.picker.load()

    def undo(self) -> bool:
        """Takes the last step back."""
        view = self.desk.view
        if view is not None and view.can_undo:
            self.desk.step(lambda work: work.undo())
        return view is not None

    def redo(self) -> bool:
        """Does the last undone step again."""
        view = self.desk.view
        if view is not None and view.can_redo:
            self.desk.step(lambda work: work.redo())
        return view is not None

    def open_menu(self) -> None:
        """Opens what can be done with the case."""
        self.menu.popup(self.buttons.more.mapToGlobal(self.buttons.more.rect().bottomLeft()))

    def first(self) -> QWidget:
        """Returns where the keyboard starts."""
        if self.stack.currentWidget() is self.picker:
            return self.picker.list
        if self.layout_.page is self.panel:
            return self.panel.current.first()
        return self.timeline.list

    def panes(self) -> tuple[QWidget, ...]:
        """Returns flow, timeline, guard, sections and next tests."""
        nodes = tuple(self.flow.flow.page.nodes.values())[:1]
        guard = (self.timeline.card.first(),) if self.timeline.card.isVisible() else ()
        side = self.side.first_list()
        rest = (side,) if side is not None else ()
        if self.layout_.page is self.panel:
            return (self.panel.current.first(), self.possible.list, *rest)
        return (*nodes, self.timeline.list, *guard, self.possible.list, *rest)

    def leave(self) -> bool:
        """Leaves a form, the chooser, the files, or the reason for the guard."""
        if self.stack.currentWidget() is self.picker:
            return False
        if self.layout_.page is not self.layout_.left and not self.layout_.across:
            self._to_board()
            return True
        return self.timeline.card.leave()

    def closing(self) -> None:
        """Keeps what is typed."""
        self.drafts.leave()

    def keep(self) -> dict[str, object]:
        """Returns the case in hand and the widths of the panes."""
        return {**self.layout_.keep(), "case": self.desk.case_id}

    def restore(self, kept: dict[str, object]) -> None:
        """Takes over case and widths."""
        self.layout_.restore(kept)
        case_id = kept.get("case")
        if isinstance(case_id, str) and case_id:
            self.open_case(case_id)

    # -- room

    def _rearrange(self) -> None:
        view = self.desk.view
        if view is None:
            return
        self.flow.show_view(view, upright=self.layout_.upright)
        self._stand(view)
        self._show_case(shown=True)
        self.possible.list.refold(fold=self.layout_.folds)
        self.lines.show()
        if self.layout_.across and self.layout_.page is self.layout_.left and not self._whole:
            self._to_board(focus=False)
        self._stand_buttons()

    def _stand(self, view: "BoardView") -> None:
        self.panel.set_compact(compact=self.layout_.across)
        self.lines.set_as_bars(bars=self.layout_.upright)
        sections = len(view.section_map.sections) + 1 if view.section_map is not None else 0
        self.layout_.arrange(has_map=view.section_map is not None, sections=sections)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lets the panes stand as there is room."""
        super().resizeEvent(event)
        self._rearrange()

    def showEvent(self, event: QShowEvent) -> None:
        """Lets the panes stand as there is room."""
        super().showEvent(event)
        self._rearrange()
