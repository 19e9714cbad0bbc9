"""Breaks a text into lines that fit a width, so that each line can stand on a ruled line of its own."""

from collections.abc import Iterator

from PySide6.QtGui import QFont, QFontMetricsF

from kbapp.desktop.theme.look import Look


def wrap(look: Look, text: str, font: QFont, width: float) -> tuple[str, ...]:
    """Returns the lines of a text at a width; line feeds are kept, words too long for a line are cut."""
    return wrap_measured(look.measure(font), text, max(width, 24.0))


def wrap_measured(measure: QFontMetricsF, text: str, width: float) -> tuple[str, ...]:
    """Returns the lines of a text at a width of a measure."""
    lines: list[str] = []
    for paragraph in text.split("\n"):
        lines.extend(_wrap_paragraph(paragraph, measure, width))
    return tuple(lines)


def _wrap_paragraph(text: str, measure: QFontMetricsF, width: float) -> Iterator[str]:
    line = ""
    for word in text.split(" "):
        longer = f"{line} {word}" if line else word
        if measure.horizontalAdvance(longer) <= width:
            line = longer
            continue
        if line:
            yield line
        *full, line = _cut(word, measure, width)
        yield from full
    yield line


def _cut(word: str, measure: QFontMetricsF, width: float) -> Iterator[str]:
    while len(word) > 1 and measure.horizontalAdvance(word) > width:
        size = max(1, int(len(word) * width / measure.horizontalAdvance(word)))
        while size > 1 and measure.horizontalAdvance(word[:size]) > width:
            size -= 1
        yield word[:size]
        word = word[size:]
    yield word


def places(text: str, lines: tuple[str, ...]) -> tuple[int, ...]:
    """Returns where in ``text`` each of its wrapped lines begins."""
    starts, at = [], 0
    for line in lines:
        at = text.find(line, at)
        starts.append(at)
        at += len(line)
    return tuple(starts)
