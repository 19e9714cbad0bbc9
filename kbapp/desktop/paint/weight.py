"""Weighted underlines: a named reason whose underline is as long as its part of the score."""

from kbapp.desktop.paint.ink import Ink


def draw_weight(ink: Ink, x: float, bottom: float, width: float, share: float) -> None:
    """Underlines ``width`` pixels: thin in full, thick for ``share`` (-1 to 1), dashed where it is against."""
    if share < 0:
        ink.dashes(x, x + width, bottom - 1, "danger")
        return
    ink.across(x, x + width, bottom, "rule_strong")
    ink.fill(x, bottom - 1, max(4.0, width * min(1.0, share)), 3, "accent")
