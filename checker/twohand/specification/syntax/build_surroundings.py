"""From the parser's tree to the syntax tree of the spec language: supply, contacts, stopping."""

from __future__ import annotations

from typing import Any

from lark.tree import Meta

from twohand.specification.syntax import formulas as formula_tree
from twohand.specification.syntax import nodes as spec
from twohand.specification.syntax.build_formulas import FormulaBuilder, check_depth
from twohand.syntax.parsing.expressions import Children


class SurroundingsBuilder(FormulaBuilder):
    """The statements about what is around the logic."""

    def finished(self, node: Any) -> formula_tree.FormulaNode:
        """A whole formula of a statement."""
        result = self.formula(node)
        too_deep = check_depth(result)
        if too_deep is not None:
            self.problems.append(too_deep)
        return result

    def power(self, meta: Meta, children: Children) -> spec.PowerStatement:
        return spec.PowerStatement(self.span(meta))

    def bounce(self, meta: Meta, children: Children) -> spec.BounceStatement:
        return spec.BounceStatement(children[0], self.span(meta))

    def supply(self, meta: Meta, children: Children) -> spec.SupplyStatement:
        name, _, *inputs = children
        return spec.SupplyStatement(self.identifier(name), tuple(inputs), self.span(meta))

    def arrangement(self, meta: Meta, children: Children) -> spec.ArrangementStatement:
        return spec.ArrangementStatement(self.identifier(children[0]), self.span(meta))

    def notice(self, meta: Meta, children: Children) -> spec.NoticeStatement:
        return spec.NoticeStatement(self.finished(children[0]), self.span(meta))

    def stop(self, meta: Meta, children: Children) -> spec.StopStatement:
        conditions = tuple(self.finished(child) for child in children)
        return spec.StopStatement(conditions, self.span(meta))

    def stopping(self, meta: Meta, children: Children) -> spec.StoppingStatement:
        times: dict[str, formula_tree.Time | None] = {}
        for key, value, span in children:
            if key in times:
                way = "remove one of them"
                self.problem("repeated-option", "this is stated twice", span, way)
            times[key] = value
        return spec.StoppingStatement(
            times.get("input_filter"),
            times.get("output_device"),
            times.get("machine"),
            "logic_included" in times,
            self.span(meta),
        )

    def input_filter(self, meta: Meta, children: Children) -> tuple[str, Any, Any]:
        return "input_filter", children[0], self.span(meta)

    def output_device(self, meta: Meta, children: Children) -> tuple[str, Any, Any]:
        return "output_device", children[0], self.span(meta)

    def machine_stop(self, meta: Meta, children: Children) -> tuple[str, Any, Any]:
        return "machine", children[0], self.span(meta)

    def logic_included(self, meta: Meta, children: Children) -> tuple[str, Any, Any]:
        return "logic_included", None, self.span(meta)

    def clutch(self, meta: Meta, children: Children) -> spec.ClutchStatement:
        return spec.ClutchStatement(children[0], children[1], self.span(meta))

    def encroachment(self, meta: Meta, children: Children) -> spec.EncroachmentStatement:
        return spec.EncroachmentStatement(self.span(meta))
