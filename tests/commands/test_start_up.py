"""What the command line loads before it answers: the list of its commands has to come at once."""

from __future__ import annotations

import subprocess
import sys

import click
import pytest
from twohand.commands.main import COMMANDS, commands, module_of

from tests.support.places import PACKAGE

FOR_THE_LIST = {
    "twohand",
    "twohand.commands",
    "twohand.commands.main",
    "twohand.commands.shared",
    "twohand.commands.shared.closed_pipe",
    "twohand.commands.shared.examples",
    "twohand.commands.shared.interrupt",
    "twohand.report",
    "twohand.report.exit_code",
}
HEAVY = {"z3", "cvc5", "lark"}
LOADED = """
import sys
from twohand.commands.main import run
for name in sys.argv[1].split():
    assert run([name, "--help"] if name[0] != "-" else [name]) == 0
print(" ".join(sys.modules), file=sys.stderr)
"""


def loaded_by(arguments: str) -> tuple[set[str], str]:
    """The modules that a process has which asked for these, one after the other, and its output."""
    done = subprocess.run(
        [sys.executable, "-c", LOADED, arguments],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=True,
    )
    return set(done.stderr.split()), done.stdout


@pytest.mark.parametrize("option", ["--help", "--version"])
def test_help_and_version_load_no_more_of_the_package_than_they_show(option: str) -> None:
    loaded, shown = loaded_by(option)
    assert {name for name in loaded if name.partition(".")[0] == "twohand"} == FOR_THE_LIST
    assert not loaded & HEAVY
    assert "twohand" in shown


def test_the_help_of_no_command_loads_a_solver_or_the_parser() -> None:
    loaded, shown = loaded_by(" ".join(COMMANDS))
    assert {module_of(name) for name in COMMANDS} <= loaded
    assert not loaded & HEAVY
    assert shown.count("Usage: twohand ") == len(COMMANDS)


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_is_listed_with_the_words_that_its_own_help_begins_with(name: str) -> None:
    command = commands.get_command(click.Context(commands), name)
    assert command is not None
    assert command.name == name
    assert command.get_short_help_str(1_000) == COMMANDS[name]


def test_every_module_of_a_command_is_listed() -> None:
    modules = {
        f"twohand.commands.{path.parent.name}.{path.stem}"
        for path in (PACKAGE / "commands").glob("*/*.py")
        if path.parent.name != "shared"
    }
    listed = {module_of(name) for name in COMMANDS}
    assert {each for each in modules - listed if not each.endswith("__init__")} == {
        "twohand.commands.checking.changed_specs",
        "twohand.commands.checking.other_tools",
        "twohand.commands.gate.asking",
        "twohand.commands.gate.former",
        "twohand.commands.gate.project_review",
        "twohand.commands.gate.review_outputs",
        "twohand.commands.gate.snapshot",
        "twohand.commands.learning.gallery_entry",
        "twohand.commands.learning.new_files",
        "twohand.commands.machine.sheet_program",
    }
    assert listed <= modules
    assert list(COMMANDS) == sorted(COMMANDS)
