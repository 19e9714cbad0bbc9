"""``kbapp case sheet`` as a user calls it."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from pypdf import PdfReader

from tests.commands.conftest import Run

pytestmark = pytest.mark.usefixtures("qapp")
"""One application a process: commands called in this one use it; the last test has a process of its own."""


def _words(path: Path) -> str:
    return " ".join(" ".join(page.extract_text().split()) for page in PdfReader(path).pages)


def test_a_proved_case_is_written_for_the_customer(run: Run, practice: Path, tmp_path: Path) -> None:
    out = tmp_path / "sheet.pdf"
    code, said, _err = run("--book", "practice", "case", "sheet", "2025-0067", "--out", str(out))
    assert (code, said.strip()) == (0, f"Wrote {out}: 2 pages.")
    text = _words(out)
    assert "Proved: the cause was found" in text
    assert "INTERIM" not in text


def test_an_interim_one_says_so_on_the_terminal_too(run: Run, practice: Path, tmp_path: Path) -> None:
    out = tmp_path / "sheet.pdf"
    out.write_bytes(b"an older sheet")
    asked = ("case", "sheet", "2024-0004", "--out", str(out), "--for", "shop", "--paper", "letter")
    code, said, _err = run("--book", "practice", *asked)
    assert code == 0
    assert "not proved. No retest" in said
    assert "INTERIM" in _words(out)
    assert float(PdfReader(out).pages[0].mediabox.width) == 612


def test_refusals_are_one_sentence(run: Run, practice: Path, tmp_path: Path) -> None:
    code, _out, err = run("--book", "practice", "case", "sheet", "nobody", "--out", str(tmp_path / "x.pdf"))
    assert (code, err.count("\n")) == (1, 1)
    code, _out, err = run("--book", "practice", "case", "sheet", "2024-0004", "--out", str(tmp_path / "x.txt"))
    assert code == 2
    assert "ends in .pdf" in err
    code, _out, err = run("--book", "practice", "case", "sheet", "2024-0004", "--out", str(tmp_path / "no" / "x.pdf"))
    assert code == 1
    assert "cannot be written" in err
    assert list(tmp_path.glob("*.pdf")) == []


def test_it_needs_no_screen(practice: Path, tmp_path: Path) -> None:
    bare = {name: value for name, value in os.environ.items() if name not in ("DISPLAY", "QT_QPA_PLATFORM")}
    command = [sys.executable, "-m", "kbapp", "--book", "practice", "case", "sheet", "2025-0067", "--out"]
    done = subprocess.run([*command, str(tmp_path / "s.pdf")], capture_output=True, text=True, env=bare, check=False)
    assert (done.returncode, done.stderr) == (0, "")
    assert (tmp_path / "s.pdf").read_bytes().startswith(b"%PDF")
