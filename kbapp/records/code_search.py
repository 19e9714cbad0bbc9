"""Finds trouble codes in running text: a pasted scan report, a note, a customer's message."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from kbapp.records.codes import TroubleCode, parse_code

# In running text a space after the letter counts only before a 0 ("P 0171"), for "type B 2000" is no code, and O for
# zero only among digits, for "CODED" is none either.
_CODE: Final = re.compile(
    r"(?<!\w)(?:[PCBU](?:[0-3][0-9A-F]{3}|[O0][0-9]{3}|[ -]0[0-9A-F]{3}))(?:[-:/][0-9A-F]{2})?(?!\w)",
    re.IGNORECASE | re.ASCII,
)
_STATUS: Final = re.compile(
    r"\b(stored|confirmed|current|active|pending|permanent|history|historic|intermittent|sporadic|present|past|passive)\b",
    re.IGNORECASE,
)
# Terms of SAE J1930 / ISO 15031-2 and the trade's usual names for modules.
_MODULE_WORDS: Final = (
    "engine control module", "powertrain control module", "transmission control module", "body control module",
    "restraint control module", "restraints control module", "instrument cluster", "instrument panel cluster",
    "airbag module", "antilock brake module", "brake control module", "steering control module",
    "battery control module", "climate control module", "gateway", "airbag",
)  # fmt: skip
_MODULE_TERMS: Final = (
    "ECM", "PCM", "TCM", "TCU", "BCM", "IPC", "ABS", "RCM", "SRS", "EPS", "HVAC", "GWM", "TCCM", "BECM", "BMS", "ECU",
)  # fmt: skip
_ANY_MODULE: Final = rf"\b(?P<module>{'|'.join(_MODULE_TERMS)}|(?i:{'|'.join(_MODULE_WORDS)}))\b"
_MODULE: Final = re.compile(_ANY_MODULE)
_HEADING: Final = re.compile(rf"\W*{_ANY_MODULE}")
_SEPARATORS: Final = re.compile(r"(?:[\s,;&+/|]|\band\b|\bor\b)*", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class FoundCode:
    """A code at characters ``start`` to ``end``, with the words near it that say its status and module (else empty)."""

    code: TroubleCode
    start: int
    end: int
    status: str = ""
    module: str = ""


def find_codes(text: str) -> tuple[FoundCode, ...]:
    """Returns every trouble code in running text, in its order, each as often as it stands there.

    Status and module are looked for behind the code on its line, then before it; a line that begins with a module and
    holds no code is a heading for the lines below it. Codes listed together share what stands behind the last of them.
    """
    found: list[FoundCode] = []
    heading, offset = "", 0
    for line in text.splitlines(keepends=True):
        matches = [match for match in _CODE.finditer(line) if parse_code(match[0])]
        if matches:
            found += _on_line(line, matches, offset, heading)
        else:
            named = _HEADING.match(line)
            heading = named["module"] if named else heading
        offset += len(line)
    return tuple(found)


def _module(text: str) -> str:
    match = _MODULE.search(text)
    return match[0] if match else ""


def _on_line(line: str, matches: list[re.Match[str]], offset: int, heading: str) -> Iterator[FoundCode]:
    leading = _words(line[: matches[0].start()])
    behind = _behind(line, matches)
    for match, (status, module) in zip(matches, behind, strict=True):
        code = parse_code(match[0])
        if code:
            yield FoundCode(
                code,
                offset + match.start(),
                offset + match.end(),
                status or leading[0],
                module or leading[1] or heading,
            )


def _words(text: str) -> tuple[str, str]:
    # the last word counts: "current sensor circuit, stored" is stored
    statuses = _STATUS.findall(text)
    return (statuses[-1].lower() if statuses else "", _module(text))


def _behind(line: str, matches: list[re.Match[str]]) -> list[tuple[str, str]]:
    """Returns status and module behind each code, up to the next one; listed codes take those of the next."""
    out: list[tuple[str, str]] = []
    ends = [match.start() for match in matches[1:]] + [len(line)]
    following = ("", "")
    for match, end in zip(reversed(matches), reversed(ends), strict=True):
        gap = line[match.end() : end]
        listed = end != len(line) and _SEPARATORS.fullmatch(gap)
        following = following if listed else _words(gap)
        out.append(following)
    return out[::-1]
