"""The values of the look: colours by role, sizes, spacing, lines. Plain data; nothing here knows Qt.

Contrast is the ratio of WCAG 2.2 (relative luminance as defined there, [M]); ``tests/desktop/theme/test_tokens.py``
holds every pair of text to 4.5 and every pair of graphics to 3.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

ThemeName = Literal["light", "dark"]
SizeName = Literal["desk", "bay", "across"]
SectionState = Literal["clear", "open", "untested", "leading", "supported"]
FontRole = Literal["body", "small", "title", "head", "stamp", "reading"]
Role = Literal[
    "desk", "page", "band", "rule", "rule_strong", "margin", "ink", "ink2", "ink3", "disabled",
    "accent", "accent_hi", "on_accent", "select", "danger", "danger_wash", "caution", "caution_wash",
    "info", "info_wash", "good", "good_wash", "head_rule", "practice", "on_practice",
    "clear", "clear_wash", "open", "open_wash", "untested", "untested_wash", "leading", "leading_wash",
    "supported", "supported_wash", "on_supported",
]  # fmt: skip

LIGHT: Final[Mapping[Role, str]] = {
    "desk": "#DCE4DA", "page": "#F8FAF5", "band": "#EAF0E7", "rule": "#C9D5C7", "rule_strong": "#6F836F",
    "margin": "#A8483A", "ink": "#16222A", "ink2": "#445359", "ink3": "#626E67", "disabled": "#7F8B84",
    "accent": "#1B4B7A", "accent_hi": "#133A61", "on_accent": "#FFFFFF", "select": "#D5E3EF",
    "danger": "#9C2B1F", "danger_wash": "#F6E3DE", "caution": "#7E5200", "caution_wash": "#F7ECD3",
    "info": "#1B4B7A", "info_wash": "#E1EBF4", "good": "#1B6450", "good_wash": "#DFEDE5", "head_rule": "#16222A",
    "practice": "#F2C94C", "on_practice": "#241C00",
    "clear": "#1B6450", "clear_wash": "#E3EEE7", "open": "#2C66A0", "open_wash": "#E4EDF5",
    "untested": "#635E6B", "untested_wash": "#EDEBEF", "leading": "#7E5200", "leading_wash": "#F7ECD3",
    "supported": "#74195A", "supported_wash": "#F3E3EE", "on_supported": "#FFFFFF",
}  # fmt: skip
DARK: Final[Mapping[Role, str]] = {
    "desk": "#0E1412", "page": "#17201D", "band": "#1F2A26", "rule": "#2F3D37", "rule_strong": "#74897D",
    "margin": "#D27A64", "ink": "#E8EFE7", "ink2": "#B2C0B6", "ink3": "#8B9A91", "disabled": "#74827A",
    "accent": "#8EC2EF", "accent_hi": "#B4D8F7", "on_accent": "#0C1B28", "select": "#20374A",
    "danger": "#F09A88", "danger_wash": "#3A211C", "caution": "#EBB65B", "caution_wash": "#352A14",
    "info": "#8EC2EF", "info_wash": "#1C2F3E", "good": "#74CDB2", "good_wash": "#18332A", "head_rule": "#93A69A",
    "practice": "#F2C94C", "on_practice": "#241C00",
    "clear": "#74CDB2", "clear_wash": "#19302A", "open": "#6BA6DC", "open_wash": "#1A2A38",
    "untested": "#A8A1AE", "untested_wash": "#26262B", "leading": "#E3A73C", "leading_wash": "#332811",
    "supported": "#F4B4E2", "supported_wash": "#3A2135", "on_supported": "#240B1E",
}  # fmt: skip
THEMES: Final[Mapping[ThemeName, Mapping[Role, str]]] = {"light": LIGHT, "dark": DARK}


@dataclass(frozen=True, slots=True)
class Metrics:
    """One size of everything: type in points (at 96 to the inch), lengths in pixels.

    ``pitch`` is one ruled line, ``row`` the height of a line of a list and of anything one can hit, ``margin`` where
    the double margin line stands.
    """

    body: float
    small: float
    title: float
    head: float
    stamp: float
    reading: float
    pitch: int
    row: int
    icon: int
    margin: int
    pad: int
    stroke: float
    pane: int
    """The least width of a pane of lines."""

    def points(self, role: FontRole) -> float:
        """Returns the type size of a role."""
        value: float = getattr(self, role)
        return value


SIZES: Final[Mapping[SizeName, Metrics]] = {
    "desk": Metrics(11, 9.5, 18, 13, 9, 11, pitch=22, row=44, icon=18, margin=46, pad=8, stroke=1.6, pane=380),
    "bay": Metrics(15, 12.5, 22, 17, 12, 15, pitch=28, row=56, icon=24, margin=56, pad=10, stroke=1.8, pane=440),
    "across": Metrics(20, 16.5, 28, 22, 15.5, 20, pitch=36, row=72, icon=32, margin=74, pad=14, stroke=2.2, pane=540),
}
NARROW_BELOW: Final = 1200
"""Windows narrower than this show the short index and keep Narrow by behind a button."""


def luminance(colour: str) -> float:
    """Returns the relative luminance of ``#RRGGBB`` (WCAG 2.2), 0 to 1."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Returns the contrast ratio of two colours, 1 to 21 (WCAG 2.2)."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)
