"""Trouble codes as they are typed or pasted: a scan report, a list, or one code a line with status and module."""

import re
from collections.abc import Iterable
from typing import Final

from kbapp.records.base import clean_text
from kbapp.records.case import CodeRecord
from kbapp.records.code_search import find_codes
from kbapp.records.codes import parse_code

_MAKERS_OWN: Final = re.compile(r"(?=[^\s,]*\d)[A-Za-z0-9][A-Za-z0-9.\-]{1,14}")
_MOST: Final = 200


def codes_from_text(text: str) -> tuple[CodeRecord, ...]:
    """Returns the codes in a text, each once for a module.

    A line ``code, status, module`` is taken as it stands, so that what ``codes_text`` writes is read back; anything
    else is searched for codes like a scan report. A word with a digit that stands alone on its line is a maker's code.
    """
    text = clean_text(text)
    lines = text.split("\n")
    own = [_own_line(line) for line in lines]
    found = (
        [record for record in own if record] if all(own[n] or not lines[n].strip() for n in range(len(lines))) else []
    )
    if not found:
        found = [CodeRecord(code=f.code.text, status=f.status, module=f.module) for f in find_codes(text)]
        found += [record for record in own if record and not parse_code(record.code) and not record.status]
    once = {(record.code, record.module): record for record in reversed(found)}
    return tuple(reversed(once.values()))[:_MOST]


def _own_line(line: str) -> CodeRecord | None:
    """Returns the code of a line ``code[, status[, module]]`` in which the code is one word, else None."""
    code, status, module = ([part.strip() for part in line.split(",", 2)] + ["", ""])[:3]
    known = parse_code(code)
    if not known and not _MAKERS_OWN.fullmatch(code):
        return None
    if parse_code(status.split(" ")[0]) or len(status) > 60:
        return None  # a list of codes, not one code with its status
    return CodeRecord(code=known.text if known else code, status=status, module=module[:500])


def codes_text(codes: Iterable[CodeRecord]) -> str:
    """Returns codes as lines that ``codes_from_text`` reads back."""
    return "\n".join(", ".join(_filled(code)) for code in codes)


def _filled(code: CodeRecord) -> list[str]:
    parts = [code.code, code.status, code.module]
    while parts and not parts[-1]:
        parts.pop()
    return parts
