"""Recording a test: what is to be met, how it is done, readings, and the outcome as buttons that record at once."""

from collections.abc import Iterator

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QWidget

from kbapp.desktop.split_board.checklist import Checklist
from kbapp.desktop.split_board.fields import Choice, Labelled, Tick, Toggle, side_by_side
from kbapp.desktop.split_board.form import NEW, Form, FormScene
from kbapp.desktop.split_board.hold_timer import HoldTimer
from kbapp.desktop.split_board.next_tests import NextList, NextRow, alone, next_rows
from kbapp.desktop.split_board.page_words import PageWords
from kbapp.desktop.split_board.readings_grid import ReadingsGrid
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.fields import RuledEdit, ValueEdit
from kbapp.desktop.widgets.heads import SectionHead
from kbapp.desktop.widgets.labels import TextLabel
from kbapp.i18n import _
from kbapp.isolation.peers import proposed_outcome
from kbapp.records.base import clean_text
from kbapp.records.number_text import read_number
from kbapp.records.section_map import MapTest, SectionMap
from kbapp.records.timeline import TestEntry, TestStatus, TimelineEntry
from kbapp.wording.board import caution_words, first_sentence, other_way_words, peer_words
from kbapp.wording.case_words import unit_words
from kbapp.wording.terms import terms

FREE = ""
HELD = ("command", "block")
"""Kinds of tests whose actuator may be held only for seconds."""


class TestForm(Form):
    """A test of the map, or one in free words. ``test_changed`` is sent when another test is chosen."""

    __test__ = False  # not a test case for pytest
    kind = "test"
    test_changed = Signal(str)

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme)
        self._test: MapTest | None = None
        self.which = Choice(theme, _("Which test"))
        self._compact = False
        self._aside: dict[str, dict[str, object]] = {}
        self.now = NextList(theme)
        self.name = ValueEdit(theme, _("Test in your own words"))
        self.name.setPlaceholderText(_("what was tested"))
        self.splits = ValueEdit(theme, _("What it parts from the rest"))
        self.splits.setPlaceholderText(_("such as: feed side, left front"))
        self.source = Toggle(theme, _("Who ran it"), terms("source"))
        self.way = Choice(theme, _("How it is run"))
        self.cautions = PageWords(theme, _("Cautions"), "guard", "caution", "caution_wash")
        self.more_cautions = Button(theme, "", "quiet", "guard")
        self.more_cautions.setCheckable(True)
        self.conditions_head = SectionHead(theme, _("Conditions"), _("not met: the result counts less"))
        self.conditions = Checklist(theme)
        self.steps = PageWords(theme, _("Steps"), "note", "ink2")
        self.timer_button = Button(theme, _("Hold timer"), "quiet", "clock")
        self.timer = HoldTimer(theme)
        self.readings_head = SectionHead(theme, _("Readings"))
        self.readings = ReadingsGrid(theme)
        self.peers = PageWords(theme, _("Comparison"), "info", "info", "info_wash")
        self.limits = TextLabel(theme, "", "small", "ink2", wrap=True)
        self.repeats = Choice(theme, _("An earlier result of this test"))
        self.minutes = ValueEdit(theme, _("Minutes it took"))
        self.stays = Tick(theme, _("Something stays on the vehicle"))
        self.why = ValueEdit(theme, _("Why it is unclear or cannot be run"))
        self.text = RuledEdit(theme, _("Notes"), _("anything that mattered"))
        self.outcome = ValueEdit(theme, _("Outcome in your own words"))
        self.outcome.setPlaceholderText(_("what it showed"))
        self.outcome_buttons: dict[str, Button] = {}
        self.unclear_button = Button(theme, _("Unclear"))
        self.unable_button = Button(theme, _("Can’t run it"), "plain", "unable")
        self.record_button = Button(theme, _("Record"), "primary", "tick")
        self._lay_out()
        self._connect()

    def _lay_out(self) -> None:
        theme, pad = self.theme, self.theme.look.metrics.pad
        self.free = side_by_side(
            theme, Labelled(theme, _("Test"), self.name), Labelled(theme, _("Splits"), self.splits)
        )
        self.free_outcome = side_by_side(theme, Labelled(theme, _("Outcome"), self.outcome))
        self.limits.setContentsMargins(pad + 2, 0, pad, 2)
        self.repeat_row = side_by_side(theme, Labelled(theme, _("An earlier result of this test"), self.repeats))
        self.why_row = side_by_side(
            theme, Labelled(theme, _("Why, where it is unclear or cannot be run"), self.why),
            Labelled(theme, _("Minutes it took"), self.minutes), first=3,
        )  # fmt: skip
        self.notes_row = side_by_side(theme, self.text)
        self.choose_row = side_by_side(
            theme, Labelled(theme, _("Test"), self.which), Labelled(theme, _("Way"), self.way), first=2
        )
        for widget in (
            self.now, self.choose_row, self.free, self.source, self.cautions, self.more_cautions,
            self.conditions_head, self.conditions,
            self.readings_head, self.readings, self.limits, self.peers, self.timer_button, self.timer, self.steps,
            self.free_outcome, self.repeat_row, self.stays, self.why_row, self.notes_row,
        ):  # fmt: skip
            self.column.addWidget(widget)
        self.column.setAlignment(self.timer_button, Qt.AlignmentFlag.AlignLeft)
        self.column.addStretch()

    def _connect(self) -> None:
        self.which.currentIndexChanged.connect(lambda _n: self._chosen())
        self.way.currentIndexChanged.connect(lambda _n: self._way_changed())
        self.source.changed.connect(lambda _v: self._write())
        self.conditions.changed.connect(self._write)
        self.readings.changed.connect(self._read)
        for edit in (self.name, self.splits, self.minutes, self.why, self.outcome):
            edit.textChanged.connect(self._write)
        self.text.textChanged.connect(self._write)
        self.stays.toggled.connect(lambda _on: self._write())
        self.repeats.currentIndexChanged.connect(lambda _n: self._write())
        self.more_cautions.toggled.connect(lambda _on: self._show_cautions())
        self.timer_button.clicked.connect(lambda: self.timer.setVisible(self.timer.isHidden()))
        self.text.go_on.connect(lambda: self.foot.setFocus())
        self.unclear_button.clicked.connect(lambda: self._send("unclear", ""))
        self.unable_button.clicked.connect(lambda: self._send("unable", ""))
        self.record_button.clicked.connect(self.submit)
        self.outcome.returnPressed.connect(self.submit)

    # -- which test

    def set_compact(self, *, compact: bool) -> None:
        """Shows one test alone: what it tells, its checklist, its readings; everything else stays behind the desk."""
        if compact != self._compact:
            self._compact = compact
            self._stand()

    def _stand(self) -> None:
        test, compact = self._test, self._compact and self._test is not None
        rows: tuple[NextRow, ...] = ()
        if compact and test is not None and self.scene is not None and self.scene.advice is not None:
            rows = tuple(alone(row) for row in next_rows(self.scene.advice, self.scene.currency) if row.test == test.id)
        self.now.show_rows(rows)
        self.now.setVisible(bool(rows))
        for widget in (
            self.choose_row,
            self.source,
            self.timer_button,
            self.notes_row,
            self.why_row,
            self.readings.row,
        ):
            widget.setVisible(not compact)
        self.conditions_head.setVisible(not compact and test is not None and bool(test.conditions))
        self.readings_head.setVisible(not compact)
        self.steps.setVisible(not compact and bool(self.steps.words()))
        self.readings.show_unit(shown=compact)
        self._show_cautions()

    def show_scene(self, scene: FormScene) -> None:
        """Takes over another state of the case."""
        fresh = self.scene is None or self.scene.section_map != scene.section_map or self.scene.case.id != scene.case.id
        super().show_scene(scene)
        self.which.offer(tuple(self._tests()))
        if fresh or (self._test is None) != (self.which.value == FREE):
            self._chosen()

    def _tests(self) -> Iterator[tuple[str, str]]:
        scene = self.scene
        if scene is None:
            return
        if scene.section_map is not None:
            known = {test.id: test.name for test in scene.section_map.tests}
            ranked = [test.way.test.id for test in scene.advice.ranking.tests] if scene.advice is not None else []
            for test in dict.fromkeys((*(t for t in ranked if t in known), *known)):
                yield test, known[test]
        for inner in scene.nested:
            for test_inside in inner.tests:
                yield test_inside.id, _("{map}: {test}").format(map=inner.title, test=test_inside.name)
        yield FREE, _("A test in free words")

    def _maps(self) -> tuple[SectionMap, ...]:
        scene = self.scene
        if scene is None:
            return ()
        return (*((scene.section_map,) if scene.section_map is not None else ()), *scene.nested)

    def choose(self, test: str) -> None:
        """Shows a test of the map, or (empty) one in free words."""
        self.which.blockSignals(True)
        self.which.choose(test)
        self.which.blockSignals(False)
        self._chosen()

    @property
    def chosen(self) -> str:
        """The test that is shown; empty for one in free words."""
        return self._test.id if self._test is not None else FREE

    def _chosen(self) -> None:
        value = self.which.value
        kept = self._switch(value)
        self._test = next((found for m in self._maps() if value and (found := m.test(value)) is not None), None)
        test = self._test
        self.free.setVisible(test is None)
        self.free_outcome.setVisible(test is None)
        self.stays.setVisible(test is None)
        self.way.offer(tuple(self._ways()))
        self.conditions.show_conditions(test.conditions if test is not None else ())
        self.readings.show_test(test)
        self.readings_head.set_text(_("Readings"), self._repeats_words())
        held = test is not None and test.kind in HELD
        self.timer.setVisible(held)
        self._offer_repeats()
        self._show_outcomes()
        self._way_changed()
        self._read()
        self._stand()
        if kept:
            self._put(kept)
        self._write()
        self.test_changed.emit(self.chosen)

    def _switch(self, test: str) -> dict[str, object]:
        """Puts aside what was typed for the test that is left, and returns what was typed for the one that comes."""
        if test == self.chosen and self.scene is not None:
            return {} if self._blank() else self.to_draft()
        if not self._blank():
            self._aside[self.chosen] = self.to_draft()
            self._clear()
        return self._aside.pop(test, {})

    def _clear(self) -> None:
        for edit in (self.name, self.splits, self.minutes, self.why, self.outcome):
            edit.clear()
        self.text.setPlainText("")
        self.source.choose("own")
        self.stays.setChecked(False)

    def _repeats_words(self) -> str:
        test = self._test
        if test is None or test.repeats < 2:
            return ""
        return _("{n} repeats; Enter goes on to the next").format(n=test.repeats)

    def _ways(self) -> Iterator[tuple[str, str]]:
        yield "", _("As written")
        test, scene = self._test, self.scene
        if test is None:
            return
        if scene is not None and scene.advice is not None:
            ranked = {item.way.test.id: item for item in scene.advice.ranking.tests}
            if test.id in ranked:
                for way in ranked[test.id].choice.ways[1:]:
                    if way.substitute is not None:
                        yield way.substitute.id, other_way_words(way)
                return
        for substitute in test.substitutes:
            yield substitute.id, substitute.name

    def _best_way(self) -> str:
        scene, test = self.scene, self._test
        if scene is None or scene.advice is None or test is None:
            return ""
        best = next((t.way for t in scene.advice.ranking.tests if t.way.test.id == test.id), None)
        return best.substitute.id if best is not None and best.substitute is not None else ""

    def use_best_way(self) -> None:
        """Chooses the way that can be run with the kit there is."""
        self.way.choose(self._best_way())

    def _way_changed(self) -> None:
        test = self._test
        substitute = test.substitute(self.way.value) if test is not None and self.way.value else None
        shown = substitute or test
        self._show_cautions()
        steps = shown.steps if shown is not None else ()
        self.steps.show_words(tuple(_("{n}. {step}").format(n=n, step=step) for n, step in enumerate(steps, 1)))
        self.limits.setText(self._limits_words(test))
        self.limits.setVisible(bool(self.limits.text()))
        self._write()

    def _show_cautions(self) -> None:
        """Shows the cautions of the way chosen, those of the whole map behind a button."""
        test = self._test
        substitute = test.substitute(self.way.value) if test is not None and self.way.value else None
        shown = substitute or test
        section_map = next((m for m in self._maps() if test is not None and m.test(test.id) is test), None)
        own = shown.cautions if shown is not None else ()
        general = tuple(c for c in (section_map.cautions if section_map is not None else ()) if c not in own)
        unfolded = self.more_cautions.isChecked() or not own
        words = tuple(caution_words(name) for name in (*own, *(general if unfolded else ())))
        # alone across the bay the first sentence of each has to do: the checklist is to stay in sight
        self.cautions.show_words(tuple(map(first_sentence, words)) if self._compact else words)
        self.more_cautions.setText(
            _("Fewer cautions") if unfolded else _("{n} more cautions of this map").format(n=len(general))
        )
        self.more_cautions.setVisible(bool(general) and bool(own) and not self._compact)

    def _limits_words(self, test: MapTest | None) -> str:
        plan = test.readings if test is not None else None
        said = []
        for limit in plan.limits if plan is not None else ():
            low = _("at least {value}").format(value=f"{limit.low:g}") if limit.low is not None else ""
            high = _("at most {value}").format(value=f"{limit.high:g}") if limit.high is not None else ""
            figures = " ".join(
                filter(None, (low, high, unit_words(plan.unit) if plan is not None and (low or high) else ""))
            )
            said.append(" ".join(filter(None, (limit.place, figures, f"({limit.source})" if limit.source else ""))))
        return _("Limits: {limits}").format(limits="; ".join(said)) if said else ""

    def _offer_repeats(self) -> None:
        scene, test = self.scene, self._test
        items: list[tuple[str, str]] = []
        if scene is not None and test is not None and self.correcting is None:
            for n, entry in enumerate(scene.case.timeline, 1):
                if isinstance(entry, TestEntry) and entry.test == test.id and entry.status == "done":
                    items.append((f"repeat:{entry.id}", _("repeats line {n}: both count as one result").format(n=n)))
                    items.append((f"supersede:{entry.id}", _("takes the place of line {n}").format(n=n)))
        self.repeats.offer(items)
        self.repeat_row.setVisible(bool(items))

    # -- outcomes

    def _show_outcomes(self) -> None:
        test = self._test
        self.outcome_buttons = {}
        while (item := self.foot.flow.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None and widget not in (self.unclear_button, self.unable_button, self.record_button):
                widget.hide()
                widget.deleteLater()
        for outcome in test.outcomes if test is not None else ():
            button = Button(self.theme, outcome.name[:1].upper() + outcome.name[1:])
            button.clicked.connect(lambda _on=False, o=outcome.id: self._send("done", o))
            self.outcome_buttons[outcome.id] = button
        last = (*self.outcome_buttons.values(), self.unclear_button, self.unable_button)
        for widget in (*last, *((self.record_button,) if test is None else ())):
            self.foot.flow.addWidget(widget)
            widget.show()
        self.record_button.setVisible(test is None)
        self.foot.refit()

    def _read(self) -> None:
        test = self._test
        proposed = ""
        found = proposed_outcome(test, self.readings.readings()) if test is not None else None
        if found is not None and test is not None:
            comparison, proposed = found
            outcome = test.outcome(proposed)
            unit = unit_words(test.readings.unit) if test.readings is not None else ""
            self.peers.show_words((peer_words(comparison, unit, outcome.name if outcome is not None else ""),))
        else:
            self.peers.show_words(())
        for name, button in self.outcome_buttons.items():
            outcome = test.outcome(name) if test is not None else None
            words = outcome.name if outcome is not None else name
            said = _("{outcome}, proposed by the readings").format(outcome=words) if name == proposed else words
            button.setCheckable(name == proposed)
            button.setChecked(name == proposed)
            button.setAccessibleName(said[:1].upper() + said[1:])
        self._write()

    # -- recording

    def _send(self, status: TestStatus, outcome: str) -> None:
        if status == "unable" and not self.why.text().strip():
            self.refused.emit(_("Say why it cannot be run, then press the button again."))
            self.why_row.show()
            self.why.setFocus()
            return
        name = self._test.id if self._test is not None else clean_text(self.name.text(), lines=False)
        if not name:
            self.refused.emit(_("Say what was tested: a name for the test is missing."))
            self.name.setFocus()
            return
        self.ready.emit(self._entry(status, outcome, name))

    def _entry(self, status: TestStatus, outcome: str, name: str) -> TestEntry:
        test, before = self._test, self.correcting
        substitute = test.substitute(self.way.value) if test is not None and self.way.value else None
        kind, _sep, other = self.repeats.value.partition(":") if not self.repeat_row.isHidden() else ("", "", "")
        minutes = read_number(self.minutes.text())
        undone: bool | None = False if test is None and self.stays.isChecked() else None
        earlier = before if isinstance(before, TestEntry) else None
        return TestEntry(
            id=earlier.id if earlier is not None else NEW,
            at=earlier.at if earlier is not None else None,
            by=earlier.by if earlier is not None else "",
            kind="test",
            source="reported" if self.source.value == "reported" else "own",
            test=name[:120],
            isolates=clean_text(self.splits.text(), lines=False)[:500] if test is None else "",
            outcome=outcome or (clean_text(self.outcome.text(), lines=False)[:500] if status == "done" else ""),
            status=status,
            why=clean_text(self.why.text(), lines=False)[:500] if status != "done" else "",
            substitute=substitute.id if substitute is not None else "",
            readings=self.readings.readings(),
            conditions=self.conditions.values(),
            kit=(substitute or test).kit if test is not None else (),
            repeat_of=other if kind == "repeat" else earlier.repeat_of if earlier is not None else None,
            supersedes=other if kind == "supersede" else earlier.supersedes if earlier is not None else None,
            minutes=minutes if minutes is not None and minutes >= 0 else None,
            undone=earlier.undone if earlier is not None and earlier.undone is not None else undone,
            text=clean_text(self.text.toPlainText()),
        )

    def submit(self) -> None:
        """Records the proposed outcome, or what a test in free words showed."""
        proposed = next((name for name, button in self.outcome_buttons.items() if button.isChecked()), "")
        if self._test is not None and not proposed:
            self.refused.emit(_("Press the outcome that was seen; it is recorded at once."))
            next(iter(self.outcome_buttons.values()), self.unclear_button).setFocus()
        elif self._test is None and not self.outcome.text().strip():
            self.refused.emit(_("Say what the test showed, or press Unclear."))
            self.outcome.setFocus()
        else:
            self._send("done", proposed)

    # -- drafts, lines to correct

    def _write(self) -> None:
        self.written.emit()

    def _blank(self) -> bool:
        edits = (self.name, self.splits, self.minutes, self.why, self.outcome)
        typed = any(edit.text().strip() for edit in edits) or bool(self.text.toPlainText().strip())
        return not (typed or self.readings.typed() or self.conditions.values())

    def begin(self, entry: TimelineEntry | None) -> None:
        """Empties the form, or fills it with a line."""
        super().begin(entry)
        self._clear()
        self.readings.show_test(self._test)
        self.conditions.put({})
        self._aside.clear()
        self.timer.stop()
        self.timer.holds = 0
        if isinstance(entry, TestEntry):
            self._fill(entry)
        else:
            self._chosen()

    def _fill(self, entry: TestEntry) -> None:
        known = any(m.test(entry.test) is not None for m in self._maps())
        self.choose(entry.test if known else FREE)
        if not known:
            self.name.setText(entry.test)
        self.splits.setText(entry.isolates)
        self.source.choose(entry.source)
        self.way.choose(entry.substitute)
        self.conditions.put({c.id: c.met for c in entry.conditions if c.met is not None})
        self.readings.put(entry.readings)
        self.minutes.setText(f"{entry.minutes:g}" if entry.minutes is not None else "")
        self.why.setText(entry.why)
        self.text.setPlainText(entry.text)
        self.outcome.setText(entry.outcome if not known else "")
        self.stays.setChecked(entry.undone is False)
        self._read()

    def to_draft(self) -> dict[str, object]:
        """Returns what is typed."""
        if self._blank():
            return {}
        return {
            "test": self.chosen, "name": self.name.text(), "splits": self.splits.text(), "source": self.source.value,
            "way": self.way.value, "minutes": self.minutes.text(), "why": self.why.text(),
            "outcome": self.outcome.text(), "text": self.text.toPlainText(), "stays": self.stays.isChecked(),
            "conditions": {c.id: c.met for c in self.conditions.values()}, "readings": self.readings.to_draft(),
        }  # fmt: skip

    def from_draft(self, kept: dict[str, object]) -> None:
        """Shows what was typed before."""
        self.choose(str(kept.get("test", "")))
        self._put(kept)

    def _put(self, kept: dict[str, object]) -> None:
        for name, edit in (
            ("name", self.name), ("splits", self.splits), ("minutes", self.minutes), ("why", self.why),
            ("outcome", self.outcome),
        ):  # fmt: skip
            edit.setText(str(kept.get(name, "")))
        self.text.setPlainText(str(kept.get("text", "")))
        self.source.choose(str(kept.get("source", "own")))
        self.way.choose(str(kept.get("way", "")))
        self.stays.setChecked(kept.get("stays") is True)
        conditions, readings = kept.get("conditions"), kept.get("readings")
        if isinstance(conditions, dict):
            self.conditions.put({str(name): met for name, met in conditions.items() if isinstance(met, bool)})
        if isinstance(readings, dict):
            self.readings.from_draft(readings)
        self._read()

    def first(self) -> QWidget:
        """Returns the first field to fill."""
        if self._test is None:
            return self.name
        return self.conditions.lines[0].met if self.conditions.lines else next(iter(self.readings.fields.values()))
