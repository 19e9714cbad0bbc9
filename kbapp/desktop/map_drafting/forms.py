"""The pages of the editor: the map itself, one section, one test."""

from collections.abc import Callable
from dataclasses import dataclass, field

from PySide6.QtWidgets import QWidget

from kbapp.app.draft_lines import (
    conditions_of,
    figure_text,
    figures_of,
    part_text,
    parts_of,
    substitute_text,
    substitutes_of,
)  # fmt: skip
from kbapp.app.drafting import Draft, Piece
from kbapp.desktop.forms.chips_field import FlowBox
from kbapp.desktop.forms.field_grid import Inset
from kbapp.desktop.forms.form_page import FormPage
from kbapp.desktop.map_drafting.fields import Fields
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.i18n import _
from kbapp.records.section_map import TEST_KINDS
from kbapp.records.vocabulary import SYSTEMS
from kbapp.wording.drafting import kind_names
from kbapp.wording.terms import term


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """What fields complete from."""

    families: tuple[str, ...] = ()
    kit: tuple[str, ...] = ()
    symptoms: tuple[str, ...] = field(default=())


def page_for(
    theme: Theme,
    draft: Draft,
    piece: Piece,
    words: Vocabulary,
    changed: Callable[[], None],
    rebuild: Callable[[], None],
) -> FormPage:
    """Returns the page of a piece. ``changed`` is called as one types, ``rebuild`` where other fields are needed."""
    page = FormPage(theme, {"map": _("The map"), "section": _("Section"), "test": _("Test")}[piece.kind])
    fields = Fields(theme, draft, page)
    fields.changed.connect(changed)
    if piece.kind == "map":
        _map(page, fields, words)
    elif piece.kind == "section":
        _section(page, fields, draft, piece)
    else:
        _Test(theme, page, fields, draft, piece, rebuild).fill(words)
    return page


def _map(page: FormPage, fields: Fields, words: Vocabulary) -> None:
    systems = [("", _("Not said")), *((system, term("system", system)) for system in SYSTEMS)]
    page.section(
        _("The map"),
        [
            fields.line(("title",), _("Title"), _("the concern it is drawn for"), wide=True),
            fields.pick(("system",), _("System"), systems),
            fields.prior(("not_on_map",), _("Not on this map")),
            fields.words(("symptoms",), _("Symptoms"), _("the first is the main one"), words.symptoms),
            fields.words(("families",), _("Families"), _("blank: all"), words.families),
            fields.sections(("good_first",), _("Sections to prove good before any other")),
        ],
        most=2,
    )
    page.section(_("Notes"), ())
    page.add(fields.lines(("prerequisites",), _("True before the first test, a line each")))
    page.add(fields.lines(("cautions",), _("Cautions for the whole map, a line each")))
    page.add(fields.text(("notes",), _("How to use it")))
    page.add(fields.text(("source",), _("Where its figures come from"), _("common practice, or the source")))


def _section(page: FormPage, fields: Fields, draft: Draft, piece: Piece) -> None:
    at = piece.path
    own = draft.text(*at, "id")
    page.section(
        _("Section"),
        [
            fields.line((*at, "name"), _("Name"), _("as it can stand in a conclusion"), wide=True),
            fields.prior((*at, "prior"), _("How often the fault lies here")),
            fields.sections((*at, "feeds"), _("Leads to"), own),
            fields.sections((*at, "good_first"), _("Sections to prove good before this one"), own),
        ],
        _("a word or a number; the shipped maps add up to 100"),
        most=2,
    )
    parts = [part for part in draft.items(*at, "parts") if isinstance(part, dict)]
    elsewhere = {
        str(part.get("name", "")).casefold(): str(part.get("id"))
        for n in range(len(draft.items("sections")))
        for part in draft.items("sections", n, "parts")
        if n != piece.place
    }
    page.section(_("Parts"), (), _("one a line: name; cost; minutes"))
    page.add(
        fields.ruled(_("Parts"), _("Coolant pump; 120; 90"), part_text(parts), (*at, "parts"),
                     lambda text: parts_of(text, parts, elsewhere))
    )  # fmt: skip
    page.add(fields.text((*at, "note"), _("Note")))


class _Test:
    """Fills the page of a test."""

    def __init__(
        self, theme: Theme, page: FormPage, fields: Fields, draft: Draft, piece: Piece, rebuild: Callable[[], None]
    ) -> None:
        self._theme, self._page, self._fields, self._draft = theme, page, fields, draft
        self._piece, self._at, self._rebuild = piece, piece.path, rebuild

    def fill(self, words: Vocabulary) -> None:
        """Adds every field."""
        at, fields = self._at, self._fields
        strengths = [(key, term("strength", key)) for key in ("strong", "weak")]
        self._page.section(
            _("Test"),
            [
                fields.line((*at, "name"), _("Name"), wide=True),
                fields.pick((*at, "kind"), _("Kind"), kind_names(TEST_KINDS)),
                fields.pick((*at, "strength"), _("Strength"), strengths, "strong"),
            ],
            most=2,
        )
        self._outcomes()
        self._minutes_and_kit(words)
        self._how()

    def _outcomes(self) -> None:
        at, fields, draft = self._at, self._fields, self._draft
        count = len(draft.items(*at, "outcomes"))
        own = any("likelihood" in o for o in draft.items(*at, "outcomes") if isinstance(o, dict))
        names = [fields.line((*at, "outcomes", n, "name"), _("Outcome {n}").format(n=n + 1)) for n in range(count)]
        pointing = (
            [] if own or not count else [fields.sections((*at, "outcomes", 0, "points_to"), _("Outcome 1 points to"))]
        )
        remark = _("each with figures of its own") if own else _("the second speaks against what the first points to")
        self._page.section(_("Outcomes"), [*names, *pointing], remark, most=2)
        if own:
            for n in range(count):
                self._figures(n)
        more = Button(self._theme, _("Add an outcome"), "plain", "plus")
        more.clicked.connect(lambda: self._then(lambda: draft.add_outcome(self._piece.place)))
        figures = Button(self._theme, _("Give each outcome its own figures"), "plain")
        figures.clicked.connect(lambda: self._then(lambda: draft.own_figures(self._piece.place)))
        box = FlowBox()
        self._page.add(Inset(self._theme, box))
        box.put([more] if own else [figures])  # in the page already: on its own it would open a window

    def _then(self, step: Callable[[], object]) -> None:
        step()
        self._rebuild()

    def _figures(self, n: int) -> None:
        at, draft = (*self._at, "outcomes", n, "likelihood"), self._draft
        names = {**draft.names("section"), "*": _("elsewhere"), "not_on_map": _("not on this map")}
        ids = {name.casefold(): section for section, name in names.items()}
        label = _("Outcome {n}: how likely where the fault lies in a section, a line each").format(n=n + 1)
        table = draft.get(*at)
        text = figure_text(table if isinstance(table, dict) else {}, names)
        self._page.add(
            self._fields.ruled(label, _("Coolant pump: 0.8"), text, at, lambda typed: figures_of(typed, ids))
        )

    def _minutes_and_kit(self, words: Vocabulary) -> None:
        at, fields = self._at, self._fields
        self._page.section(
            _("Minutes"),
            [
                fields.figure((*at, "setup_minutes"), _("Set-up")),
                fields.figure((*at, "run_minutes"), _("Run")),
                fields.figure((*at, "wait_minutes"), _("Wait, hands off")),
                fields.figure((*at, "restore_minutes"), _("Put right")),
            ],
        )
        self._page.section(
            _("Kit and readings"),
            [
                fields.words((*at, "kit"), _("Kit"), _("in the words of the Kit List"), words.kit),
                fields.line((*at, "rig"), _("Rig shared with other tests")),
                fields.line((*at, "group"), _("Shared source of error")),
                fields.line((*at, "qualification"), _("Qualification needed")),
                fields.figure((*at, "repeats"), _("Repeats")),
                fields.words((*at, "readings", "places"), _("Places to read"), _("such as left front"), ()),
                fields.line((*at, "readings", "unit"), _("Unit")),
                fields.tick((*at, "destructive"), _("Not reversible")),
            ],
            most=2,
        )

    def _how(self) -> None:
        at, fields, draft = self._at, self._fields, self._draft
        conditions = [item for item in draft.items(*at, "conditions") if isinstance(item, dict)]
        substitutes = [item for item in draft.items(*at, "substitutes") if isinstance(item, dict)]
        page = self._page
        page.section(_("How it is run"), ())
        page.add(
            fields.ruled(_("Conditions to tick, a line each"), _("Engine off"),
                         "\n".join(str(item.get("name", "")) for item in conditions), (*at, "conditions"),
                         lambda text: conditions_of(text, conditions))
        )  # fmt: skip
        page.add(fields.lines((*at, "cautions"), _("Cautions beside the steps, a line each")))
        page.add(fields.lines((*at, "steps"), _("Steps, a line each, from making safe to putting right")))
        page.add(fields.lines((*at, "undo"), _("What it leaves on the vehicle, a line each")))
        page.add(fields.lines((*at, "prerequisites"), _("True before this test, a line each")))
        page.section(_("Substitutes"), (), _("one a line: name; kit, kit; weak"))
        page.add(
            fields.ruled(_("Substitutes"), _("Hose clamp; smooth-jaw hose clamp; weak"), substitute_text(substitutes),
                         (*at, "substitutes"), lambda text: substitutes_of(text, substitutes))
        )  # fmt: skip
        page.add(fields.text((*at, "note"), _("Note")))


def first_field(page: FormPage) -> QWidget:
    """Returns the first control of a page."""
    from kbapp.desktop.forms.suggest_edit import LineEdit

    found = page.findChild(LineEdit)
    return found if found is not None else page
