"""Reads and writes section maps: every fault at once, one canonical form, one digest."""

import hashlib
import re
from typing import Any

import rfc8785
from pydantic import ValidationError

from kbapp.records.case_document import faults_of
from kbapp.records.fault import Checked, Fault, shorten
from kbapp.records.json_text import read_json
from kbapp.records.map_check import map_faults
from kbapp.records.section_map import MAP_FORMAT, SectionMap


def _version_fault(data: dict[str, Any]) -> Fault | None:
    name = data.get("format")
    if name == MAP_FORMAT or "format" not in data:
        return None
    version = re.fullmatch(r"provebook-map/([0-9]{1,6})", name) if isinstance(name, str) else None
    if version and int(version[1]) > 1:
        return Fault("format", "format_newer", shorten(name), MAP_FORMAT)
    return Fault("format", "format_wrong", shorten(name), MAP_FORMAT)


def check_map(data: object) -> Checked[SectionMap]:
    """Returns the section map a JSON value holds, or every fault that keeps it from being one."""
    if not isinstance(data, dict):
        return Checked(faults=(Fault("", "wrong_type", type(data).__name__, "an object"),))
    version = _version_fault(data)
    if version:
        return Checked(faults=(version,))
    try:
        section_map = SectionMap.model_validate(data)
    except ValidationError as error:
        return Checked(faults=faults_of(error))
    faults = map_faults(section_map)
    return Checked(None if faults else section_map, faults)


def read_map(data: bytes) -> Checked[SectionMap]:
    """Returns the section map in a JSON text, or every fault of text and document."""
    text = read_json(data)
    return check_map(text.value) if text.value is not None else Checked(faults=text.faults)


def canonical_map(section_map: SectionMap) -> bytes:
    """Returns the canonical JSON (RFC 8785) of a map, without fields at their default."""
    return rfc8785.dumps(section_map.plain())


def map_digest(section_map: SectionMap) -> str:
    """Returns the SHA-256 of the canonical JSON, 64 hexadecimal digits."""
    return hashlib.sha256(canonical_map(section_map)).hexdigest()
