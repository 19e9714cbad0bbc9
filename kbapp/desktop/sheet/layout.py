"""Lays a sheet out on pages: every word, rule and dot has its place in units of 1/720 inch, whatever it is drawn on.

Only ink and greys are used, so that a sheet loses nothing on a grey printer or a copier.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final, Literal

from PySide6.QtGui import QFont, QFontMetricsF

from kbapp.desktop.paint.wrapped import wrap_measured
from kbapp.desktop.theme.fonts import MONO, SLAB, TEXT
from kbapp.i18n import _
from kbapp.wording.hand_back import Block, Compared, Pair, SheetText

Paper = Literal["a4", "letter"]
Face = Literal["text", "bold", "small", "small_bold", "mono", "head", "title", "across"]
Tone = Literal["ink", "grey", "pale"]
UNITS: Final = 720
"""Units an inch."""
SIZES: Final[dict[Paper, tuple[int, int]]] = {"a4": (5953, 8419), "letter": (6120, 7920)}
"""Width and height: ISO 216 A4 (210 × 297 mm) and US Letter (8.5 × 11 in) [M]."""
MARGIN: Final = 540
FOOT: Final = 260
INDENT: Final = 160
LABEL: Final = 1000
_FACES: Final[dict[Face, tuple[str, int, int]]] = {
    "text": (TEXT, 105, 400), "bold": (TEXT, 105, 600), "small": (TEXT, 90, 400), "small_bold": (TEXT, 90, 600),
    "mono": (MONO, 92, 400), "head": (SLAB, 130, 600), "title": (SLAB, 210, 600), "across": (SLAB, 1200, 600),
}  # fmt: skip
_LEADING: Final = 1.32


@dataclass(frozen=True, slots=True)
class Word:
    """A run of text with its left end and baseline."""

    x: float
    y: float
    text: str
    face: Face
    tone: Tone = "ink"


@dataclass(frozen=True, slots=True)
class Stroke:
    """A straight line."""

    x1: float
    y1: float
    x2: float
    y2: float
    thick: float = 8.0
    tone: Tone = "ink"


@dataclass(frozen=True, slots=True)
class Dot:
    """A reading on its axis: an open ring before, a full disc after."""

    x: float
    y: float
    radius: float
    full: bool


Item = Word | Stroke | Dot


@dataclass(frozen=True, slots=True)
class Page:
    """What stands on one page, and its size."""

    width: int
    height: int
    items: tuple[Item, ...]

    def words(self) -> tuple[str, ...]:
        """Returns the texts of the page in reading order."""
        return tuple(item.text for item in self.items if isinstance(item, Word) and item.face != "across")


def font_of(face: Face) -> QFont:
    """Returns the font of a face, its size in units."""
    family, size, weight = _FACES[face]
    font = QFont(family)
    font.setPixelSize(size)
    font.setWeight(QFont.Weight(weight))
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    # no figures of one width and no joined letters here: a PDF holds such glyphs without (or with other) characters,
    # and its text could not be searched or read aloud
    font.setFeature(QFont.Tag("liga"), 0)
    return font


@dataclass(slots=True)
class _Flow:
    """Pages being filled from top to bottom."""

    paper: Paper
    text: SheetText
    pages: list[list[Item]] = field(default_factory=list)
    y: float = 0.0
    measures: dict[Face, QFontMetricsF] = field(default_factory=dict)

    @property
    def size(self) -> tuple[int, int]:
        return SIZES[self.paper]

    @property
    def left(self) -> float:
        return MARGIN

    @property
    def right(self) -> float:
        return self.size[0] - MARGIN

    def measure(self, face: Face) -> QFontMetricsF:
        if face not in self.measures:
            self.measures[face] = QFontMetricsF(font_of(face))
        return self.measures[face]

    def leading(self, face: Face) -> float:
        return _FACES[face][1] * _LEADING

    def begin_page(self) -> None:
        self.pages.append([])
        self.y = MARGIN
        if self.text.across:
            self._across()

    def _across(self) -> None:
        measure = self.measure("across")
        middle = self.size[1] * 0.56
        wide = measure.horizontalAdvance(self.text.across)
        self.put(Word((self.size[0] - wide) / 2, middle, self.text.across, "across", "pale"))

    def put(self, *items: Item) -> None:
        self.pages[-1].extend(items)

    def room(self, height: float) -> None:
        """Goes to a new page unless so much is left on this one."""
        if self.y + height > self.size[1] - MARGIN - FOOT:
            self.begin_page()

    def lines(self, text: str, face: Face, x: float, right: float, tone: Tone = "ink") -> float:
        """Writes a text in lines between ``x`` and ``right``, page after page; returns where the last line ends."""
        for line in wrap_measured(self.measure(face), text, right - x):
            self.room(self.leading(face))
            self.put(Word(x, self.y + _FACES[face][1], line, face, tone))
            self.y += self.leading(face)
        return self.y

    def height(self, text: str, face: Face, width: float) -> float:
        return len(wrap_measured(self.measure(face), text, width)) * self.leading(face)

    def gap(self, height: float) -> None:
        self.y += height


def lay_out(text: SheetText, paper: Paper) -> tuple[Page, ...]:
    """Returns the pages of a sheet; needs the program's fonts to be loaded."""
    flow = _Flow(paper, text)
    flow.begin_page()
    _head(flow, text)
    for block in text.blocks:
        _block(flow, block)
    return tuple(_feet(flow, text))


def _head(flow: _Flow, text: SheetText) -> None:
    flow.lines(text.title, "title", flow.left, flow.right)
    flow.lines(text.subtitle, "small", flow.left, flow.right, "grey")
    flow.gap(40)
    flow.put(Stroke(flow.left, flow.y, flow.right, flow.y, 24))
    flow.put(Stroke(flow.left, flow.y + 34, flow.right, flow.y + 34, 6))
    flow.gap(90)
    _pairs(flow, text.pairs)
    flow.gap(50)
    top = flow.y
    flow.gap(30)
    flow.lines(text.status, "bold", flow.left + 60, flow.right - 60)
    flow.gap(30)
    box = ((flow.left, top, flow.right, top), (flow.left, flow.y, flow.right, flow.y),
           (flow.left, top, flow.left, flow.y), (flow.right, top, flow.right, flow.y))  # fmt: skip
    flow.put(*(Stroke(*corners, 10) for corners in box))
    flow.gap(60)


def _pairs(flow: _Flow, pairs: tuple[Pair, ...], label: float = LABEL) -> None:
    for pair in pairs:
        flow.room(flow.leading("text"))
        flow.put(Word(flow.left, flow.y + _FACES["text"][1], pair.label, "small", "grey"))
        flow.lines(pair.words, "text", flow.left + label, flow.right)


def _block(flow: _Flow, block: Block) -> None:
    first = flow.height(block.paragraphs[0], "text", flow.right - flow.left) if block.paragraphs else 0.0
    flow.gap(60)
    flow.room(flow.leading("head") * 1.4 + max(first, flow.leading("text") * 2))
    flow.lines(block.heading, "head", flow.left, flow.right)
    flow.put(Stroke(flow.left, flow.y, flow.right, flow.y, 5, "grey"))
    flow.gap(28)
    for compared in block.compared:
        _compared(flow, compared)
    for paragraph in block.paragraphs:
        _paragraph(flow, paragraph, points=block.look == "points")
    if block.pairs:
        _pairs(flow, block.pairs, 260)


def _paragraph(flow: _Flow, paragraph: str, *, points: bool) -> None:
    flow.room(flow.leading("text"))
    if points:
        flow.put(Stroke(flow.left + 10, flow.y + 72, flow.left + 70, flow.y + 72, 14))
        flow.lines(paragraph, "text", flow.left + INDENT, flow.right)
    else:
        flow.lines(paragraph, "text", flow.left, flow.right)
    flow.gap(20)


def _compared(flow: _Flow, row: Compared) -> None:
    """Writes one place: name, before over after, the plot at the right."""
    lead = flow.leading("mono")
    name, plot = 1500.0, 1500.0
    values = flow.left + name + 560
    right = flow.right - (plot + 120 if row.scale else 0)
    before = wrap_measured(flow.measure("mono"), row.before, right - values)
    after = wrap_measured(flow.measure("mono"), row.after, right - values)
    tall = (len(before) + len(after)) * lead
    flow.room(tall + 40)
    top = flow.y
    for line, words in enumerate(wrap_measured(flow.measure("bold"), row.name, name - 60)[:2]):
        flow.put(Word(flow.left, top + 92 + line * flow.leading("bold"), words, "bold"))
    y = top
    for label, lines in ((_("Before"), before), (_("After"), after)):
        flow.put(Word(flow.left + name, y + 90, label, "small", "grey"))
        for words in lines:
            flow.put(Word(values, y + 90, words, "mono"))
            y += lead
    if row.moved:
        wide = flow.measure("small_bold").horizontalAdvance(row.moved)
        flow.put(Word(right - wide, y - lead + 90, row.moved, "small_bold"))
    if row.scale is not None:
        _plot(flow, row, row.scale, (flow.right - plot, top, plot, tall))
    flow.y = top + tall + 30
    flow.put(Stroke(flow.left, flow.y - 12, flow.right, flow.y - 12, 3, "pale"))


def _plot(flow: _Flow, row: Compared, scale: tuple[float, float], box: tuple[float, float, float, float]) -> None:
    low, high = scale
    span = (high - low) or 1.0
    left, top, width, height = box
    for values, share, full in ((row.place.before, 0.3, False), (row.place.after, 0.72, True)):
        y = top + height * share
        flow.put(Stroke(left, y, left + width, y, 4, "grey"))
        for value in values:
            if not isinstance(value, str):
                flow.put(Dot(left + 40 + (value - low) / span * (width - 80), y, 30, full))


def _feet(flow: _Flow, text: SheetText) -> Iterator[Page]:
    width, height = flow.size
    of = len(flow.pages)
    for n, items in enumerate(flow.pages, 1):
        line = height - MARGIN - FOOT + 90
        number = _("page {n} of {of}").format(n=n, of=of)
        wide = flow.measure("small").horizontalAdvance(number)
        key = _("open ring: before; full disc: after") if any(isinstance(item, Dot) for item in items) else ""
        foot: list[Item] = [
            Stroke(flow.left, line, flow.right, line, 6),
            Word(flow.left, line + 110, text.foot, "small", "grey"),
            Word(flow.right - wide, line + 110, number, "small", "grey"),
        ]
        if key:
            middle = (width - flow.measure("small").horizontalAdvance(key)) / 2
            foot.append(Word(middle, line + 110, key, "small", "grey"))
        yield Page(width, height, (*items, *foot))
