"""House rules that a script can check: imports, sizes, wording of every code, documentation of every command."""

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from kbapp.cli import build_parser
from kbapp.wording import known_codes

ROOT = Path(__file__).resolve().parents[2]
SOURCES = sorted((ROOT / "kbapp").rglob("*.py"))


def _trees() -> Iterator[tuple[Path, ast.Module]]:
    for path in SOURCES:
        yield path, ast.parse(path.read_text(encoding="utf-8"))


def _top_level_imports(tree: ast.Module) -> set[str]:
    names = set()
    for node in tree.body:
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            names.add(node.module)
    return names


@pytest.mark.parametrize(
    ("package", "home"),
    [("PySide6", "desktop"), ("sqlalchemy", "store"), ("whoosh", "lookup"), ("alembic", "store"), ("psycopg", "store")],
)
def test_a_library_lives_in_one_layer(package: str, home: str) -> None:
    strays = [
        path.relative_to(ROOT).as_posix()
        for path, tree in _trees()
        for node in ast.walk(tree)
        if isinstance(node, (ast.Import, ast.ImportFrom))
        for name in ([node.module or ""] if isinstance(node, ast.ImportFrom) else [a.name for a in node.names])
        if name.split(".")[0] == package and path.relative_to(ROOT / "kbapp").parts[0] != home
    ]
    assert strays == []


def test_modules_stay_small() -> None:
    sizes = {path: len(path.read_text(encoding="utf-8").splitlines()) for path in SOURCES}
    too_long = {path.name: n for path, n in sizes.items() if n > 600}
    assert too_long == {}
    median = sorted(sizes.values())[len(sizes) // 2]
    assert median <= 150


def _raised_codes() -> Iterator[tuple[str, str]]:
    errors = {"KbError", "InputError", "UsageError", "EnvironmentFault", "DamageError"}
    for path, tree in _trees():
        for node in ast.walk(tree):
            if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Name):
                continue
            position = 0 if node.func.id in errors else 1 if node.func.id == "Fault" else None
            if position is None or len(node.args) <= position:
                continue
            code = node.args[position]
            if isinstance(code, ast.Constant) and isinstance(code.value, str):
                yield path.relative_to(ROOT).as_posix(), code.value


def test_every_code_is_worded() -> None:
    raised = list(_raised_codes())
    assert len(raised) > 40
    assert [item for item in raised if item[1] not in known_codes()] == []


def test_every_command_is_documented() -> None:
    docs = (ROOT / "docs" / "commands.md").read_text(encoding="utf-8")
    missing: list[str] = []

    def walk(parser: object, words: str) -> None:
        for action in getattr(parser, "_actions", []):
            missing.extend(
                f"{words} {option}"
                for option in action.option_strings
                if option.startswith("--") and option not in docs
            )
            choices = getattr(action, "choices", None)
            if isinstance(choices, dict):
                for name, child in choices.items():
                    if f"kbapp {words} {name}".replace("  ", " ") not in docs:
                        missing.append(f"{words} {name}")
                    walk(child, f"{words} {name}".strip())

    walk(build_parser(), "")
    assert missing == []


@pytest.mark.parametrize(
    ("module", "heavy"),
    [
        ("kbapp.cli", {"PySide6", "sqlalchemy", "whoosh", "numpy", "alembic", "pydantic"}),
        ("kbapp.app.session", {"PySide6", "alembic", "psycopg", "pyqtgraph"}),
    ],
)
def test_start_up_imports_stay_light(module: str, heavy: set[str]) -> None:
    code = f"import sys, {module}; print(' '.join(sorted(m for m in sys.modules if '.' not in m)))"
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split()
    assert heavy.isdisjoint(loaded)


def test_changelog_names_the_version_it_leads_to() -> None:
    text = (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
    headings = re.findall(r"^## \[(.+?)\]", text, re.MULTILINE)
    assert headings
    assert headings[0] == "Unreleased" or re.fullmatch(r"\d+\.\d+\.\d+", headings[0])
    assert re.findall(r"^### (Added|Changed|Fixed|Removed|Deprecated|Security)$", text, re.MULTILINE)
