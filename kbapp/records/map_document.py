"""Reads and writes section maps: every fault at once, one canonical form, one digest."""

import hashlib

import rfc8785
from pydantic import ValidationError

from kbapp.records.fault import Checked
from kbapp.records.json_text import read_json
from kbapp.records.map_check import map_faults
from kbapp.records.section_map import MAP_FORMAT, SectionMap
from kbapp.records.validation import faults_of, format_fault, not_an_object


def check_map(data: object) -> Checked[SectionMap]:
    """Returns the section map a JSON value holds, or every fault that keeps it from being one."""
    if not isinstance(data, dict):
        return Checked(faults=(not_an_object(data),))
    version = format_fault(data, MAP_FORMAT)
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
