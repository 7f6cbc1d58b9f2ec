"""Pieces of exchange files of the older schema."""

from __future__ import annotations

from tests.support.meaning.older_export import OLDER

BOOL = "<type><BOOL/></type>"


def project(pous: str, types: str = "", instances: str = "", more: str = "") -> str:
    """A file with these units."""
    return (
        f'<project xmlns="{OLDER}" xmlns:xhtml="http://www.w3.org/1999/xhtml">\n<fileHeader/>'
        f"<contentHeader/><types><dataTypes>{types}</dataTypes>\n<pous>{pous}</pous></types>\n"
        f"<instances><configurations>{instances}</configurations></instances>{more}</project>\n"
    )


def pou(
    body: str, name: str = "B", kind: str = "functionBlock", interface: str = "", more: str = ""
) -> str:
    """A unit with the inputs a and b and the output q, where no other interface is given."""
    own = interface or (
        f'<inputVars><variable name="a">{BOOL}</variable><variable name="b">{BOOL}</variable>'
        f'</inputVars><outputVars><variable name="q">{BOOL}</variable></outputVars>'
        '<localVars><variable name="t"><type><derived name="TON"/></type></variable></localVars>'
    )
    return (
        f'<pou name="{name}" pouType="{kind}"><interface>{own}</interface>{more}'
        f"<body>{body}</body></pou>\n"
    )


def st(text: str) -> str:
    return f"<ST><xhtml:p>{text}</xhtml:p></ST>"


def fbd(*elements: str) -> str:
    return f"<FBD>{''.join(elements)}</FBD>"


def ladder(*elements: str) -> str:
    return f"<LD>{''.join(elements)}</LD>"


def end(*sources: str, more: str = "") -> str:
    """Where connections end; a source is ``3``, or ``3.Q`` of a block."""
    inside = ""
    for source in sources:
        number, _, pin = source.partition(".")
        given = f' formalParameter="{pin}"' if pin else ""
        inside += f'<connection refLocalId="{number}"{given}/>'
    return f"<connectionPointIn>{inside}{more}</connectionPointIn>"


def _place(number: int) -> str:
    return f'<position x="0" y="{number}"/>'


def source(number: int, name: str, more: str = "") -> str:
    return (
        f'<inVariable localId="{number}" {more}>{_place(number)}<connectionPointOut/>'
        f"<expression>{name}</expression></inVariable>"
    )


def sink(number: int, left: str, name: str, more: str = "") -> str:
    return (
        f'<outVariable localId="{number}" {more}>{_place(number)}{end(left)}'
        f"<expression>{name}</expression></outVariable>"
    )


def rail(number: int) -> str:
    return (
        f'<leftPowerRail localId="{number}">{_place(number)}'
        '<connectionPointOut formalParameter="none"/></leftPowerRail>'
    )


def contact(number: int, name: str, *left: str, more: str = "") -> str:
    return (
        f'<contact localId="{number}" {more}>{_place(number)}{end(*left)}<connectionPointOut/>'
        f"<variable>{name}</variable></contact>"
    )


def coil(number: int, name: str, *left: str, more: str = "") -> str:
    return contact(number, name, *left, more=more).replace("contact", "coil")


def block(
    number: int, kind: str, inputs: dict[str, str], outputs: str, instance: str = "", more: str = ""
) -> str:
    given = "".join(
        f'<variable formalParameter="{pin}">{end(left)}</variable>' for pin, left in inputs.items()
    )
    results = "".join(
        f'<variable formalParameter="{pin}"><connectionPointOut/></variable>'
        for pin in outputs.split()
    )
    return (
        f'<block localId="{number}" typeName="{kind}" instanceName="{instance}" {more}>'
        f"{_place(number)}<inputVariables>{given}</inputVariables><inOutVariables/>"
        f"<outputVariables>{results}</outputVariables></block>"
    )
