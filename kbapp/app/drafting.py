"""A map of the shop's own while it is drawn: one document, every step taken back, faults at any moment.

The document is a JSON object that may still be incomplete; what the form does not show stays in it untouched.
"""

import copy
import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Final, Literal

from kbapp.app.draft_lines import fresh_id, slug
from kbapp.records.fault import Fault
from kbapp.records.likelihood import likelihoods
from kbapp.records.map_check import map_remarks
from kbapp.records.map_document import check_map
from kbapp.records.section_map import MAP_FORMAT, NOT_ON_MAP, MapTest, SectionMap

Document = dict[str, Any]
Step = str | int
Kind = Literal["map", "section", "test"]
_LISTS: Final[Mapping[Kind, str]] = {"section": "sections", "test": "tests"}
PRIOR_WORDS: Final[Mapping[str, float]] = {"rare": 2.0, "seldom": 5.0, "usual": 15.0, "often": 30.0, "mostly": 60.0}
"""What a word stands for on the scale of the shipped maps, whose weights add up to about 100 (trade judgement)."""
MOST_STEPS: Final = 200


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of a map that is edited on a page of its own: the map itself, a section or a test by its place."""

    kind: Kind
    place: int = 0

    @property
    def path(self) -> tuple[Step, ...]:
        """Where it stands in the document."""
        return () if self.kind == "map" else (_LISTS[self.kind], self.place)


@dataclass(frozen=True, slots=True)
class Checked:
    """What is wrong with a draft, what it cannot do, and the map it makes where nothing is wrong."""

    faults: tuple[Fault, ...]
    remarks: tuple[Fault, ...]
    section_map: SectionMap | None


def empty_map(title: str, taken: Iterable[str]) -> Document:
    """Returns a map with nothing drawn yet."""
    map_id = fresh_id(slug(title).replace("_", "-") or "map", taken, "-")
    return {"format": MAP_FORMAT, "id": map_id, "title": title, "sections": [], "not_on_map": PRIOR_WORDS["seldom"]}


def copied_map(section_map: SectionMap, family: str, title: str, source: str, taken: Iterable[str]) -> Document:
    """Returns a copy of a map for another family of vehicles (blank: for those of the map), with an id of its own."""
    document = section_map.plain()
    ending = slug(family).replace("_", "-") or "own"
    changed: Document = {"id": fresh_id(f"{section_map.id}-{ending}", taken, "-"), "title": title, "source": source}
    if family:
        changed["families"] = [family]
    return {name: value for name, value in document.items() if name not in ("version", "history")} | changed


def piece_of(path: str) -> Piece:
    """Returns the piece a fault's path leads to."""
    head, *rest = path.split(".")
    for kind, name in _LISTS.items():
        if head == name and rest and rest[0].isdecimal():
            return Piece(kind, int(rest[0]))
    return Piece("map")


class Draft:
    """The map in hand. ``based_on``: the version it was opened from, None where it was never saved."""

    def __init__(self, document: Document, based_on: int | None = None) -> None:
        self.document, self.based_on = copy.deepcopy(document), based_on
        self._done: list[Document] = []
        self._undone: list[Document] = []
        self._last: tuple[Step, ...] = ()

    def to_text(self) -> str:
        """Returns the draft as it is kept on this PC."""
        return json.dumps({"based_on": self.based_on, "map": self.document}, ensure_ascii=False)

    @classmethod
    def from_text(cls, text: str) -> "Draft | None":
        """Returns a draft that was kept, None where it cannot be read."""
        try:
            kept = json.loads(text)
            document, based_on = kept["map"], kept["based_on"]
        except (ValueError, KeyError, TypeError):
            return None
        known = isinstance(document, dict) and isinstance(document.get("id"), str)
        return cls(_sound(document), based_on if isinstance(based_on, int) else None) if known else None

    def check(self) -> Checked:
        """Returns what is wrong at this moment."""
        found = check_map(copy.deepcopy(self.document))
        remarks = map_remarks(found.value) if found.value is not None else ()
        return Checked(found.faults, remarks, found.value)

    # -- reading

    def get(self, *path: Step) -> Any:
        """Returns the value at a place, None where nothing stands."""
        value: Any = self.document
        for step in path:
            try:
                value = value[step]
            except (KeyError, IndexError, TypeError):
                return None
        return value

    def text(self, *path: Step) -> str:
        """Returns the words at a place."""
        value = self.get(*path)
        return value if isinstance(value, str) else ""

    def items(self, *path: Step) -> list[Any]:
        """Returns the list at a place; a single word stands for a list of one."""
        value = self.get(*path)
        return value if isinstance(value, list) else [value] if isinstance(value, str) else []

    def names(self, kind: Kind) -> dict[str, str]:
        """Returns id → name of the sections or tests."""
        return {str(item.get("id")): str(item.get("name", "")) for item in self.items(_LISTS[kind])}

    def section_ids(self, names: Iterable[str]) -> list[str]:
        """Returns the ids of sections by name; a name nobody bears stands as it is, so that the check speaks up."""
        known = {name.casefold(): section for section, name in self.names("section").items()}
        return [known.get(name.casefold(), name) for name in names]

    def section_names(self, ids: Iterable[object]) -> list[str]:
        """Returns the names of sections by id."""
        known = self.names("section")
        return [known.get(str(section)) or str(section) for section in ids]

    # -- steps

    @property
    def can_undo(self) -> bool:
        """Whether a step can be taken back."""
        return bool(self._done)

    @property
    def can_redo(self) -> bool:
        """Whether an undone step can be done again."""
        return bool(self._undone)

    def set(self, *path: Step, to: Any) -> None:
        """Writes a value; None, blank words and an empty list take the field away. Typing on in a field is one step."""
        if self.get(*path) == to or (to in (None, "", []) and self.get(*path) is None):
            return
        self._change(lambda document: _write(document, path, to), path)

    def add(self, kind: Kind, name: str) -> Piece:
        """Adds a section or a test at the end and returns it."""
        piece = Piece(kind, len(self.items(_LISTS[kind])))
        taken = {*self.names("section"), *self.names("test"), NOT_ON_MAP}
        item: Document = {"id": fresh_id(slug(name) or kind, taken), "name": name}
        if kind == "section":
            item["prior"] = PRIOR_WORDS["usual"]
        else:
            item |= {
                "strength": "strong",
                "outcomes": [{"id": "shows", "name": "", "points_to": []}, {"id": "shows_not", "name": ""}],
            }
        self._change(lambda document: document.setdefault(_LISTS[kind], []).append(item))
        return piece

    def remove(self, piece: Piece) -> None:
        """Takes a section or a test out; what leads to a section that is gone goes with it."""
        gone = self.text(*piece.path, "id")

        def work(document: Document) -> None:
            del document[_LISTS[piece.kind]][piece.place]
            if piece.kind == "section":
                _forget(document, gone)

        self._change(work)

    def move(self, piece: Piece, by: int) -> Piece:
        """Moves a section or a test up (below 0) or down among its kind and returns where it stands now."""
        count = len(self.items(_LISTS[piece.kind]))
        to = max(0, min(count - 1, piece.place + by))
        if to != piece.place:
            self._change(lambda document: _shift(document[_LISTS[piece.kind]], piece.place, to))
        return Piece(piece.kind, to)

    def own_figures(self, place: int) -> None:
        """Gives every outcome of a test its own figures, those that pointing stood for."""
        section_map = _loose_map(self.document)
        test = _loose_test(self.get("tests", place))
        if section_map is None or test is None:
            return
        rows = likelihoods(section_map, test)
        named = {name for outcome in test.outcomes for name in outcome.points_to or ()}
        for outcome, row in zip(test.outcomes, rows, strict=True):
            table = dict(zip(section_map.hypotheses(), row, strict=True))
            figures = {name: round(table[name], 6) for name in table if name in named}
            figures["*"] = round(table[NOT_ON_MAP], 6)
            self._replace_outcome(place, outcome.id, {"likelihood": figures})
        self._last = ()

    def _replace_outcome(self, place: int, outcome: str, more: Document) -> None:
        outcomes = [
            {"id": o.get("id"), "name": o.get("name", "")} | more if o.get("id") == outcome else o
            for o in self.items("tests", place, "outcomes")
        ]
        self.set("tests", place, "outcomes", to=outcomes)

    def add_outcome(self, place: int) -> None:
        """Adds an outcome with figures of its own to a test."""
        outcomes = self.items("tests", place, "outcomes")
        taken = [str(o.get("id")) for o in outcomes]
        more = {"id": fresh_id("outcome", taken), "name": "", "likelihood": {"*": 0.0}}
        self.set("tests", place, "outcomes", to=[*outcomes, more])
        self._last = ()

    def saved(self, section_map: SectionMap) -> None:
        """Goes on from the version that was saved; steps before it can still be taken back."""
        self.document, self.based_on = section_map.plain(), section_map.version
        self._last = ()

    def undo(self) -> bool:
        """Takes the last step back."""
        return self._swap(self._done, self._undone)

    def redo(self) -> bool:
        """Does the undone step again."""
        return self._swap(self._undone, self._done)

    def _swap(self, source: list[Document], target: list[Document]) -> bool:
        self._last = ()
        if not source:
            return False
        target.append(self.document)
        self.document = source.pop()
        return True

    def _change(self, work: Callable[[Document], object], path: tuple[Step, ...] = ()) -> None:
        after = copy.deepcopy(self.document)
        work(after)
        if not path or path != self._last:
            self._done = [*self._done[-MOST_STEPS:], self.document]
        self._undone, self._last = [], path
        self.document = after


def _write(document: Any, path: tuple[Step, ...], value: Any) -> None:
    *way, last = path
    for step in way:
        if isinstance(document, dict) and step not in document:
            document[step] = {}
        document = document[step]
    if value in (None, "", []) and isinstance(document, dict) and last not in ("name", "title", "points_to", "prior"):
        document.pop(last, None)
    else:
        document[last] = value


def _shift(items: list[Any], source: int, to: int) -> None:
    items.insert(to, items.pop(source))


def _forget(value: Any, gone: str) -> None:
    """Takes a section out of every list and table that names it."""
    if isinstance(value, list):
        for item in value:
            _forget(item, gone)
    elif isinstance(value, dict):
        for name in ("feeds", "good_first", "points_to"):
            if isinstance(value.get(name), list):
                value[name] = [section for section in value[name] if section != gone]
        tables = [value.get("likelihood"), *_tables(value.get("priors_by_symptom"))]
        for table in tables:
            if isinstance(table, dict):
                table.pop(gone, None)
        if isinstance(value.get("nested"), list):
            value["nested"] = [n for n in value["nested"] if not (isinstance(n, dict) and n.get("section") == gone)]
        for inner in ("sections", "tests", "outcomes"):
            _forget(value.get(inner), gone)


def _tables(value: Any) -> list[Any]:
    return list(value.values()) if isinstance(value, dict) else []


def _sound(document: Document) -> Document:
    """Returns a kept document with lists of objects where the form expects them."""
    sound = dict(document)
    for name in _LISTS.values():
        items = sound.get(name)
        if items is not None or name == "sections":
            sound[name] = [item for item in items if isinstance(item, dict)] if isinstance(items, list) else []
    for test in sound.get("tests") or []:
        outcomes = test.get("outcomes")
        test["outcomes"] = [o for o in outcomes if isinstance(o, dict)] if isinstance(outcomes, list) else []
    return sound


def _loose_map(document: Document) -> SectionMap | None:
    sections = [
        {**section, "name": section.get("name") or "?", "prior": 1.0, "parts": []} for section in document["sections"]
    ]
    bare = {"format": MAP_FORMAT, "id": "draft", "title": "?", "sections": sections, "not_on_map": 1.0}
    try:
        return SectionMap.model_validate(bare)
    except ValueError:
        return None


def _loose_test(test: Any) -> MapTest | None:
    if not isinstance(test, dict):
        return None
    outcomes = [
        {"id": o.get("id"), "name": o.get("name") or "?"}
        | ({"points_to": o["points_to"]} if o.get("points_to") else {})
        for o in test.get("outcomes", [])
    ]
    try:
        return MapTest.model_validate({"id": "t", "name": "?", "strength": test.get("strength"), "outcomes": outcomes})
    except ValueError:
        return None
