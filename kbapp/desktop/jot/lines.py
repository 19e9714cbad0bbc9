"""The five lines of a jot, and how a draft of them is kept as text."""

import json
from dataclasses import asdict, dataclass, fields, replace
from typing import Final

from kbapp.i18n import N_

PREFIX: Final = "jot:"


@dataclass(frozen=True, slots=True)
class JotLine:
    """One line: its name in a jot, the question it answers, an example."""

    name: str
    question: str
    example: str


JOT_LINES: Final = (
    JotLine("concern", N_("What does it do?"), N_("such as: gauge climbs in traffic, falls once moving")),
    JotLine("vehicle", N_("On what vehicle?"), N_("make, family, engine, year, distance")),
    JotLine("tried", N_("What was tried?"), N_("such as: thermostat, no change; radiator, no change")),
    JotLine("split", N_("What split it?"), N_("such as: outlet cold at full fan")),
    JotLine("fixed", N_("What fixed it?"), N_("such as: water pump; leave it blank while it is open")),
)


@dataclass(frozen=True, slots=True)
class JotText:
    """What stands in the five lines."""

    concern: str = ""
    vehicle: str = ""
    tried: str = ""
    split: str = ""
    fixed: str = ""

    @property
    def blank(self) -> bool:
        """Whether nothing is written."""
        return not any(value.strip() for value in asdict(self).values())

    def to_draft(self) -> str:
        """Returns the text of a draft."""
        return json.dumps(asdict(self), ensure_ascii=False)

    @classmethod
    def from_draft(cls, text: str) -> "JotText":
        """Returns the lines of a draft; what cannot be read stands in the first line, so that nothing is lost."""
        try:
            values = json.loads(text)
        except ValueError:
            return cls(concern=text)
        if not isinstance(values, dict):
            return cls(concern=text)
        known = {field.name: str(values[field.name]) for field in fields(cls) if field.name in values}
        return replace(cls(), **known)
