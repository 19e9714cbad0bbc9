"""One complete QPalette, so that what the style sheet does not reach still looks right."""

from typing import Final

from PySide6.QtGui import QPalette

from kbapp.desktop.theme.look import Look
from kbapp.desktop.theme.tokens import Role

_R = QPalette.ColorRole
ROLES: Final[dict[QPalette.ColorRole, Role]] = {
    _R.Window: "desk", _R.WindowText: "ink", _R.Base: "page", _R.AlternateBase: "band", _R.Text: "ink",
    _R.Button: "band", _R.ButtonText: "ink", _R.BrightText: "danger", _R.Highlight: "select",
    _R.HighlightedText: "ink", _R.Link: "accent", _R.LinkVisited: "accent", _R.ToolTipBase: "ink",
    _R.ToolTipText: "page", _R.PlaceholderText: "ink3", _R.Accent: "accent", _R.Light: "page", _R.Midlight: "band",
    _R.Mid: "rule", _R.Dark: "rule_strong", _R.Shadow: "rule_strong",
}  # fmt: skip


def palette(look: Look) -> QPalette:
    """Returns the palette of a look; disabled text is told apart by colour and (in the style sheet) by dashes."""
    made = QPalette()
    for role, colour in ROLES.items():
        made.setColor(role, look.colour(colour))
    for role in (_R.Text, _R.WindowText, _R.ButtonText, _R.HighlightedText):
        made.setColor(QPalette.ColorGroup.Disabled, role, look.colour("disabled"))
    made.setColor(QPalette.ColorGroup.Disabled, _R.Highlight, look.colour("rule"))
    return made
