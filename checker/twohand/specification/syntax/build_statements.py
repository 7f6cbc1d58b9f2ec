"""From the parser's tree to the syntax tree of the spec language: statements and properties."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from lark import Token
from lark.tree import Meta

from twohand.program import Operator
from twohand.specification.syntax import formulas as formula_tree
from twohand.specification.syntax import nodes as spec
from twohand.specification.syntax.build_formulas import FormulaBuilder, check_depth
from twohand.specification.syntax.formulas import PropertyForm, PropertyNode
from twohand.syntax.parsing.expressions import Children

Rule = Callable[["StatementBuilder", Meta, Children], Any]
"""Makes a node of what is in a rule of the grammar."""


def _node(kind: Callable[..., Any], fields: int | None = None, formulas: bool = False) -> Rule:
    """A node with what is in the text as its fields, in that order; of so many ``fields`` where
    that is given, and a last one with everything that follows. ``formulas``: expressions in it are
    whole formulas."""

    def rule(self: StatementBuilder, meta: Meta, children: Children) -> Any:
        parts = self.parts(children)
        if formulas:
            parts = [self.finished(part) for part in parts]
        if fields is not None:
            parts[fields:] = [tuple(parts[fields:])]
        return kind(*parts, span=self.span(meta))

    return rule


def _option(name: str) -> Rule:
    """An option by its name, with its value (None where it has none) and its place."""
    return lambda self, meta, children: (name, *(children or [None]), self.span(meta))


def _two_sided(form: PropertyForm) -> Rule:
    """``first`` and ``second``, of which a formula with a trigger is the first."""

    def rule(self: StatementBuilder, meta: Meta, children: Children) -> PropertyNode:
        node: PropertyNode = children[0]
        second = self.finished(children[1])
        return replace(node, form=form, second=second, span=self.span(meta))

    return rule


class StatementBuilder(FormulaBuilder):
    """Something for each rule of ``grammar/specification.lark`` that is no formula."""

    def finished(self, node: Any) -> Any:
        """A whole formula of a statement; what is none stays as it is."""
        result = self.formula(node)
        too_deep = check_depth(result)
        if too_deep is not None:
            self.problems.append(too_deep)
        return result

    def parts(self, children: Children) -> Children:
        """The children, names as identifiers, without the signs between them."""
        kept = [c for c in children if not isinstance(c, Token) or c.type == "IDENTIFIER"]
        return [self.identifier(child) if isinstance(child, Token) else child for child in kept]

    def specification_statement(self, meta: Meta, children: Children) -> Any:
        statement, mark = children
        return statement if mark is None else replace(statement, guessed=mark)

    def guessed(self, meta: Meta, children: Children) -> Any:
        return self.span(meta)

    def label(self, meta: Meta, children: Children) -> Any:
        return self.parts(children)[0]

    lag = label

    # --- files, time, readings --------------------------------------------------------------

    source_files = _node(spec.SourceStatement, 0)
    block = _node(spec.BlockStatement)
    scan = _node(spec.ScanStatement)
    unit = _node(spec.UnitStatement)
    integers = _node(spec.IntegersStatement)
    loops = _node(spec.LoopsStatement)

    def file(self, meta: Meta, children: Children) -> spec.FileName:
        token: Token = children[0]
        text = str(token)[1:-1]
        if not text.strip():
            way = "name a file relative to the folder of the spec, for instance 'press.st'"
            self.problem("empty-file-name", "the file name is empty", self.span(token), way)
        return spec.FileName(text, self.span(token))

    def reading(self, meta: Meta, children: Children) -> spec.ReadingStatement:
        name, value, shown_by = children
        return spec.ReadingStatement(
            self.identifier(name), value.type == "TRUE", shown_by, span=self.span(meta)
        )

    # --- roles and surroundings -------------------------------------------------------------

    hand = _node(spec.HandStatement, 1, formulas=True)
    output_names = _node(spec.OutputStatement, 0)
    hazard = _node(spec.HazardStatement, formulas=True)
    feedback = _node(spec.FeedbackStatement, 0)
    power = _node(spec.PowerStatement)
    outside = _node(spec.OutsideStatement, 0)
    bounce = _node(spec.BounceStatement)
    supply = _node(spec.SupplyStatement, 1)
    arrangement = _node(spec.ArrangementStatement)
    notice = _node(spec.NoticeStatement, formulas=True)
    stop = _node(spec.StopStatement, 0, formulas=True)
    clutch = _node(spec.ClutchStatement)
    encroachment = _node(spec.EncroachmentStatement)
    edition = _node(spec.EditionStatement)

    def station(self, meta: Meta, children: Children) -> spec.StationStatement:
        name, *hands, condition = self.parts(children)
        return spec.StationStatement(name, tuple(hands), condition, span=self.span(meta))

    def plant(self, meta: Meta, children: Children) -> spec.PlantStatement:
        name, block, files, bindings = self.parts(children)
        return spec.PlantStatement(name, block, files or (), bindings or (), span=self.span(meta))

    def files(self, meta: Meta, children: Children) -> tuple[Any, ...]:
        return tuple(child for child in children if child is not None)

    bindings = files

    def binding(self, meta: Meta, children: Children) -> spec.Binding:
        return spec.Binding(children[0], self.finished(children[-1]), self.span(meta))

    # --- what is asked ----------------------------------------------------------------------

    available = _node(spec.AvailableStatement)
    assume = _node(spec.AssumeStatement, formulas=True)
    reachable = _node(spec.ReachableStatement, formulas=True)
    expect = _node(spec.ExpectStatement, 1)
    property = _node(spec.PropertyStatement)
    window, true_lag, release = map(_option, ("window", "true_lag", "release"))
    input_filter, output_device = _option("input_filter"), _option("output_device")
    machine_stop, logic_included = _option("machine"), _option("logic_included")

    def require(self, meta: Meta, children: Children) -> spec.RequireStatement:
        logic_type, *options, condition = children
        places = [(name, value, value.span) for name, value, _ in options]
        given = self._options(places, "window", "true_lag", "release")
        return spec.RequireStatement(
            self.identifier(logic_type), **given, condition=condition, span=self.span(meta)
        )

    def stopping(self, meta: Meta, children: Children) -> spec.StoppingStatement:
        times = self._options(children, "input_filter", "output_device", "machine")
        included = times.pop("logic_included", False) is None
        return spec.StoppingStatement(**times, logic_included=included, span=self.span(meta))

    def _options(self, options: Children, *names: str) -> dict[str, Any]:
        """The values of the options, None for those of these names that are not stated."""
        given: dict[str, Any] = {}
        for name, value, span in options:
            if name in given:
                way = "remove one of them"
                self.problem("repeated-option", "this is stated twice", span, way)
            given[name] = value
        return dict.fromkeys(names) | given

    def require_word(self, meta: Meta, children: Children) -> spec.RequireWordStatement:
        label, word, bindings, condition = self.parts(children)
        return spec.RequireWordStatement(
            label, word, bindings or (), condition, span=self.span(meta)
        )

    def when(self, meta: Meta, children: Children) -> formula_tree.FormulaNode:
        formula: formula_tree.FormulaNode = self.finished(children[0])
        return formula

    accept = _node(spec.AcceptStatement)
    missing = _node(spec.MissingStatement)

    def text(self, meta: Meta, children: Children) -> spec.Text:
        token: Token = children[0]
        return spec.Text(str(token)[1:-1], self.span(token))

    # --- properties -------------------------------------------------------------------------

    def always(self, meta: Meta, children: Children) -> PropertyNode:
        formula, form = self.finished(children[0]), PropertyForm.ALWAYS
        if isinstance(formula, formula_tree.Implication):
            return PropertyNode(form, formula.left, formula.right, self.span(meta))
        return PropertyNode(form, None, formula, self.span(meta))

    def never(self, meta: Meta, children: Children) -> PropertyNode:
        formula = self.finished(children[0])
        return PropertyNode(PropertyForm.NEVER, None, formula, self.span(meta))

    def within(self, meta: Meta, children: Children) -> PropertyNode:
        node: PropertyNode = children[0]
        span = self.span(meta)
        return replace(node, form=PropertyForm.WITHIN, bound=children[1], span=span)

    def lasting(self, meta: Meta, children: Children) -> PropertyNode:
        node: PropertyNode = children[0]
        span = self.span(meta)
        if node.trigger is None:
            text = node.first.span.text
            way = f"say what it begins with: rose({text}) -> {text} FOR {children[1].span.text}"
            self.problem("missing-trigger", "FOR says how long, and not from when on", span, way)
        bound = self.bound(meta, [children[1]])
        return replace(node, form=PropertyForm.FOR, bound=bound, span=span)

    until = _two_sided(PropertyForm.UNTIL)
    before = _two_sided(PropertyForm.BEFORE)

    def triggered(self, meta: Meta, children: Children) -> PropertyNode:
        """``a -> b -> c``: the trigger is ``a AND b``."""
        trigger = self.finished(children[0])
        if len(children) == 1:
            return PropertyNode(PropertyForm.ALWAYS, None, trigger, self.span(meta))
        rest: PropertyNode = children[1]
        if rest.trigger is not None:
            both = (trigger, rest.trigger)
            span = trigger.span.through(rest.trigger.span)
            trigger = formula_tree.Connected(Operator.AND, both, span)
        return replace(rest, trigger=trigger, span=self.span(meta))
