"""The documentation is tested: every field, link and picture it should or does name is there."""

import re
from pathlib import Path

import pytest
from pydantic import BaseModel

from kbapp.records import case, private, section_map, timeline

ROOT = Path(__file__).resolve().parents[2]
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", ROOT / "CHANGELOG.md", *sorted((ROOT / "docs").rglob("*.md"))]


def _fields(module: object) -> set[str]:
    models = [v for v in vars(module).values() if isinstance(v, type) and issubclass(v, BaseModel)]
    return {name for model in models for name in model.model_fields}


@pytest.mark.parametrize(
    ("module", "page"),
    [(case, "formats.md"), (timeline, "formats.md"), (private, "formats.md"), (section_map, "maps.md")],
)
def test_every_field_of_a_document_is_described(module: object, page: str) -> None:
    text = (ROOT / "docs" / page).read_text(encoding="utf-8")
    assert sorted(name for name in _fields(module) if f"`{name}`" not in text and f"`{name}:" not in text) == []


@pytest.mark.parametrize("page", PAGES, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_links_and_pictures_lead_somewhere(page: Path) -> None:
    targets = re.findall(r"\]\(([^)#\s]+)(?:#[^)]*)?\)", page.read_text(encoding="utf-8"))
    local = [target for target in targets if not target.startswith(("http://", "https://"))]
    assert [target for target in local if not (page.parent / target).exists()] == []


def test_the_readme_names_qts_libraries_as_ci_installs_them() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    named = set(re.findall(r"\blib[a-z0-9.-]+", readme.split("sudo apt-get install")[1].split("```")[0]))
    installed = set(
        re.findall(
            r"\blib[a-z0-9.-]+",
            (ROOT / ".ci" / "run").read_text(encoding="utf-8").split("apt-get install")[1].split(">/dev/null")[0],
        )
    )
    assert named == installed


def test_each_command_block_of_the_readme_is_one_line() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    for mark in ("start on the practice book", "run the tests"):
        block = re.search(rf"<!-- {mark} -->\n```sh\n(.*?)\n```", readme, re.DOTALL)
        assert block
        assert "\n" not in block[1]
