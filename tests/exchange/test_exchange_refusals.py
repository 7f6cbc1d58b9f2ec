"""What an exchange file may not say, or the checker does not read, is refused at its place."""

from __future__ import annotations

import pytest

from tests.support.meaning.exchange_export import document
from tests.support.samples.exchange_samples import (
    BOOL,
    block,
    body,
    marked,
    problems,
    value,
    variable,
    variables,
)

ARRAY = '<InstantlyDefinedType xsi:type="ArrayTypeSpec">{}</InstantlyDefinedType>'
DIMENSION = '<DimensionSpec dimensionNumber="{}"><IndexRange lower="{}" upper="9"/></DimensionSpec>'
BASE = "<BaseType><TypeName>INT</TypeName></BaseType>"
ENUM = '<InstantlyDefinedType xsi:type="EnumTypeSpec">{}</InstantlyDefinedType>'

TWO_IN_ONE = '<Enumerator name="a, b"/>'

IN_BLOCK = [
    (variables(variable("x", "<Type><TypeName>BOOL; y : INT</TypeName></Type>")),
     "malformed-name", "BOOL; y : INT"),
    (variables(variable("x; y")), "malformed-name", "x; y"),
    (variables(variable("x", "<Type><TypeName>N.T</TypeName></Type>")),
     "unsupported-namespace", "N.T"),
    (variables(variable("x", "<Type><TypeName>ARRAY</TypeName></Type>")), "keyword-as-name",
     "ARRAY"),
    (variables(variable("x", "<Type/>")), "malformed-exchange-content", "<Type/>"),
    (variables(variable("x", "")), "malformed-exchange-content", '<Variable name="x">'),
    (variables(variable("x", BOOL + BOOL)), "malformed-exchange-content", "<Type>"),
    (variables(variable("x", BOOL, value("1; y : INT := 2"))), "malformed-exchange-content",
     "1; y : INT := 2"),
    (variables(variable("x", BOOL, value("TRUE (* "))), "malformed-exchange-content", "TRUE (* "),
    (variables(variable("x", BOOL, value("1, 2"))), "malformed-exchange-content", "1, 2"),
    (variables(variable("x", BOOL, value("(a := 1)"))), "malformed-exchange-content", "(a := 1)"),
    (variables(variable("x", BOOL, value(""))), "malformed-exchange-content", ""),
    (variables(variable("x", BOOL, value("-END_VAR"))), "malformed-exchange-content", "-END_VAR"),
    (variables(variable("x", BOOL, value("IF"))), "malformed-exchange-content", "IF"),
    (variables(variable("x", BOOL, "<InitialValue/>")), "malformed-exchange-content",
     "<InitialValue/>"),
    (variables(variable("x", BOOL, '<Address address="QX0.0"/>')), "malformed-exchange-content",
     "QX0.0"),
    (variables(variable("x", BOOL, '<Address address="%QX0.0 : INT"/>')),
     "malformed-exchange-content", "%QX0.0 : INT"),
    (variables(variable("x", BOOL, '<Address place="1"/>')), "unsupported-exchange-content", "1"),
    (variables(f'<Variable name="x" edgeDetection="rising">{BOOL}</Variable>'),
     "unsupported-exchange-content", "rising"),
    (variables(f'<Variable name="x" forced="true">{BOOL}</Variable>'),
     "unsupported-exchange-content", "true"),
    (variables(f"<Variable>{BOOL}</Variable>"), "malformed-exchange-content", "<Variable>"),
    (variables("loose"), "malformed-exchange-content", "loose"),
    ('<Vars constant="maybe"/>', "malformed-exchange-content", "maybe"),
    ('<Vars accessSpecifier="secret"/>', "malformed-exchange-content", "secret"),
    ('<Vars xmlns="urn:x"/>', "unsupported-exchange-content", '<Vars xmlns="urn:x"/>'),
    ('<Vars xsi:type="x"/>', "unsupported-exchange-content", '<Vars xsi:type="x"/>'),
    ("<AccessVars/>", "unsupported-exchange-content", "<AccessVars/>"),
    ("<Transition/>", "unsupported-exchange-content", "<Transition/>"),
    ("<MainBody/>", "malformed-exchange-content", "<MainBody/>"),
    (body("") + body(""), "malformed-exchange-content", "<MainBody>"),
    (body("", "IL"), "unsupported-instruction-list", '<BodyContent xsi:type="IL">'),
    (body("", "SFC"), "unsupported-chart", '<BodyContent xsi:type="SFC">'),
    (body("", "CFC"), "unsupported-graphical", '<BodyContent xsi:type="CFC">'),
    (variables(variable("x", f"<Type>{ARRAY.format(BASE)}</Type>")), "malformed-exchange-content",
     '<InstantlyDefinedType xsi:type="ArrayTypeSpec">'),
    (variables(variable("x", f"<Type>{ARRAY.format(DIMENSION.format(1, 0) * 2 + BASE)}</Type>")),
     "malformed-exchange-content", "1"),
    (variables(variable("x", f"<Type>{ARRAY.format(DIMENSION.format(1, '0 .. 1') + BASE)}</Type>")),
     "malformed-exchange-content", "0 .. 1"),
    (variables(variable("x", f"<Type>{ENUM.format('')}</Type>")), "malformed-exchange-content",
     '<InstantlyDefinedType xsi:type="EnumTypeSpec">'),
    (variables(variable("x", f"<Type>{ENUM.format(TWO_IN_ONE)}</Type>")),
     "malformed-name", "a, b"),
    (variables(variable("x", '<Type><InstantlyDefinedType xsi:type="UnionTypeSpec"/></Type>')),
     "unsupported-exchange-content", '<InstantlyDefinedType xsi:type="UnionTypeSpec"/>'),
    (variables(variable("x", BOOL, "<InitialValue><ArrayValue/></InitialValue>")),
     "malformed-exchange-content", "<ArrayValue/>"),
    (variables(variable("x", BOOL, "<InitialValue><ArrayValue>"
               '<Value repetitionValue="2)"><SimpleValue value="1"/></Value></ArrayValue>'
               "</InitialValue>")), "malformed-exchange-content", "2)"),
]  # fmt: skip


@pytest.mark.parametrize(("inside", "code", "place"), IN_BLOCK)
def test_what_is_not_read_in_a_block_is_refused_at_its_place(
    inside: str, code: str, place: str
) -> None:
    (problem,) = problems(document(block(inside)))
    assert (problem.code, marked(problem)) == (code, place)
    assert problem.help


@pytest.mark.parametrize(
    ("xml", "code", "place"),
    [
        ("<Project/>", "unsupported-exchange-format", "<Project/>"),
        ('<Project xmlns="urn:other"/>', "unsupported-exchange-format", None),
        ("<project/>", "unsupported-exchange-format", "<project/>"),
        (document("<Wish/>"), "unsupported-exchange-content", "<Wish/>"),
        (document("loose"), "malformed-exchange-content", "loose"),
        (document(block("", "a b")), "malformed-name", "a b"),
        (document(block("", "final")), "keyword-as-name", "final"),
        (document("<FunctionBlock/>"), "malformed-exchange-content", "<FunctionBlock/>"),
        (document('<Class name="C"/>' + block(variables(variable("c", BOOL.replace("BOOL", "C"))))),
         "unsupported-object", '<Class name="C"/>'),
        (document(f'<NamespaceDecl name="N">{block("")}</NamespaceDecl>'),
         "unsupported-namespace", '<NamespaceDecl name="N">'),
        (document(block(""), '<Configuration name="c"><ConfigVars/></Configuration>'),
         "unsupported-exchange-content", "<ConfigVars/>"),
        (document(block(""), '<Configuration name="c"><Resource name="r"><Task name="t" '
                  'interval="ten"/></Resource></Configuration>'),
         "malformed-exchange-content", "ten"),
        (document(block("<Parameters><InputVars>"
                        f'<Variable name="a" orderWithinParamSet="1">{BOOL}</Variable>'
                        f'<Variable name="b">{BOOL}</Variable></InputVars></Parameters>')),
         "malformed-exchange-content", '<Variable name="b">'),
        (document(block("<Parameters><InputVars>"
                        f'<Variable name="a" orderWithinParamSet="1">{BOOL}</Variable></InputVars>'
                        f'<InoutVars><Variable name="b" orderWithinParamSet="1">{BOOL}</Variable>'
                        "</InoutVars></Parameters>")),
         "malformed-exchange-content", "1"),
    ],
)  # fmt: skip
def test_what_is_not_read_elsewhere_is_refused_at_its_place(
    xml: str, code: str, place: str | None
) -> None:
    (problem,) = problems(xml)
    assert problem.code == code
    assert place is None or marked(problem) == place
    assert problem.help
