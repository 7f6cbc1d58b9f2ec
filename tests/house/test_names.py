"""A name means one thing in the whole house."""

from __future__ import annotations

import ast
from collections import defaultdict

from tests.support.places import PACKAGE

WRITTEN_AND_TYPED = {"syntax/tree", "program"}
"""A construct as it is written and as it is typed has one name: ``If``, ``Literal``."""


def public_classes() -> dict[str, set[str]]:
    """The folders that define a class, by its name."""
    found = defaultdict(set)
    for module in PACKAGE.rglob("*.py"):
        for node in ast.parse(module.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                found[node.name].add(module.parent.relative_to(PACKAGE).as_posix())
    return found


def test_no_two_rooms_have_a_class_of_one_name() -> None:
    found = public_classes()
    assert len(found) > 400
    shared = {name: rooms for name, rooms in found.items() if len(rooms) > 1}
    assert {name: rooms for name, rooms in shared.items() if rooms != WRITTEN_AND_TYPED} == {}
    assert "If" in shared
