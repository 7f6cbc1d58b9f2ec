"""From the parser's tree to the syntax tree: statements."""

from __future__ import annotations

from typing import Any

from lark.tree import Meta

from twohand.syntax import tree
from twohand.syntax.parsing.declarations import TypeBuilder
from twohand.syntax.parsing.units import UnitBuilder
from twohand.text.diagnostic import Diagnostic

Children = list[Any]


class Builder(UnitBuilder, TypeBuilder):
    """One method for each rule of ``grammar/structured_text.lark`` below the units."""

    # --- statements ---------------------------------------------------------------------------

    def statements(self, meta: Meta, children: Children) -> tuple[tree.Statement, ...]:
        return tuple(children)

    def empty(self, meta: Meta, children: Children) -> tree.Empty:
        return tree.Empty(self.span(meta))

    def assign(self, meta: Meta, children: Children) -> tree.Assign:
        target, _, value = children
        return tree.Assign(target, value, self.span(meta))

    def set_assign(self, meta: Meta, children: Children) -> tree.SetAssign:
        target, sign, value = children
        return tree.SetAssign(target, value, sign[0] in "rR", self.span(meta))

    def call_statement(self, meta: Meta, children: Children) -> tree.CallStatement:
        return tree.CallStatement(children[0], self.span(meta))

    def if_statement(self, meta: Meta, children: Children) -> tree.If:
        _, condition, _, body, *elsifs, otherwise, _ = children
        span = self.span(meta)
        first = tree.Branch(condition, body, span)
        return tree.If((first, *elsifs), otherwise or (), span)

    def elsif(self, meta: Meta, children: Children) -> tree.Branch:
        _, condition, _, body = children
        return tree.Branch(condition, body, self.span(meta))

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
                    message = "this statement of a CASE stands before the first label"
                    way = "write a label before it, for instance 1:"
                    self.problems.append(Diagnostic("missing-label", message, item.span, way))
                body.append(item)
                continue
            if labels is not None:
                last = body[-1].span if body else labels[-1].span
                arms.append(tree.Arm(labels, tuple(body), labels[0].span.through(last)))
            labels, body = item, []
        return tree.Case(selector, tuple(arms), otherwise or (), self.span(meta))

    def labels(self, meta: Meta, children: Children) -> tuple[tree.Label, ...]:
        return tuple(children)

    def label(self, meta: Meta, children: Children) -> tree.Label:
        # The range sign is a named terminal, so a label has one child, or three.
        low, high = children[0], children[-1] if len(children) == 3 else None
        return tree.Label(low, high, self.span(meta))

    def for_loop(self, meta: Meta, children: Children) -> tree.For:
        _, variable, _, first, _, last, _, step, _, body, _ = children
        return tree.For(variable, first, last, step, body, self.span(meta))

    def while_loop(self, meta: Meta, children: Children) -> tree.While:
        _, condition, _, body, _ = children
        return tree.While(condition, body, self.span(meta))

    def repeat_loop(self, meta: Meta, children: Children) -> tree.Repeat:
        _, body, _, until, _ = children
        return tree.Repeat(body, until, self.span(meta))

    def exit_loop(self, meta: Meta, children: Children) -> tree.Exit:
        return tree.Exit(self.span(meta))

    def continue_loop(self, meta: Meta, children: Children) -> tree.Continue:
        return tree.Continue(self.span(meta))

    def return_unit(self, meta: Meta, children: Children) -> tree.Return:
        return tree.Return(self.span(meta))
