# ruff: noqa: E501 - the dangers stand in rows
"""Hostile packs: thousands of ways to break, escape or half-import, and proof that none of them does.

    python -m tests.packs.hostile --count 10000 --seed 1

Every pack is planned and read into a real book. Whatever comes of it, the book then holds either all that the plan
promised or exactly what it held before, no file outside the book's own folder has appeared or changed, and what a
person is told is made of whole sentences.
"""

import argparse
import hashlib
import json
import random
import re
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Final

from kbapp.errors import KbError
from kbapp.packs.signing import sign
from kbapp.wording import fault_sentence, faults_in, sentence
from tests.packs import forge
from tests.packs.raw_zip import DEFLATED, Ending, Raw, build
from tests.packs.world import COPPERHILL, WEIR_LANE, Side, document

_UNFILLED: Final = re.compile(r"\((?:path|found|expected|code|where|count|source)\)")

Make = Callable[[random.Random], bytes]

NAMES: Final = (
    "../escape.txt", "../../etc/passwd", "/etc/passwd", "C:/x.txt", "c:x", "..\\x", "data\\cases\\x", "data/./x", "data//x",
    "data/../../x", "nul", "data/NUL", "data/aux.json", "data/com1.txt", "data/LPT9", "data/x.", "data/x ", "data/ x", "data/a:b",
    "data/a?b", "data/a*b", 'data/a"b', "data/a|b", "data/a<b>", "data/a\0b", "data/a\nb", "data/a\u202eb", "data/a\u200bb", "data/e\u0301",
    "data/\ufeffx", "data/a\ud800b", "data/" + "x" * 300, "a/b/c/d/e/f/g/h/i/j", "~/.bashrc", "data/cases/x.json", "fetch.txt", "",
    "data/con.tar.gz", "data/COM¹", "data/conin$", "data/\x7f", "//server/share/x", "data/cases/" + "0" * 36 + ".json/..",
    "data/\U000e0041", "data/...", "data/%2e%2e/x",
)  # fmt: skip
LOW_ORDER: Final = (
    "0100000000000000000000000000000000000000000000000000000000000000",
    "0000000000000000000000000000000000000000000000000000000000000000",
    "0000000000000000000000000000000000000000000000000000000000000080",
    "ecffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f",
    "edffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f",
    "eeffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f",
    "26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05",
    "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a",
    "0100000000000000000000000000000000000000000000000000000000000080",
)  # fmt: skip
TEXTS: Final = (
    "<script>alert(1)</script>", "![x](https://example.org/track.png)", "[x](javascript:alert(1))", "<img src=x onerror=alert(1)>",
    "<iframe src='file:///etc/passwd'></iframe>", "[x](file:///etc/passwd)", "![](data:text/html;base64,PHNjcmlwdD4=)", "{{7*7}}",
    "${jndi:ldap://x}", "'; DROP TABLE cases; --", "%s%s%n", "\\u0000", "A" * 19_000, "\U0001f600" * 500, "{shop} {0}", "=cmd|'/c calc'!A1",
)  # fmt: skip


def _payload(*cases: dict[str, Any]) -> dict[str, bytes]:
    return {f"data/cases/{case['id']}.json": forge.entry(case) for case in cases}


def _case(rng: random.Random, **fields: Any) -> dict[str, Any]:
    name = f"{rng.getrandbits(128):032x}"
    case_id = "-".join((name[:8], name[8:12], name[12:16], name[16:20], name[20:]))
    return document(id=case_id, number=f"2026-{rng.randrange(9999):04}", shop=forge.SHOP) | fields


def _good(rng: random.Random) -> bytes:
    return forge.packed(_case(rng), _case(rng))


def _entries(rng: random.Random) -> list[Raw]:
    files = forge.tags(_payload(_case(rng), _case(rng)))
    return [Raw(f"{forge.TOP}/{path}", data) for path, data in sorted(files.items())]


# the bytes of the file


def flipped(rng: random.Random) -> bytes:
    data = bytearray(_good(rng))
    for _ in range(rng.choice((1, 1, 2, 8, 64))):
        data[rng.randrange(len(data))] ^= 1 << rng.randrange(8)
    return bytes(data)


def cut(rng: random.Random) -> bytes:
    data = _good(rng)
    return data[: rng.randrange(len(data))]


def spliced(rng: random.Random) -> bytes:
    data = _good(rng)
    one, other = sorted((rng.randrange(len(data)), rng.randrange(len(data))))
    return rng.choice(
        (
            data[:one] + data[other:],
            data[:one] + rng.randbytes(rng.randrange(200)) + data[one:],
            data + rng.randbytes(9),
            rng.randbytes(7) + data,
            data[:one] + data[one:other] * 2 + data[other:],
        )
    )


def noise(rng: random.Random) -> bytes:
    return rng.choice(
        (
            b"",
            b"PK",
            b"PK\5\6" + bytes(18),
            rng.randbytes(rng.randrange(3000)),
            b"PK\3\4" * 50,
            b"\x1f\x8b" + rng.randbytes(50),
        )
    )


# the ZIP


def bad_name(rng: random.Random) -> bytes:
    entries = _entries(rng)
    name = rng.choice(NAMES)
    place = rng.choice((name, f"{forge.TOP}/{name}"))
    if rng.random() < 0.5:
        entries.append(Raw(place, b"x"))
    else:
        entries[rng.randrange(len(entries))].name = place
    return build(entries)


def name_bytes(rng: random.Random) -> bytes:
    entries = _entries(rng)
    raw = rng.choice((b"pack/\xff\xfe", b"pack/data/\x80", rng.randbytes(8), b"pack/\xed\xa0\x80"))
    entries.append(Raw(raw, b"x", flags=rng.choice((0, 0x800))))
    return build(entries)


def twice(rng: random.Random) -> bytes:
    entries = _entries(rng)
    one = rng.choice(entries)
    name = str(one.name)
    other = rng.choice((name, name.upper(), name.swapcase(), name.replace("k", "\u212a"), name.replace("s", "\u017f")))
    entries.append(Raw(other, rng.choice((one.data, b"other"))))
    return build(entries)


def odd_entry(rng: random.Random) -> bytes:
    entries = _entries(rng)
    one = rng.choice(entries)
    field, value = rng.choice(
        (
            ("attributes", 0o120777 << 16), ("attributes", 0o040755 << 16 | 0x10), ("attributes", 0o020666 << 16), ("attributes", 0x10),
            ("attributes", 0o010644 << 16), ("flags", 1), ("flags", 8), ("flags", 0x40), ("flags", 0x2000), ("flags", 0x20), ("method", 12), ("method", 14),
            ("method", 93), ("method", 1), ("extra", b"\x01\0\x08\0" + bytes(8)), ("extra", b"up" + bytes(9)), ("local_extra", b"\x75\x70\0\0"),
            ("comment", b"hi"), ("disk", 1), ("crc", 0), ("crc", rng.getrandbits(32)), ("local_name", b"pack/other"), ("version", 63),
        )
    )  # fmt: skip
    setattr(one, field, value)
    return build(entries)


def lying_size(rng: random.Random) -> bytes:
    entries = _entries(rng)
    one = rng.choice(entries)
    true = len(one.data)
    wrong = rng.choice((0, 1, true - 1, true + 1, true * 3, 2**31, 2**32 - 1, 65 * 2**20))
    if rng.random() < 0.4:
        one.method = DEFLATED
    setattr(one, rng.choice(("size", "packed_size", "local_size")), max(0, wrong))
    return build(entries)


def bomb(rng: random.Random) -> bytes:
    entries = _entries(rng)
    size = rng.choice((200_000, 2_000_000, 9_000_000))
    one = Raw(f"{forge.TOP}/data/files/{'0' * 64}", bytes(size), DEFLATED)
    if rng.random() < 0.5:
        one.size = rng.choice((10, 1000, len(one.body()) * 99))
    entries.append(one)
    return build(entries)


def bad_stream(rng: random.Random) -> bytes:
    entries = _entries(rng)
    one = rng.choice(entries)
    one.method = DEFLATED
    body = bytearray(one.body())
    kind = rng.randrange(4)
    if kind == 0:
        body[rng.randrange(len(body))] ^= 255
    elif kind == 1:
        body = body[: rng.randrange(len(body))]
    elif kind == 2:
        body += rng.randbytes(20)
    else:
        body = bytearray(rng.randbytes(len(body)))
    one.packed = bytes(body)
    return build(entries)


def bad_ending(rng: random.Random) -> bytes:
    entries = _entries(rng)
    count = len(entries)
    ending = rng.choice(
        (
            Ending(count=count - 1), Ending(count=count + 1), Ending(count=65535), Ending(size=0), Ending(size=2**31), Ending(start=0),
            Ending(start=2**32 - 1), Ending(disk=1), Ending(comment=b"note"), Ending(before=b"MZ" + bytes(60)), Ending(between=b"hidden"),
            Ending(after=b"tail"), Ending(count=0, size=0),
        )
    )  # fmt: skip
    return build(entries, ending)


def overlap(rng: random.Random) -> bytes:
    entries = _entries(rng)
    one, other = rng.sample(range(len(entries)), 2)
    entries[one].header = rng.choice((0, 40, 2**31, 7 * other))
    return build(entries)


def many(rng: random.Random) -> bytes:
    entries = _entries(rng)
    entries += [Raw(f"{forge.TOP}/data/files/{n:064x}", b"") for n in range(rng.choice((30, 300)))]
    return build(entries)


# the bag


def loose(rng: random.Random) -> bytes:
    files = forge.tags(_payload(_case(rng), _case(rng)))
    name = rng.choice(list(files))
    kind = rng.randrange(5)
    if kind == 0:
        del files[name]
    elif kind == 1:
        files[name] += rng.choice((b"\n", b" ", b"x"))
    elif kind == 2:
        files[rng.choice(("data/extra.txt", "fetch.txt", "manifest-md5.txt", "note.txt", f"data/files/{'a' * 64}"))] = (
            b"x"
        )
    elif kind == 3:
        other = rng.choice(list(files))
        files[name], files[other] = files[other], files[name]
    else:
        files[name] = b""
    return forge.zipped(files)


def bad_manifest(rng: random.Random) -> bytes:
    payload = _payload(_case(rng))
    good = forge.lines(payload)
    first = good.split(b"\n")[0]
    manifest = rng.choice(
        (
            good + good, good + b"0" * 64 + b"  data/../../x\n", good + b"0" * 64 + b"  /etc/passwd\n", good.replace(b"\n", b"\r\n"),
            good[:-1], good + b"\n", b"\xff" + good, good.upper(), good.replace(b"data/", b"data/./"), good.replace(b"  ", b" *"),
            good + b"0" * 64 + b"  data/%2e%2e/x\n", first[:40] + b"\n", good.replace(b"data", b"\xc3\xa4ata"), b"", good + b"\0" * 9,
            good + b"0" * 64 + b"  http://example.org/x\n", b"\xef\xbb\xbf" + good,
        )
    )  # fmt: skip
    return forge.zipped(forge.tags(payload, manifest=manifest))


def bad_tag(rng: random.Random) -> bytes:
    payload = _payload(_case(rng))
    options: tuple[dict[str, bytes], ...] = (
        {"bagit": b"BagIt-Version: 0.97\nTag-File-Character-Encoding: UTF-8\n"},
        {"bagit": b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-16\n"},
        {"bagit": b"\xef\xbb\xbfBagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"},
        {"bagit": b""},
        {"bag_info": b"Payload-Oxum: 1.1\n"},
        {"bag_info": b"Payload-Oxum: -1.9\n"},
        {"bag_info": "Payload-Oxum: \u0661.\u0661\n".encode()},
        {"bag_info": b"no colon\n"},
        {"bag_info": b"A: b\n"},
        {"bag_info": b"\xff: \xfe\n"},
        {"signer": b"{}"},
        {"signer": b"[]"},
        {"signer": b"null"},
        {"signer": b"\xff"},
        {"signer": b'{"format":"provebook-pack/2"}'},
        {"signer": b'{"format":"provebook-pack/1","shop":{"id":"x"},"public_key":"00"}'},
        {"signer": b"[" * 100_000},
        {"signer": b'{"format": "provebook-pack/99999999999999999999"}'},
    )
    return forge.zipped(forge.tags(payload, **rng.choice(options)))


# keys and signatures


def bad_signature(rng: random.Random) -> bytes:
    files = forge.tags(_payload(_case(rng)))
    good = files["signature.ed25519"]
    high = int.from_bytes(good[32:], "little") + 2**252 + 27742317777372353535851937790883648493
    files["signature.ed25519"] = rng.choice(
        (
            bytes(64), good[::-1], good[:63], good + b"\n", rng.randbytes(64), good.hex().encode(), b"",
            sign(rng.randbytes(32), files["tagmanifest-sha256.txt"]), sign(forge.SEED, b""), good[:32] + high.to_bytes(32, "little"),
        )
    )  # fmt: skip
    return forge.zipped(files)


def weak_key(rng: random.Random) -> bytes:
    key = rng.choice((*LOW_ORDER, rng.randbytes(32).hex()))
    signer = json.dumps({"format": "provebook-pack/1", "shop": forge.SHOP, "public_key": key}).encode()
    files = forge.tags(_payload(_case(rng)), signer=signer)
    # the neutral element as R and zero as S satisfy the equation for the neutral key whatever the message
    files["signature.ed25519"] = rng.choice((b"\1" + bytes(63), bytes(64), bytes.fromhex(key) + bytes(32)))
    return forge.zipped(files)


def stranger(rng: random.Random) -> bytes:
    """A pack soundly signed by a key this book never met, in the name of a shop it knows."""
    payload = _payload(_case(rng))
    seed = rng.randbytes(32)
    files = forge.tags(payload, seed)
    return forge.zipped(files)


# what a hostile shop with a sound key may sign


def bad_json(rng: random.Random) -> bytes:
    case = _case(rng)
    text = forge.entry(case).decode()
    case_id = case["id"]
    value = rng.choice(
        (
            "[" * 50_000, '{"a":' * 60_000, text.replace("184322", "9" * 400), text.replace("184322", "1e999"), text.replace("184322", "NaN"),
            text.replace("184322", "-0"), text.replace("184322", "9007199254740993"), text.replace("Pallow", "\\ud800"), text.replace("Pallow", "\\u0000"),
            text.replace('"state"', '"state":"open","state"'), text[:-9], text + "x", "\x00" * 40, "", "null", "[]", "0", '"x"', "true",
            text.replace("Pallow", "\\u202e"), text.replace("provebook-case/1", "provebook-case/2"), text.replace("pack-case/1", "pack-case/7"),
            text.replace('"lineage"', '"line"'), text.replace('"parents": []', '"parents": ["x"]'), text.replace("proved", "sold"),
            text.replace(case_id, case_id.upper()), text.replace('"case"', '"Case"'), json.dumps({"format": "provebook-pack-case/1"}),
            text.replace('"parents": []', '"parents": ' + json.dumps(["0" * 64] * 1500)), text.replace('"value": 184322', '"value": "184322"'),
        )
    )  # fmt: skip
    payload = {f"data/cases/{case_id}.json": value.encode("utf-8", "surrogatepass")}
    return forge.zipped(forge.tags(payload))


def bad_case(rng: random.Random) -> bytes:
    text = rng.choice(TEXTS)
    other = "00000000-0000-4000-8000-000000000000"
    fields: dict[str, Any] = rng.choice(
        (
            {"notes": text}, {"concern": {"text": text}}, {"lesson": text, "number": text[:90]}, {"vehicle_ref": "v-1"}, {"number": ""},
            {"timeline": [{"id": "a", "kind": "note", "text": text}, {"id": "a", "kind": "note"}]}, {"shop": None},
            {"timeline": [{"id": "a", "kind": "test", "test": "x", "supersedes": "a"}]}, {"links": [{"kind": "same_as", "case": other}]},
            {"attachments": [{"sha256": "0" * 64, "name": "x"}]}, {"opened": "2026-13"}, {"map": {"id": text[:100] or "x"}},
            {"attachments": [{"sha256": hashlib.sha256(b"x").hexdigest(), "name": "../../x", "media_type": "text/html"}]},
            {"codes": [{"code": text[:90]}]}, {"shop": {"id": WEIR_LANE.id, "name": text[:400]}}, {"id": other}, {"surprise": 1},
        )
    )  # fmt: skip
    case = _case(rng, **fields)
    return forge.packed(
        {name: value for name, value in case.items() if value is not None},
        files=rng.choice(({}, {hashlib.sha256(b"x").hexdigest(): b"x"})),
    )


def bad_place(rng: random.Random) -> bytes:
    case, other = _case(rng), _case(rng)
    name = hashlib.sha256(b"x").hexdigest()
    payload = rng.choice(
        (
            {f"data/cases/{other['id']}.json": forge.entry(case)}, {f"data/cases/{case['id']}": forge.entry(case)},
            {f"data/{case['id']}.json": forge.entry(case)}, {"data/cases/../x.json": forge.entry(case)}, {},
            _payload(case) | {f"data/files/{name}": b"y"}, _payload(case) | {f"data/files/{name}": b"x"},
            _payload(case) | {f"data/maps/{name}.json": b"{}"}, _payload(case) | {f"data/maps/{name}.json": b"[" * 90_000},
            {f"data/cases/{case['id'].upper()}.json": forge.entry(case)}, {f"data/cases/{case['id']}.json": forge.entry(case, digest="1" * 64)},
            {f"data/cases/{case['id']}.json": forge.entry(case, extra=1)},
        )
    )  # fmt: skip
    return forge.zipped(forge.tags(payload))


KINDS: Final[tuple[Make, ...]] = (
    flipped, cut, spliced, noise, bad_name, name_bytes, twice, odd_entry, lying_size, bomb, bad_stream, bad_ending, overlap, many, loose,
    bad_manifest, bad_tag, bad_signature, weak_key, stranger, bad_json, bad_case, bad_place,
)  # fmt: skip


class Field:
    """A book with one case of its own, the shop that attacks it known by name, and a watched folder around them."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.side = Side(folder / "inner" / "book", WEIR_LANE, "IK")
        self.pack = folder / "inner" / "incoming.zip"
        self.outcomes: Counter[str] = Counter()
        self.failures: list[str] = []
        rng = random.Random(0)
        self.pack.write_bytes(forge.packed(_case(rng)))
        self.side.crate.read(self.pack)
        self._start = self._state()

    def close(self) -> None:
        self.side.book.close()

    def _files(self) -> Iterator[str]:
        book = self.folder / "inner" / "book"
        yield from sorted(str(path) for path in self.folder.rglob("*") if book not in path.parents)

    def _state(self) -> tuple[int, tuple[str, ...]]:
        return self.side.book.count(), tuple(self._files())

    def attack(self, name: str, data: bytes) -> str:
        """Plans and reads one pack, checks what came of it, and returns the outcome's name."""
        self.pack.write_bytes(data)
        before, told = self._state(), list[str]()
        try:
            plan = self.side.crate.plan(self.pack)
            told += [fault_sentence(fault) for item in plan.items for fault in item.faults]
            told += [fault_sentence(fault) for fault in plan.map_faults]
            done = self.side.crate.read(self.pack)
        except KbError as error:
            told += sentence(error).split("\n")
            told += [fault_sentence(fault) for fault in faults_in(error)]
            outcome = f"refused: {error.code}"
            assert self._state() == before, "something was left after a refusal"
        else:
            outcome = f"taken: {len(done.cases)}"
            promised = plan.count("new") + plan.count("revised")
            assert len(done.cases) == promised, (len(done.cases), promised)
            assert self.side.book.count() == before[0] + plan.count("new")
            if done.batch:
                self.side.crate.undo(done.batch)
        assert self._state() == before, "something was left"
        for line in told:
            assert line, "an empty sentence"
            assert "(unworded)" not in line, line
            assert not _UNFILLED.search(line), line
            assert line.rstrip().endswith((".", ":", "…", "?")), line
        return outcome

    def run(self, count: int, seed: int) -> None:
        """Attacks ``count`` times, in turn with every kind."""
        rng = random.Random(seed)
        for n in range(count):
            kind = KINDS[n % len(KINDS)]
            try:
                self.outcomes[f"{kind.__name__}: {self.attack(kind.__name__, kind(rng))}"] += 1
            except Exception:
                self.failures.append(f"{kind.__name__} (number {n}, seed {seed}):\n{traceback.format_exc()}")


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--count", type=int, default=10_000)
    parser.add_argument("--seed", type=int, default=1)
    arguments = parser.parse_args()
    start = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        field = Field(Path(folder))
        field.run(arguments.count, arguments.seed)
        field.close()
    for outcome, times in sorted(field.outcomes.items()):
        print(f"{times:6}  {outcome}")
    for failure in field.failures[:5]:
        print(failure)
    refused = sum(
        times for outcome, times in field.outcomes.items() if "refused" in outcome or outcome.endswith("taken: 0")
    )
    print(
        f"{arguments.count} packs from shop {COPPERHILL.name}: {refused} refused, "
        f"{arguments.count - refused - len(field.failures)} harmless and taken whole, {len(field.failures)} failures, "
        f"{time.monotonic() - start:.0f} s"
    )
    return 1 if field.failures else 0


if __name__ == "__main__":
    sys.exit(main())
