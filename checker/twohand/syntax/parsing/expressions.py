"""From the parser's tree to the syntax tree: expressions, shared with the specification."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, ClassVar

from lark import Token, Tree
from lark.tree import Meta
from lark.visitors import Transformer_NonRecursive

from twohand.program import Operator
from twohand.syntax import tree
from twohand.syntax.parsing.literals import (
    boolean_literal,
    not_modelled,
    number_literal,
    plain_literal,
    typed_literal,
)
from twohand.text.deceptive import strange_letter
from twohand.text.diagnostic import Diagnostic, InputError
from twohand.text.source_text import SourceText, Span
from twohand.text.split_units import located

Children = list[Any]

_OPERATORS = {
    **{operator.name: operator for operator in Operator},
    "OR_ELSE": Operator.OR,
    "AND_THEN": Operator.AND,
    "AMPERSAND": Operator.AND,
    "PLUS": Operator.ADD,
    "MINUS": Operator.SUBTRACT,
    "STAR": Operator.MULTIPLY,
    "SLASH": Operator.DIVIDE,
    "MOD": Operator.MODULO,
}
_ASSOCIATIVE = {"OR", "XOR", "AND", "AMPERSAND"}


class ExpressionBuilder(Transformer_NonRecursive[Token, Any]):
    """One method for each rule of ``grammar/expressions.lark``; walks without recursion.

    What is wrong with names and literals is collected in ``problems``; ``build`` raises it.
    """

    NODES: ClassVar[Mapping[str, Sequence[Any]]] = {}
    """For some rules the node that they make, and which children its parts are (its place, the
    last part, aside)."""
    reads_unmodelled = False
    """Whether literals of types without model (``1.5``) are read, to be left out later."""

    def __init__(self, source: SourceText) -> None:
        super().__init__(visit_tokens=False)
        self.source_text = source
        self.problems: list[Diagnostic] = []

    def build(self, parsed: Tree[Token]) -> Any:
        """The syntax tree; InputError with every malformed name and literal, in their order."""
        result = self.transform(parsed)
        if self.problems:
            raise InputError(sorted(self.problems, key=_start))
        return result

    def _call_userfunc(self, tree: Tree[Token], new_children: Children | None = None) -> Any:
        """The node in NODES, else by the method named after the rule, with the place of what it
        matched."""
        children = new_children or []
        if tree.data in self.NODES:
            node, *parts = self.NODES[tree.data]
            return node(*(children[part] for part in parts), self.span(tree.meta))
        return getattr(self, tree.data)(tree.meta, children)

    def span(self, meta: Meta | Token) -> Span:
        if isinstance(meta, Token):
            return located(Span(self.source_text, meta.start_pos or 0, meta.end_pos or 0))
        if meta.empty:
            return located(Span(self.source_text, 0, 0))
        return located(Span(self.source_text, meta.start_pos, meta.end_pos))

    def identifier(self, token: Token) -> tree.Identifier:
        """IEC 61131-3:2003, 2.1.2: letters, digits, single embedded underscores. Letters beyond
        ISO 646, which it does not have, may not look like those."""
        text, span = str(token), self.span(token)
        reason = "" if text.isascii() else strange_letter(text)
        if reason:
            self._name_problem(span, f"letters, digits and '_' make a name; {reason}")
        elif text.endswith("_") or "__" in text:
            self._name_problem(span, "'_' must not be twice in a row nor at the end of a name")
        return tree.Identifier(text, span, self._mark(token))

    def _mark(self, token: Token) -> str:
        """The # or quote before a name, in texts that mark names; '' for one that was replaced."""
        start = token.start_pos or 0
        before = self.source_text.text[max(0, start - 2) : start]
        if not self.reads_unmodelled or not before.endswith(("#", '"')):
            return ""
        if self.source_text.text[start : start + len(token)].replace(" ", "_") != token:
            return ""
        return "#" if "#" in before else '"'

    def _name_problem(self, span: Span, reason: str) -> None:
        self.problem("malformed-name", f"'{span.text}' cannot be a name", span, reason)

    def problem(self, code: str, message: str, span: Span, way: str) -> None:
        """Notes what is wrong; ``build`` raises it."""
        self.problems.append(Diagnostic(code, message, span, way))

    # --- operators ----------------------------------------------------------------------------

    def or_chain(self, meta: Meta, children: Children) -> tree.Expression:
        """Operands and operators in turn, of equal precedence: from left to right."""
        signs = {token.type for token in children[1::2]}
        if len(signs) == 1 and signs <= _ASSOCIATIVE:
            return self._balanced(children)
        result: tree.Expression = children[0]
        for sign, operand in zip(children[1::2], children[2::2], strict=True):
            result = self._binary(result, sign, operand)
        return result

    xor_chain = and_chain = equality_chain = relation_chain = or_chain
    sum_chain = product_chain = power_chain = or_chain

    def _balanced(self, children: Children) -> tree.Expression:
        """One associative operator, however often, as a shallow tree; the operands keep their
        order, so that nothing is evaluated earlier or later."""
        level: list[tree.Expression] = children[0::2]
        signs: list[Token] = children[1::2]
        while len(level) > 1:
            pairs = [
                self._binary(level[i], signs[i], level[i + 1]) for i in range(0, len(level) - 1, 2)
            ]
            level = pairs + (level[-1:] if len(level) % 2 else [])
            signs = signs[1::2]
        return level[0]

    def _binary(
        self, left: tree.Expression, sign: Token, right: tree.Expression
    ) -> tree.Expression:
        span = left.span.through(right.span)
        short = sign.type in ("AND_THEN", "OR_ELSE")
        return tree.Binary(_OPERATORS[sign.type], left, right, span, self.span(sign), short)

    def negation(self, meta: Meta, children: Children) -> tree.Expression:
        """NOT, unary minus, and a plus sign, which only a number may have."""
        sign, operand = children
        span = self.span(meta)
        if sign.type == "NOT":
            return tree.Unary(Operator.NOT, operand, span)
        if sign.type == "MINUS":
            return tree.Unary(Operator.NEGATE, operand, span)
        if not isinstance(operand, tree.Literal) or operand.type is not None:
            message = "a plus sign must be followed by a number"
            way = "remove the sign"
            self.problem("sign-without-number", message, self.span(sign), way)
        return operand  # type: ignore[no-any-return]

    def parenthesis(self, meta: Meta, children: Children) -> tree.Expression:
        expression: tree.Expression = children[0]
        return expression

    # --- operands -----------------------------------------------------------------------------

    def literal(self, meta: Meta, children: Children) -> tree.Expression:
        token: Token = children[0]
        text, span = str(token), self.span(token)
        try:
            if token.type == "NUMBER":
                return self._modelled(number_literal(text, span))
            if token.type in ("TYPED", "REAL_TYPED", "DATE_TYPED"):
                return self._modelled(typed_literal(text, span))
            if token.type in ("REAL_NUMBER", "STRING"):
                return self._modelled(plain_literal(text, span))
        except InputError as error:
            self.problems.extend(error.diagnostics)
            return tree.Literal(0, None, span)
        return boolean_literal(text, span)

    def _modelled(self, literal: tree.Expression) -> tree.Expression:
        """The literal; a problem where it is of a type without model and that is not allowed."""
        if isinstance(literal, tree.UnmodelledLiteral) and not self.reads_unmodelled:
            self.problems.append(not_modelled(literal.type_name, literal.span.text, literal.span))
            return tree.Literal(0, None, literal.span)
        return literal

    def name(self, meta: Meta, children: Children) -> tree.Name | tree.AccessPath:
        """A name; a path from the first index or bit in it on."""
        owner, *parts = children
        span = self.span(meta)
        selectors = [self.identifier(p) if isinstance(p, Token) else p for p in parts]
        plain = [isinstance(selector, tree.Identifier) for selector in selectors]
        count = plain.index(False) if False in plain else len(selectors)
        names = tuple(s for s in selectors[:count] if isinstance(s, tree.Identifier))
        if count == len(selectors):
            return tree.Name(names, span, owner)
        whole = span if count == 0 else (owner or names[0]).span.through(names[-1].span)
        return tree.AccessPath(tree.Name(names, whole, owner), tuple(selectors[count:]), span)

    def direct_name(self, meta: Meta, children: Children) -> tree.Name:
        """A direct address as a variable: ``%IX0.0``."""
        span = self.span(meta)
        return tree.Name((tree.Identifier(str(children[0]).upper(), span),), span)

    def index(self, meta: Meta, children: Children) -> tree.Index:
        return tree.Index(tuple(children[1:-1]), self.span(meta))

    def bit(self, meta: Meta, children: Children) -> tree.Bit:
        """``.3``, ``.%X3``, ``.%B1``."""
        text = str(children[0]).upper().removeprefix("%")
        size, digits = (text[0], text[1:]) if text[0].isalpha() else ("X", text)
        if not digits.isdigit() or size not in "XBWD" or len(digits) > 3:
            message = f"'{children[0]}' names no bit"
            way = "write for instance x.3 or x.%X3"
            self.problem("malformed-number", message, self.span(children[0]), way)
            return tree.Bit(0, "X", self.span(meta))
        return tree.Bit(int(digits), size, self.span(meta))

    def owner(self, meta: Meta, children: Children) -> tree.Identifier:
        """The THIS or SUPER before ``^``."""
        return tree.Identifier(str(children[0]), self.span(meta))

    def owner_call(self, meta: Meta, children: Children) -> tree.Call:
        """``SUPER^()``: the body of the base."""
        owner, *arguments = children
        given = _told_apart(arguments)
        return tree.Call(tree.Name((), owner.span, owner), given[0], self.span(meta), given[1])

    def call(self, meta: Meta, children: Children) -> tree.Call | tree.PathCall:
        name, *arguments = children
        given, unconnected = _told_apart(arguments)
        if isinstance(name, tree.AccessPath):
            return tree.PathCall(name, given, self.span(meta), unconnected)
        return tree.Call(name, given, self.span(meta), unconnected)

    def keyword_call(self, meta: Meta, children: Children) -> tree.Call:
        """``AND(a, b)``: the operator's function form."""
        keyword, *arguments = children
        span = self.span(keyword)
        name = tree.Name((tree.Identifier(str(keyword), span),), span)
        given, unconnected = _told_apart(arguments)
        return tree.Call(name, given, self.span(meta), unconnected)

    def positional(self, meta: Meta, children: Children) -> tree.Argument:
        return tree.Argument(None, children[0], self.span(meta))

    def named(self, meta: Meta, children: Children) -> tree.Argument:
        name, _, value = children
        return tree.Argument(self.identifier(name), value, self.span(meta))

    def unconnected_input(self, meta: Meta, children: Children) -> tree.Unconnected:
        return tree.Unconnected(self.identifier(children[0]), False, self.span(meta))

    def unconnected_output(self, meta: Meta, children: Children) -> tree.Unconnected:
        return tree.Unconnected(self.identifier(children[0]), True, self.span(meta))

    def output(self, meta: Meta, children: Children) -> tree.Argument:
        name, _, target = children
        return tree.Argument(self.identifier(name), target, self.span(meta), output=True)

    def negated_output(self, meta: Meta, children: Children) -> tree.Argument:
        _, name, _, target = children
        return tree.Argument(
            self.identifier(name), target, self.span(meta), output=True, negated=True
        )


def _told_apart(
    children: Children,
) -> tuple[tuple[tree.Argument, ...], tuple[tree.Unconnected, ...]]:
    """What is in the parentheses of a call; None where there is nothing."""
    unconnected = tuple(each for each in children if isinstance(each, tree.Unconnected))
    given = (each for each in children if each is not None and each not in unconnected)
    return tuple(given), unconnected


def _start(diagnostic: Diagnostic) -> int:
    return diagnostic.span.start if diagnostic.span else 0
