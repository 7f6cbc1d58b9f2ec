"""From the parser's tree to the syntax tree: statements."""

from __future__ import annotations

from typing import Any

from lark.tree import Meta

from twohand.syntax import tree
from twohand.syntax.parsing.declarations import TypeBuilder
from twohand.syntax.parsing.expressions import Children
from twohand.syntax.parsing.units import UnitBuilder


class Builder(UnitBuilder, TypeBuilder):
    """One method for each rule of ``grammar/structured_text.lark`` below the units."""

    NODES = {  # noqa: RUF012 - never changed
        "assign": (tree.Assign, 0, 2),
        "bounds": (tree.Bounds, 0, 2),
        "call_statement": (tree.CallStatement, 0),
        "continue_loop": (tree.Continue,),
        "elsif": (tree.Branch, 1, 3),
        "empty": (tree.Empty,),
        "exit_loop": (tree.Exit,),
        "for_loop": (tree.For, 1, 3, 5, 7, 9),
        "repeat_loop": (tree.Repeat, 1, 3),
        "return_unit": (tree.Return,),
        "while_loop": (tree.While, 1, 3),
    }

    def bare_call(self, meta: Meta, children: Children) -> tree.CallStatement:
        name, span = children[0], self.span(meta)
        called = tree.PathCall if isinstance(name, tree.AccessPath) else tree.Call
        return tree.CallStatement(called(name, (), name.span), span, bare=True)

    def statements(self, meta: Meta, children: Children) -> tuple[Any, ...]:
        return tuple(children)

    labels = statements

    def set_assign(self, meta: Meta, children: Children) -> tree.SetAssign:
        target, sign, value = children
        return tree.SetAssign(target, value, sign[0] in "rR", self.span(meta))

    def if_statement(self, meta: Meta, children: Children) -> tree.If:
        _, condition, _, body, *elsifs, otherwise, _ = children
        span = self.span(meta)
        first = tree.Branch(condition, body, span)
        return tree.If((first, *elsifs), otherwise or (), span)

    def else_part(self, meta: Meta, children: Children) -> tuple[tree.Statement, ...]:
        body: tuple[tree.Statement, ...] = children[1]
        return body

    def case_statement(self, meta: Meta, children: Children) -> tree.Case:
        _, selector, _, *items, otherwise, _ = children
        arms: list[tree.Arm] = []
        labels: tuple[tree.Label, ...] | None = None
        body: list[tree.Statement] = []
        for item in [*items, ()]:
            if not isinstance(item, tuple):
                if labels is None:
                    message = "this statement of a CASE is before the first label"
                    way = "write a label before it, for instance 1:"
                    self.problem("missing-label", message, item.span, way)
                body.append(item)
                continue
            if labels is not None:
                last = body[-1].span if body else labels[-1].span
                arms.append(tree.Arm(labels, tuple(body), labels[0].span.through(last)))
            labels, body = item, []
        return tree.Case(selector, tuple(arms), otherwise or (), self.span(meta))

    def label(self, meta: Meta, children: Children) -> tree.Label:
        # The range sign is a named terminal, so a label has one child, or three.
        low, high = children[0], children[-1] if len(children) == 3 else None
        return tree.Label(low, high, self.span(meta))
