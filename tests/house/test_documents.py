"""What is written for developers names what is there, and a release has one version."""

from __future__ import annotations

import re
import tomllib
from importlib.util import find_spec

import pytest
from twohand import __version__

from tests.support.places import PACKAGE, ROOT

DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
NAMED = sorted(set(re.findall(r"`([\w.]+/[\w./]*)`", DEVELOPERS)))


@pytest.mark.parametrize("path", [path for path in NAMED if path != "dist/"])
def test_a_path_that_developers_are_sent_to_is_there(path: str) -> None:
    assert (PACKAGE / path).exists() or (ROOT / path).exists()


def test_the_paths_are_found() -> None:
    assert len(NAMED) > 60


def test_every_room_has_its_row() -> None:
    rooms = {each.name for each in PACKAGE.iterdir() if (each / "__init__.py").is_file()}
    rows = set(re.findall(r"^\| `(\w+)/` \|", DEVELOPERS, re.MULTILINE))
    assert rows == rooms


def test_a_tool_that_developers_are_sent_to_is_there() -> None:
    tools = set(re.findall(r"python -m (tests\.\w+)", DEVELOPERS))
    assert tools
    assert [tool for tool in tools if find_spec(tool) is None] == []


def test_a_release_has_one_version_and_its_place_in_the_changelog() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert project["version"] == __version__
    changelog = (PACKAGE / "CHANGELOG.md").read_text(encoding="utf-8")
    headings = re.findall(r"^## \[(.+?)\]", changelog, re.MULTILINE)
    assert headings[:2] == ["Unreleased", __version__]
