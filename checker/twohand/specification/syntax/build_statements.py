"""From the parser's tree to the syntax tree of the spec language: statements and properties."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from lark import Token
from lark.tree import Meta

from twohand.program import Operator
from twohand.specification.syntax import formulas as formula_tree
from twohand.specification.syntax import nodes as spec
from twohand.specification.syntax.build_surroundings import SurroundingsBuilder
from twohand.syntax.parsing.expressions import Children


class StatementBuilder(SurroundingsBuilder):
    """One method for each rule of ``grammar/specification.lark`` that is no formula."""

    def specification_statement(self, meta: Meta, children: Children) -> spec.StatementNode:
        statement: spec.StatementNode = children[0]
        return statement

    # --- files, time, readings --------------------------------------------------------------

    def source_files(self, meta: Meta, children: Children) -> spec.SourceStatement:
        return spec.SourceStatement(tuple(children), self.span(meta))

    def file(self, meta: Meta, children: Children) -> spec.FileName:
        token: Token = children[0]
        text = str(token)[1:-1]
        if not text.strip():
            way = "name a file relative to the folder of the spec, for instance 'press.st'"
            self.problem("empty-file-name", "the file name is empty", self.span(token), way)
        return spec.FileName(text, self.span(token))

    def block(self, meta: Meta, children: Children) -> spec.BlockStatement:
        return spec.BlockStatement(self.identifier(children[0]), self.span(meta))

    def scan(self, meta: Meta, children: Children) -> spec.ScanStatement:
        longest = children[-1] if len(children) > 1 else None
        return spec.ScanStatement(children[0], longest, self.span(meta))

    def unit(self, meta: Meta, children: Children) -> spec.UnitStatement:
        return spec.UnitStatement(children[0], self.span(meta))

    def reading(self, meta: Meta, children: Children) -> spec.ReadingStatement:
        name, value = children
        return spec.ReadingStatement(self.identifier(name), value.type == "TRUE", self.span(meta))

    def integers(self, meta: Meta, children: Children) -> spec.IntegersStatement:
        return spec.IntegersStatement(self.span(meta))

    def loops(self, meta: Meta, children: Children) -> spec.LoopsStatement:
        return spec.LoopsStatement(children[0], self.span(meta))

    # --- roles ------------------------------------------------------------------------------

    def hand(self, meta: Meta, children: Children) -> spec.HandStatement:
        name, _, *contacts = children
        formulas = tuple(self.finished(contact) for contact in contacts)
        return spec.HandStatement(self.identifier(name), formulas, self.span(meta))

    def station(self, meta: Meta, children: Children) -> spec.StationStatement:
        name, _, *hands, condition = children
        identifiers = tuple(self.identifier(hand) for hand in hands)
        return spec.StationStatement(self.identifier(name), identifiers, self.span(meta), condition)

    def output_names(self, meta: Meta, children: Children) -> spec.OutputStatement:
        return spec.OutputStatement(tuple(children), self.span(meta))

    def hazard(self, meta: Meta, children: Children) -> spec.HazardStatement:
        return spec.HazardStatement(self.finished(children[0]), self.span(meta))

    def plant(self, meta: Meta, children: Children) -> spec.PlantStatement:
        name, block, files, bindings = children
        return spec.PlantStatement(
            self.identifier(name),
            self.identifier(block),
            files or (),
            bindings or (),
            self.span(meta),
        )

    def files(self, meta: Meta, children: Children) -> tuple[spec.FileName, ...]:
        return tuple(children)

    def bindings(self, meta: Meta, children: Children) -> tuple[spec.Binding, ...]:
        return tuple(child for child in children if child is not None)

    def binding(self, meta: Meta, children: Children) -> spec.Binding:
        return spec.Binding(children[0], self.finished(children[-1]), self.span(meta))

    def feedback(self, meta: Meta, children: Children) -> spec.FeedbackStatement:
        return spec.FeedbackStatement(tuple(children), self.span(meta))

    # --- what is asked ----------------------------------------------------------------------

    def require(self, meta: Meta, children: Children) -> spec.RequireStatement:
        logic_type, *options = children
        given: dict[str, Any] = {"window": None, "true_lag": None, "release": None}
        for option in options:
            key, value = option
            if given[key] is not None:
                way = "remove one of them"
                self.problem("repeated-option", "this is stated twice", value.span, way)
            given[key] = value
        return spec.RequireStatement(self.identifier(logic_type), **given, span=self.span(meta))

    def require_word(self, meta: Meta, children: Children) -> spec.RequireWordStatement:
        label, word, bindings = children
        return spec.RequireWordStatement(
            label, self.identifier(word), bindings or (), self.span(meta)
        )

    def window(self, meta: Meta, children: Children) -> tuple[str, formula_tree.Time]:
        return "window", children[0]

    def true_lag(self, meta: Meta, children: Children) -> tuple[str, formula_tree.Time]:
        return "true_lag", children[0]

    def release(self, meta: Meta, children: Children) -> tuple[str, formula_tree.Whole]:
        return "release", children[0]

    def available(self, meta: Meta, children: Children) -> spec.AvailableStatement:
        bound, lag, when = children
        return spec.AvailableStatement(bound, lag, when, self.span(meta))

    def lag(self, meta: Meta, children: Children) -> formula_tree.Time:
        time: formula_tree.Time = children[0]
        return time

    def when(self, meta: Meta, children: Children) -> formula_tree.FormulaNode:
        return self.finished(children[0])

    def assume(self, meta: Meta, children: Children) -> spec.AssumeStatement:
        return spec.AssumeStatement(self.finished(children[0]), self.span(meta))

    def reachable(self, meta: Meta, children: Children) -> spec.ReachableStatement:
        label, formula = children
        return spec.ReachableStatement(label, self.finished(formula), self.span(meta))

    def label(self, meta: Meta, children: Children) -> Any:
        return self.identifier(children[0])

    def expect(self, meta: Meta, children: Children) -> spec.ExpectStatement:
        verdict, *names = (self.identifier(child) for child in children)
        return spec.ExpectStatement(verdict, tuple(names), self.span(meta))

    # --- properties -------------------------------------------------------------------------

    def property(self, meta: Meta, children: Children) -> spec.PropertyStatement:
        name, node = children[0], children[-1]
        return spec.PropertyStatement(self.identifier(name), node, self.span(meta))

    def always(self, meta: Meta, children: Children) -> formula_tree.PropertyNode:
        formula, form = self.finished(children[0]), formula_tree.PropertyForm.ALWAYS
        if isinstance(formula, formula_tree.Implication):
            return formula_tree.PropertyNode(form, formula.left, formula.right, self.span(meta))
        return formula_tree.PropertyNode(form, None, formula, self.span(meta))

    def never(self, meta: Meta, children: Children) -> formula_tree.PropertyNode:
        formula = self.finished(children[0])
        return formula_tree.PropertyNode(
            formula_tree.PropertyForm.NEVER, None, formula, self.span(meta)
        )

    def within(self, meta: Meta, children: Children) -> formula_tree.PropertyNode:
        node: formula_tree.PropertyNode = children[0]
        bound: formula_tree.BoundNode = children[1]
        span = self.span(meta)
        return replace(node, form=formula_tree.PropertyForm.WITHIN, bound=bound, span=span)

    def until(self, meta: Meta, children: Children) -> formula_tree.PropertyNode:
        node: formula_tree.PropertyNode = children[0]
        second = children[1]
        form, span = formula_tree.PropertyForm.UNTIL, self.span(meta)
        return replace(node, form=form, second=self.finished(second), span=span)

    def before(self, meta: Meta, children: Children) -> formula_tree.PropertyNode:
        node: formula_tree.PropertyNode = children[0]
        second = children[1]
        form, span = formula_tree.PropertyForm.BEFORE, self.span(meta)
        return replace(node, form=form, second=self.finished(second), span=span)

    def triggered(self, meta: Meta, children: Children) -> formula_tree.PropertyNode:
        """``a -> b -> c``: the trigger is ``a AND b``."""
        if len(children) == 1:
            formula = self.finished(children[0])
            return formula_tree.PropertyNode(
                formula_tree.PropertyForm.ALWAYS, None, formula, self.span(meta)
            )
        trigger = self.finished(children[0])
        rest: formula_tree.PropertyNode = children[1]
        if rest.trigger is not None:
            both = (trigger, rest.trigger)
            span = trigger.span.through(rest.trigger.span)
            trigger = formula_tree.Connected(Operator.AND, both, span)
        return replace(rest, trigger=trigger, span=self.span(meta))
