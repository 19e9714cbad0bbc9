"""Every pair of ink and ground that is painted, held to the ratios of WCAG 2.2 (4.5 for text, 3 for graphics) [M]."""

from typing import get_args

import pytest

from kbapp.desktop.theme.tokens import SIZES, THEMES, Role, SectionState, ThemeName, contrast, luminance

STATES: tuple[SectionState, ...] = get_args(SectionState)
_GROUNDS: tuple[Role, ...] = ("page", "band", "desk", "select")
_WASHES: tuple[Role, ...] = ("clear_wash", "open_wash", "untested_wash", "leading_wash", "supported_wash")
_INKS: tuple[Role, ...] = ("ink", "ink2")
TEXT: tuple[tuple[Role, Role], ...] = (
    *((ink, ground) for ink in _INKS for ground in (*_GROUNDS, *_WASHES)),
    *((state, ground) for state in STATES for ground in ("page", "band", "select")),
    *zip(STATES, _WASHES, strict=True),
    ("ink3", "page"), ("accent", "page"), ("accent", "band"), ("accent", "select"), ("on_accent", "accent"),
    ("on_accent", "accent_hi"), ("danger", "page"), ("danger", "danger_wash"), ("ink", "danger_wash"),
    ("caution", "page"), ("caution", "caution_wash"), ("ink", "caution_wash"), ("accent", "caution_wash"),
    ("info", "page"), ("info", "info_wash"), ("good", "page"), ("good", "good_wash"), ("on_practice", "practice"),
    ("on_supported", "supported"), ("page", "ink"),
)  # fmt: skip
GRAPHICS: tuple[tuple[Role, Role], ...] = (
    ("rule_strong", "page"), ("rule_strong", "band"), ("rule_strong", "desk"), ("margin", "page"), ("margin", "band"),
    ("disabled", "page"), ("head_rule", "page"), ("accent", "desk"), ("accent", "page"), ("accent", "select"),
    ("danger", "page"), ("caution", "caution_wash"), ("ink3", "page"),
)  # fmt: skip


def test_contrast_of_known_pairs() -> None:
    # black on white is 21 to 1, a colour on itself 1 to 1; #767676 on white is the lightest grey that passes 4.5 [M]
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)
    assert contrast("#1B4B7A", "#1B4B7A") == pytest.approx(1.0)
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.01)
    assert luminance("#FFFFFF") == pytest.approx(1.0)


@pytest.mark.parametrize("name", ["light", "dark"])
def test_text_can_be_read(name: ThemeName) -> None:
    colours = THEMES[name]
    poor = {pair: round(contrast(colours[pair[0]], colours[pair[1]]), 2) for pair in TEXT}
    assert {pair: ratio for pair, ratio in poor.items() if ratio < 4.5} == {}


@pytest.mark.parametrize("name", ["light", "dark"])
def test_graphics_can_be_told_apart(name: ThemeName) -> None:
    colours = THEMES[name]
    poor = {pair: round(contrast(colours[pair[0]], colours[pair[1]]), 2) for pair in GRAPHICS}
    assert {pair: ratio for pair, ratio in poor.items() if ratio < 3.0} == {}


def test_both_themes_have_every_role() -> None:
    roles = set(get_args(Role))
    assert set(THEMES["light"]) == set(THEMES["dark"]) == roles


def test_targets_and_rows_are_whole_pitches() -> None:
    assert [SIZES[size].row for size in ("desk", "bay", "across")] == [44, 56, 72]
    for metrics in SIZES.values():
        assert metrics.row == 2 * metrics.pitch
