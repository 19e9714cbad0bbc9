"""Signs packs of any content, as a shop that means harm could: with a sound key, or without one."""

import hashlib
import json
from collections.abc import Mapping
from typing import Any

from kbapp.packs.signing import public_key_of, sign
from kbapp.records.case_document import check_case, digest
from tests.packs.raw_zip import Raw, build

SEED = bytes.fromhex("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60")
SHOP = {"id": "8d2e61f4-17c3-4f0a-b6a5-94e0c7d3aa25", "name": "Copperhill Auto Electrics"}
TOP = "pack"
DECLARATION = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"


def entry(case: Mapping[str, Any], **lineage: Any) -> bytes:
    """Returns a case entry; the digest is right wherever the case can be read."""
    checked = check_case(dict(case))
    name = digest(checked.value) if checked.value else "0" * 64
    value = {"format": "provebook-pack-case/1", "case": case, "lineage": {"digest": name, "parents": [], **lineage}}
    return json.dumps(value).encode()


def tags(payload: Mapping[str, bytes], seed: bytes = SEED, **changed: bytes) -> dict[str, bytes]:
    """Returns all files of a signed bag; ``changed`` replaces tag files before what vouches for them is made."""
    key = public_key_of(seed).hex()
    signer = {"format": "provebook-pack/1", "shop": SHOP, "public_key": key}
    size = sum(map(len, payload.values()))
    out = {
        "bagit.txt": DECLARATION,
        "bag-info.txt": f"Payload-Oxum: {size}.{len(payload)}\n".encode(),
        "manifest-sha256.txt": lines(payload),
        "signer.json": json.dumps(signer, sort_keys=True).encode(),
    }
    out |= {named(name): data for name, data in changed.items()}
    out["tagmanifest-sha256.txt"] = lines(out)
    out["signature.ed25519"] = sign(seed, out["tagmanifest-sha256.txt"])
    return {**out, **payload}


def named(keyword: str) -> str:
    """Returns the file a keyword means: ``bag_info`` is ``bag-info.txt``."""
    return {
        "bagit": "bagit.txt",
        "bag_info": "bag-info.txt",
        "manifest": "manifest-sha256.txt",
        "signer": "signer.json",
    }[keyword]


def lines(files: Mapping[str, bytes]) -> bytes:
    """Returns a manifest of these files."""
    return "".join(f"{hashlib.sha256(files[path]).hexdigest()}  {path}\n" for path in sorted(files)).encode()


def zipped(files: Mapping[str, bytes], **options: Any) -> bytes:
    """Returns the ZIP of a bag."""
    return build([Raw(f"{TOP}/{path}", data, **options) for path, data in sorted(files.items())])


def packed(*cases: Mapping[str, Any], files: Mapping[str, bytes] | None = None, **changed: bytes) -> bytes:
    """Returns a pack of these cases (with their ``id``) and files."""
    payload = {f"data/cases/{case['id']}.json": entry(case) for case in cases}
    payload |= {f"data/files/{name}": data for name, data in (files or {}).items()}
    return zipped(tags(payload, **changed))
