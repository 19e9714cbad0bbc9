"""A look: one theme at one size, as Qt colours, fonts and lengths. Painters ask it; nothing holds literals."""

from PySide6.QtGui import QColor, QFont, QFontMetricsF, QGuiApplication

from kbapp.desktop.theme.fonts import MONO, SLAB, TEXT
from kbapp.desktop.theme.tokens import SIZES, THEMES, FontRole, Metrics, Role, SizeName, ThemeName


class Look:
    """Carries the colours, fonts and measures of one theme at one size."""

    def __init__(self, theme: ThemeName, size: SizeName) -> None:
        self.theme: ThemeName = theme
        self.size: SizeName = size
        self.metrics: Metrics = SIZES[size]
        self._hex = THEMES[theme]
        self._colours: dict[Role, QColor] = {}
        self._fonts: dict[tuple[str, float, int, bool, int], QFont] = {}
        self._measures: dict[int, tuple[QFont, QFontMetricsF]] = {}

    def hex(self, role: Role) -> str:
        """Returns a colour as ``#RRGGBB``."""
        return self._hex[role]

    def colour(self, role: Role) -> QColor:
        """Returns a colour."""
        if role not in self._colours:
            self._colours[role] = QColor(self._hex[role])
        return self._colours[role]

    def font(self, role: FontRole = "body", weight: int = 400, *, figures: bool = False) -> QFont:
        """Returns the text face; ``figures`` gives digits of equal width, for columns."""
        return self._face(TEXT, self.metrics.points(role), weight, figures=figures)

    def slab(self, role: FontRole = "title", spacing: int = 100) -> QFont:
        """Returns the face of titles, heads and stamps; ``spacing`` is in per cent."""
        return self._face(SLAB, self.metrics.points(role), 600, spacing=spacing)

    def mono(self, role: FontRole = "reading", weight: int = 400) -> QFont:
        """Returns the face of readings, line numbers and codes."""
        return self._face(MONO, self.metrics.points(role), weight)

    def _face(self, family: str, points: float, weight: int, *, figures: bool = False, spacing: int = 100) -> QFont:
        key = (family, points, weight, figures, spacing)
        if key not in self._fonts:
            font = QFont(family)
            font.setPointSizeF(points * _points_scale())
            font.setWeight(QFont.Weight(weight))
            font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
            if figures:
                font.setFeature(QFont.Tag("tnum"), 1)
            if spacing != 100:
                font.setLetterSpacing(QFont.SpacingType.PercentageSpacing, spacing)
            self._fonts[key] = font
        return self._fonts[key]

    def measure(self, font: QFont) -> QFontMetricsF:
        """Returns the (cached) metrics of a font."""
        if id(font) not in self._measures:  # the font is kept beside its metrics, so its identity stays taken
            self._measures[id(font)] = (font, QFontMetricsF(font))
        return self._measures[id(font)][1]

    def pitches(self, count: float) -> int:
        """Returns the height of ``count`` ruled lines in pixels."""
        return round(self.metrics.pitch * count)


def _points_scale() -> float:
    # Points are meant at 96 to the inch, so that type and ruling keep their proportion where Qt counts 72 (macOS).
    screen = QGuiApplication.primaryScreen()
    dpi = screen.logicalDotsPerInchY() if screen is not None else 96.0
    return 96.0 / dpi if dpi > 0 else 1.0
