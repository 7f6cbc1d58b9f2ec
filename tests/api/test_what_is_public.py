"""What ``import twohand`` offers, what it loads for it, and how it is described."""

from __future__ import annotations

import dataclasses
import pydoc
import subprocess
import sys
import typing
from enum import Enum

import pytest
import twohand
from twohand import api, results
from twohand.record.judged import Judged

FUNCTIONS = ("audit", "check", "compare", "faults", "inspect", "load", "measure")
PLAIN = {str, int, float, bool, type(None)}
DIAGNOSTIC = results.Diagnostic
"""Of errors: it has the places themselves, not their numbers."""


def public_classes() -> list[type]:
    return [getattr(results, name) for name in results.__all__]


def parts(annotation: object) -> set[object]:
    """The types that a type is made of."""
    inner = typing.get_args(annotation)
    if not inner:
        return {annotation}
    return {part for each in inner if each is not Ellipsis for part in parts(each)}


def test_an_import_loads_nothing_but_the_package_itself() -> None:
    code = "import sys; before = set(sys.modules); import twohand; twohand.__all__; dir(twohand);"
    code += "print(*sorted(set(sys.modules) - before))"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, encoding="utf-8", check=True
    )
    assert done.stdout.split() == ["twohand"]


def test_every_public_name_is_there_and_listed() -> None:
    assert set(twohand.__all__) == {*FUNCTIONS, "InputError", "Outcome", "results"}
    assert set(twohand.__all__) <= set(dir(twohand))
    for name in FUNCTIONS:
        assert getattr(twohand, name) is getattr(api, name)
    assert twohand.results is results
    assert twohand.Outcome is results.Outcome


def test_another_name_is_an_attribute_error() -> None:
    with pytest.raises(AttributeError, match="module 'twohand' has no attribute 'prove'"):
        _ = twohand.prove  # type: ignore[attr-defined]


def test_the_help_has_every_function_with_its_parameters() -> None:
    text = pydoc.render_doc(twohand, renderer=pydoc.plaintext)  # type: ignore[attr-defined]
    for name in FUNCTIONS:
        assert f"\n    {name}(path: " in text or f"\n    {name}(first: " in text
    assert "All other modules are private" in text


@pytest.mark.parametrize("shown", public_classes(), ids=lambda each: each.__name__)
def test_an_answer_is_frozen_plain_and_described(shown: type) -> None:
    """Every field of a public dataclass is a number, a word, or made of public ones."""
    assert shown.__doc__
    assert not shown.__doc__.startswith(f"{shown.__name__}(")  # Python's own
    if issubclass(shown, Enum) or shown is DIAGNOSTIC:
        return
    assert dataclasses.is_dataclass(shown)
    assert shown.__dataclass_params__.frozen  # type: ignore[attr-defined]
    for name, annotation in typing.get_type_hints(shown).items():
        assert parts(annotation) <= PLAIN | set(public_classes()), f"{shown.__name__}.{name}"


def test_every_answer_says_whether_it_passes() -> None:
    answers = {name for name in results.__all__ if issubclass(getattr(results, name), Judged)}
    assert answers == {
        "AuditResult", "AuditedSpec", "CheckResult", "CheckedSpec", "CompareResult",
        "FaultsResult", "InspectResult", "InspectedBlock", "Judged", "MeasureResult",
        "MeasuredSpec", "SpecUnderFaults",
    }  # fmt: skip
    for code in results.ExitCode:
        judged = Judged(code)
        assert (judged.passes, bool(judged)) == (code == 0, code == 0)
