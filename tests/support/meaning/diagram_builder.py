"""Ladders and function-block diagrams as exchange files, element by element."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from xml.sax.saxutils import quoteattr

from tests.support.meaning.exchange_export import document

Ends = int | Iterable[int]
"""The output that an input is connected to, or several (a vertical link)."""


@dataclass
class Network:
    """One rung (``LD``) or network (``FBD``); every method gives the number of the output."""

    kind: str
    order: int | None = None
    elements: list[str] = field(default_factory=list)
    count: int = 0

    def _next(self) -> int:
        self.count += 1
        return self.count

    def _add(self, element: str, kind: str, inside: str, **attributes: object) -> None:
        given = "".join(f" {k}={quoteattr(str(v))}" for k, v in attributes.items() if v != "")
        row = len(self.elements)
        self.elements.append(
            f'  <{element} xsi:type="{kind}"{given}>\n    <RelPosition x="{row % 7}" y="{row}"/>\n'
            f"    {inside}\n  </{element}>\n"
        )

    def rail(self) -> int:
        number = self._next()
        self._add("LdObject", "LeftPowerRail", right(number))
        return number

    def right_rail(self, left: Ends) -> None:
        self._add("LdObject", "RightPowerRail", ends(left))

    def contact(self, left: Ends, operand: str, **attributes: object) -> int:
        number = self._next()
        self._add("LdObject", "Contact", ends(left) + right(number), operand=operand, **attributes)
        return number

    def coil(self, left: Ends, operand: str, **attributes: object) -> int:
        number = self._next()
        self._add("LdObject", "Coil", ends(left) + right(number), operand=operand, **attributes)
        return number

    def source(self, operand: str, **attributes: object) -> int:
        number = self._next()
        self._add("FbdObject", "DataSource", right(number), identifier=operand, **attributes)
        return number

    def sink(self, left: Ends, operand: str, **attributes: object) -> None:
        self._add("FbdObject", "DataSink", ends(left), identifier=operand, **attributes)

    def leave(self, left: Ends, **attributes: object) -> None:
        self._add("FbdObject", "Return", ends(left), **attributes)

    def connector(self, left: Ends, label: str) -> None:
        self._add("CommonObject", "Connector", ends(left), label=label)

    def continuation(self, label: str) -> int:
        number = self._next()
        self._add("CommonObject", "Continuation", right(number), label=label)
        return number

    def block(
        self,
        kind: str,
        inputs: Mapping[str, Ends | tuple[Ends, str]],
        outputs: Iterable[str] = ("",),
        instance: str = "",
        in_outs: Mapping[str, Ends] | None = None,
        **attributes: object,
    ) -> list[int]:
        """``inputs``: what each is connected to, and its further attributes; a name that begins
        with NOT is that of a negated output."""
        pins = ""
        for name, given in inputs.items():
            left, more = given if isinstance(given, tuple) and isinstance(given[1], str) else (
                given, ""
            )  # fmt: skip
            pins += f'<InputVariable parameterName="{name}" {more}>{ends(left)}</InputVariable>'
        inside = f"<InputVariables>{pins}</InputVariables>"
        if in_outs:
            pins = "".join(
                f'<InOutVariable parameterName="{name}">{ends(left)}</InOutVariable>'
                for name, left in in_outs.items()
            )
            inside = f"<InOutVariables>{pins}</InOutVariables>{inside}"
        numbers, pins = [], ""
        for name in outputs:
            numbers.append(self._next())
            plain = name.removeprefix("NOT ")
            shown = f' parameterName="{plain}"' if plain else ""
            shown += ' negated="true"' if plain != name else ""
            pins += f"<OutputVariable{shown}>{right(numbers[-1])}</OutputVariable>"
        inside += f"<OutputVariables>{pins}</OutputVariables>"
        self._add("FbdObject", "Block", inside, typeName=kind, instanceName=instance, **attributes)
        return numbers

    def xml(self) -> str:
        order = "" if self.order is None else f' evaluationOrder="{self.order}"'
        name = "Rung" if self.kind == "LD" else "Network"
        return f"<{name}{order}>\n{''.join(self.elements)}</{name}>\n"


def ends(left: Ends) -> str:
    numbers = [left] if isinstance(left, int) else list(left)
    inside = "".join(f'<Connection refConnectionPointOutId="{n}"/>' for n in numbers)
    return f"<ConnectionPointIn>{inside}</ConnectionPointIn>"


def right(number: int) -> str:
    return f'<ConnectionPointOut connectionPointOutId="{number}"/>'


def declared(section: str, variables: Mapping[str, str]) -> str:
    inside = "".join(
        f'  <Variable name="{name}"><Type><TypeName>{kind}</TypeName></Type></Variable>\n'
        for name, kind in variables.items()
    )
    return f"<{section}>\n{inside}</{section}>\n" if variables else ""


def unit(
    networks: Iterable[Network],
    inputs: Mapping[str, str],
    outputs: Mapping[str, str],
    others: Mapping[str, str] | None = None,
    name: str = "B",
    more: str = "",
) -> str:
    """A function block; ``more`` are further sections of variables."""
    bodies = list(networks)
    kind = bodies[0].kind if bodies else "LD"
    parameters = declared("InputVars", inputs) + declared("OutputVars", outputs)
    inside = "".join(each.xml() for each in bodies)
    return (
        f'<FunctionBlock name="{name}">\n<Parameters>\n{parameters}</Parameters>\n'
        f"{declared('Vars', others or {})}{more}"
        f'<MainBody><BodyContent xsi:type="{kind}">\n{inside}</BodyContent></MainBody>\n'
        "</FunctionBlock>"
    )


def booleans(names: str) -> dict[str, str]:
    return dict.fromkeys(names.split(), "BOOL")


def file(*units: str) -> str:
    return document("\n".join(units))
