"""The keywords of structured text, and the words of what the checker does not read."""

from __future__ import annotations

from typing import NamedTuple

_EXPRESSION_WORDS = "AND AND_THEN OR OR_ELSE XOR NOT MOD TRUE FALSE"
_STATEMENT_WORDS = (
    "IF THEN ELSIF ELSE END_IF CASE OF END_CASE FOR TO BY DO END_FOR WHILE END_WHILE "
    "REPEAT UNTIL END_REPEAT EXIT CONTINUE RETURN "
    "FUNCTION_BLOCK END_FUNCTION_BLOCK FUNCTION END_FUNCTION PROGRAM END_PROGRAM "
    "VAR VAR_INPUT VAR_OUTPUT VAR_IN_OUT VAR_TEMP VAR_INST VAR_STAT END_VAR "
    "VAR_GLOBAL VAR_EXTERNAL AT ARRAY STRUCT END_STRUCT "
    "CONSTANT RETAIN NON_RETAIN PERSISTENT TYPE END_TYPE "
    "EXTENDS IMPLEMENTS INTERFACE END_INTERFACE METHOD END_METHOD THIS SUPER R_EDGE F_EDGE "
    "PROPERTY END_PROPERTY END_GET END_SET ACTION END_ACTION ACTIONS END_ACTIONS "
    "CONFIGURATION END_CONFIGURATION RESOURCE END_RESOURCE TASK"
)
EXPRESSION_KEYWORDS = frozenset(_EXPRESSION_WORDS.split())
MODIFIERS = frozenset(
    ["PUBLIC", "PRIVATE", "PROTECTED", "INTERNAL", "ABSTRACT", "FINAL", "OVERRIDE"]
)
"""Words before the name of a block, a method or a property, or after VAR."""

KEYWORDS = EXPRESSION_KEYWORDS | frozenset(_STATEMENT_WORDS.split()) | MODIFIERS

_HEADS = "TASK RESOURCE CONFIGURATION ACTIONS ACTION METHOD PROPERTY INTERFACE"
BEFORE_NAMES = frozenset(_HEADS.split()) | MODIFIERS
"""Keywords only where a name, or another of these words, follows; elsewhere they are names, as in
many sources: a variable ``action`` or ``final`` is followed by a sign."""

BEHIND_TYPES = frozenset({"R_EDGE", "F_EDGE"})
"""Keywords only behind the type of an input; elsewhere they are names, mostly of triggers."""


class RefusedConstruct(NamedTuple):
    """What a construct is called, its code, and a way round it."""

    code: str
    what: str
    way: str


_REAL = RefusedConstruct(
    "unsupported-real",
    "floating-point numbers ({word})",
    "compare inputs with constants only, use an integer in a finer unit, for instance INT in "
    "tenths, or make the comparison's result a VAR_INPUT of BOOL",
)
_STRING = RefusedConstruct(
    "unsupported-string", "character strings ({word})", "use an enumeration or an integer"
)
_DATE = RefusedConstruct(
    "unsupported-date", "dates and times of day ({word})", "use TIME and a timer for durations"
)
_POINTER = RefusedConstruct(
    "unsupported-pointer", "pointers ({word})", "use the variable itself, or VAR_IN_OUT"
)
_REFERENCE = RefusedConstruct(
    "unsupported-reference", "references ({word})", "use the variable itself, or VAR_IN_OUT"
)
_ADDRESS_OF = RefusedConstruct(
    "unsupported-address-of",
    "the address of a variable ({word})",
    "pass the variable itself, as VAR_IN_OUT",
)
_UNION = RefusedConstruct(
    "unsupported-union", "unions ({word})", "use a structure, or bit access to one variable"
)
_OBJECT = RefusedConstruct(
    "unsupported-object", "classes ({word})", "make it a FUNCTION_BLOCK with methods"
)
_GLOBAL = RefusedConstruct(
    "unsupported-global",
    "variables of a resource or configuration ({word})",
    "make them VAR_INPUT, VAR_OUTPUT, VAR_IN_OUT or VAR CONSTANT of the block",
)
_ADDRESS = RefusedConstruct(
    "unsupported-address",
    "direct addresses outside of declarations ({word})",
    "declare a variable for it, for instance valve AT %QX0.0 : BOOL;",
)
_JUMP = RefusedConstruct("unsupported-jump", "jumps ({word})", "use IF, CASE, a loop or RETURN")
_CHART = RefusedConstruct(
    "unsupported-chart", "sequential function charts ({word})", "use CASE over an enumeration"
)
_NAMESPACE = RefusedConstruct(
    "unsupported-namespace", "namespaces ({word})", "put the block outside of any namespace"
)

REFUSED: dict[str, RefusedConstruct] = {
    word: refusal
    for words, refusal in (
        ("POINTER", _POINTER),
        ("REF_TO REFERENCE REF REF=", _REFERENCE),
        ("ADR", _ADDRESS_OF),
        ("UNION END_UNION", _UNION),
        ("CLASS END_CLASS", _OBJECT),
        ("VAR_CONFIG VAR_ACCESS", _GLOBAL),
        ("JMP GOTO", _JUMP),
        ("END_STEP INITIAL_STEP END_TRANSITION", _CHART),
        ("NAMESPACE END_NAMESPACE USING", _NAMESPACE),
    )
    for word in words.split()
}

REFUSED_TOKENS: dict[str, RefusedConstruct] = {
    "REAL_NUMBER": _REAL,
    "STRING": _STRING,
    "DIRECT": _ADDRESS,
    "CARET": _POINTER,
}

UNMODELLED: dict[str, RefusedConstruct] = {
    word: refusal
    for words, refusal in (
        ("REAL LREAL", _REAL),
        ("STRING WSTRING CHAR WCHAR", _STRING),
        ("DATE LDATE TIME_OF_DAY TOD LTIME_OF_DAY LTOD DATE_AND_TIME DT LDATE_AND_TIME LDT", _DATE),
    )
    for word in words.split()
}
"""Types whose values are not modelled: what only such values depend on is left out, and what
makes a modelled value of them is refused."""

UNMODELLED_PREFIXES: dict[str, str] = {
    **{name: name for name in UNMODELLED},
    "D": "DATE",
    "LD": "LDATE",
}
"""Types before ``#`` of such literals, with the type that is meant."""
