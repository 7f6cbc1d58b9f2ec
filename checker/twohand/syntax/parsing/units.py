"""From the parser's tree to the syntax tree: units, their members, interfaces, configurations."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from lark import Token
from lark.tree import Meta

from twohand.syntax import tree
from twohand.syntax.parsing.expressions import Children, ExpressionBuilder
from twohand.syntax.parsing.marked_names import marked_wrongly

_ENDS = frozenset({"END_FUNCTION_BLOCK", "END_PROGRAM"})


class UnitBuilder(ExpressionBuilder):
    """One method for each rule of ``grammar/structured_text.lark`` that is no statement and no
    declaration."""

    # --- units --------------------------------------------------------------------------------

    def block_unit(self, meta: Meta, children: Children) -> tree.Unit:
        keyword, *rest = children
        at = next(
            i for i, part in enumerate(rest) if isinstance(part, Token) and part.type in _ENDS
        )
        ended = bool(rest[at])
        behind = [part for part in rest[at:] if isinstance(part, tree.Action)]
        modifiers, name, rest = self._named(rest[:at])
        headers = [part for part in rest if isinstance(part, list)]
        base = next((names[0] for kind, names in headers if kind == "EXTENDS"), None)
        interfaces = next((names for kind, names in headers if kind == "IMPLEMENTS"), ())
        items = [part for part in rest if not isinstance(part, list | tree.Section | None)]
        members = tuple(item for item in (*items, *behind) if isinstance(item, tree.Member))
        body = self._body(items)
        return self._with_names(tree.Unit(
            tree.UnitKind(keyword.upper()), name, None, _sections(rest), body, self.span(meta),
            modifiers, base, interfaces, members, ended,
        ))  # fmt: skip

    def _with_names(self, unit: tree.Unit) -> tree.Unit:
        self.problems.extend(marked_wrongly(unit))
        return unit

    def function_unit(self, meta: Meta, children: Children) -> tree.Unit:
        _, *rest, body, end = children
        modifiers, name, (result, *sections) = self._named(rest)
        kind = tree.UnitKind.FUNCTION
        return self._with_names(tree.Unit(
            kind, name, result, tuple(sections), body, self.span(meta), modifiers, ended=bool(end)
        ))  # fmt: skip

    def _named(
        self, children: Children
    ) -> tuple[tuple[tree.Identifier, ...], tree.Identifier, Children]:
        """The modifiers before a name, the name, and what follows it."""
        at = next(
            i for i, part in enumerate(children)
            if isinstance(part, Token) and part.type == "IDENTIFIER"
        )  # fmt: skip
        modifiers = tuple(tree.Identifier(str(part), self.span(part)) for part in children[:at])
        return modifiers, self.identifier(children[at]), children[at + 1 :]

    def _body(self, items: Children) -> tuple[tree.Statement, ...]:
        """The statements among members; they are one body, so nothing is between them."""
        places = [
            i for i, item in enumerate(items)
            if not isinstance(item, tree.Member | tree.Empty)
        ]  # fmt: skip
        if not places:
            return ()
        inner = items[places[0] : places[-1] + 1]
        split = next((item for item in inner if isinstance(item, tree.Member)), None)
        if split is not None:
            message = f"'{split.name.text}' is between the statements of the body"
            way = "put methods and actions before or behind all statements"
            self.problem("split-body", message, split.name.span, way)
        return tuple(item for item in inner if not isinstance(item, tree.Member))

    def extends(self, meta: Meta, children: Children) -> list[Any]:
        return [str(children[0]).upper(), children[1]]

    implements = extends

    # --- members ------------------------------------------------------------------------------

    def method(self, meta: Meta, children: Children) -> tree.Method:
        _, *rest, body, _ = children
        modifiers, name, (result, *sections) = self._named(rest)
        return tree.Method(
            name, modifiers, result, _sections(sections), body, self.span(meta)
        )  # fmt: skip

    def action(self, meta: Meta, children: Children) -> tree.Action:
        _, name, body, _ = children
        return tree.Action(self.identifier(name), body, self.span(meta))

    def property(self, meta: Meta, children: Children) -> tree.Property:
        """GET as a method with a result, SET as one with an input, both of the property's name."""
        _, *rest, _ = children
        modifiers, name, (kind, *parts) = self._named(rest)
        given = tree.Declaration((name,), kind, None, (), name.span)
        value = tree.Section("VAR_INPUT", (), (given,), name.span)
        ways: dict[str, tree.Method] = {}
        for part in parts:
            if isinstance(part, tree.Method):
                word = part.name.key
                own = () if word == "GET" else (value,)
                ways[word] = replace(
                    part,
                    name=name,
                    modifiers=(*modifiers, *part.modifiers),
                    result=kind if word == "GET" else None,
                    sections=(*own, *_sections(parts), *part.sections),
                )
        return tree.Property(
            name, modifiers, kind, ways.get("GET"), ways.get("SET"), self.span(meta)
        )  # fmt: skip

    def accessor(self, meta: Meta, children: Children) -> tree.Method:
        *rest, body, end = children
        modifiers, name, sections = self._named(rest)
        wanted = str(end).upper().removeprefix("END_")
        if name.key != wanted:
            message = f"{str(end).upper()} ends what begins with '{name.text}'"
            way = f"a property has GET ... END_GET and SET ... END_SET; write {wanted}"
            self.problem("wrong-end", message, name.span, way)
        return tree.Method(name, modifiers, None, tuple(sections), body, self.span(meta))

    def interface(self, meta: Meta, children: Children) -> tree.Interface:
        _, *rest, _ = children
        _, name, _ = self._named(rest)
        return tree.Interface(name, self.span(meta))

    # --- configurations -----------------------------------------------------------------------

    def configuration(self, meta: Meta, children: Children) -> tree.Configuration:
        _, name, *parts, _ = children
        inner = [part for part in parts if isinstance(part, tree.Configuration)]
        tasks = tuple(part for part in parts if isinstance(part, tree.Task))
        programs = tuple(part for part in parts if isinstance(part, tree.ProgramUse))
        return tree.Configuration(
            self.identifier(name),
            (*tasks, *(task for part in inner for task in part.tasks)),
            (*programs, *(use for part in inner for use in part.programs)),
            (*_sections(parts), *(section for part in inner for section in part.sections)),
            self.span(meta),
        )

    def resource(self, meta: Meta, children: Children) -> tree.Configuration:
        keyword, name, word, _, *parts, end = children
        self._word(word, "ON")
        return self.configuration(meta, [keyword, name, *parts, end])

    def task(self, meta: Meta, children: Children) -> tree.Task:
        _, name, pins = children
        values = tuple((pin.name, pin.value) for pin in pins.values)
        return tree.Task(self.identifier(name), values, self.span(meta))

    def program_use(self, meta: Meta, children: Children) -> tree.ProgramUse:
        _, *rest = children
        rest = [part for part in rest if not isinstance(part, tree.Identifier)]
        name, word, task, kind, _ = rest
        if word is not None:
            self._word(word, "WITH")
        return tree.ProgramUse(
            self.identifier(name),
            None if task is None else self.identifier(task),
            self.identifier(kind),
            self.span(meta),
        )

    def connections(self, meta: Meta, children: Children) -> None:
        """Where a program's inputs come from: free inputs to the checker, so not kept."""

    def _word(self, token: Token, wanted: str) -> None:
        if token.upper() != wanted:
            message = f"'{token}' occurs where {wanted} is needed"
            way = f"write {wanted}"
            self.problem("missing-keyword", message, self.span(token), way)

    # --- files --------------------------------------------------------------------------------

    def source_file(self, meta: Meta, children: Children) -> tree.SourceFile:
        def having(kind: type[Any]) -> tuple[Any, ...]:
            return tuple(child for child in children if isinstance(child, kind))

        types = tuple(declaration for child in having(tuple) for declaration in child)
        return tree.SourceFile(
            self.source_text,
            having(tree.Unit),
            types,
            having(tree.Interface),
            having(tree.Configuration),
            having(tree.Section),
        )


def _sections(parts: Children) -> tuple[tree.Section, ...]:
    return tuple(part for part in parts if isinstance(part, tree.Section))
