"""The keywords of structured text, and the words of what the checker does not read."""

from __future__ import annotations

from typing import NamedTuple

_EXPRESSION_WORDS = "AND AND_THEN OR OR_ELSE XOR NOT MOD TRUE FALSE"
_STATEMENT_WORDS = (
    "IF THEN ELSIF ELSE END_IF CASE OF END_CASE FOR TO BY DO END_FOR WHILE END_WHILE "
    "REPEAT UNTIL END_REPEAT EXIT CONTINUE RETURN "
    "FUNCTION_BLOCK END_FUNCTION_BLOCK FUNCTION END_FUNCTION PROGRAM END_PROGRAM "
    "VAR VAR_INPUT VAR_OUTPUT VAR_IN_OUT VAR_TEMP END_VAR "
    "CONSTANT RETAIN NON_RETAIN PERSISTENT TYPE END_TYPE"
)
EXPRESSION_KEYWORDS = frozenset(_EXPRESSION_WORDS.split())

KEYWORDS = EXPRESSION_KEYWORDS | frozenset(_STATEMENT_WORDS.split())


class Refusal(NamedTuple):
    """What a construct is called, its code, and a way round it."""

    code: str
    what: str
    way: str


_REAL = Refusal(
    "unsupported-real",
    "floating-point numbers ({word})",
    "use an integer in a finer unit, for instance INT in tenths",
)
_STRING = Refusal(
    "unsupported-string", "character strings ({word})", "use an enumeration or an integer"
)
_DATE = Refusal(
    "unsupported-date", "dates and times of day ({word})", "use TIME and a timer for durations"
)
_POINTER = Refusal(
    "unsupported-pointer",
    "pointers and references ({word})",
    "use the variable itself, or VAR_IN_OUT",
)
_ARRAY = Refusal("unsupported-array", "arrays ({word})", "use one variable for each element")
_STRUCTURE = Refusal(
    "unsupported-structure", "structures ({word})", "use one variable for each member"
)
_OBJECT = Refusal(
    "unsupported-object", "object orientation ({word})", "use a plain FUNCTION_BLOCK or FUNCTION"
)
_METHOD = Refusal(
    "unsupported-method", "methods and properties ({word})", "use a FUNCTION or a FUNCTION_BLOCK"
)
_ACTION = Refusal(
    "unsupported-action", "actions ({word})", "write the statements where the action is called"
)
_GLOBAL = Refusal(
    "unsupported-global",
    "variables of a resource or configuration ({word})",
    "make them VAR_INPUT, VAR_OUTPUT, VAR_IN_OUT or VAR CONSTANT of the block",
)
_ADDRESS = Refusal(
    "unsupported-address",
    "direct addresses ({word})",
    "declare a VAR_INPUT or VAR_OUTPUT without address",
)
_JUMP = Refusal("unsupported-jump", "jumps ({word})", "use IF, CASE, a loop or RETURN")
_CHART = Refusal(
    "unsupported-chart", "sequential function charts ({word})", "use CASE over an enumeration"
)
_CONFIGURATION = Refusal(
    "unsupported-configuration",
    "configurations and tasks ({word})",
    "leave it out; the spec states the scan time",
)
_NAMESPACE = Refusal(
    "unsupported-namespace", "namespaces ({word})", "put the block outside of any namespace"
)
_EDGE = Refusal(
    "unsupported-edge-input",
    "edge-qualified inputs ({word})",
    "declare a plain BOOL input and call an R_TRIG or F_TRIG with it",
)

REFUSED: dict[str, Refusal] = {
    word: refusal
    for words, refusal in (
        ("REAL LREAL", _REAL),
        ("STRING WSTRING CHAR WCHAR", _STRING),
        ("DATE LDATE TIME_OF_DAY TOD LTIME_OF_DAY LTOD DATE_AND_TIME DT LDATE_AND_TIME LDT", _DATE),
        ("POINTER REF_TO REFERENCE REF ADR", _POINTER),
        ("ARRAY", _ARRAY),
        ("STRUCT END_STRUCT UNION END_UNION", _STRUCTURE),
        ("CLASS END_CLASS INTERFACE END_INTERFACE EXTENDS IMPLEMENTS THIS SUPER", _OBJECT),
        ("ABSTRACT FINAL OVERRIDE PUBLIC PRIVATE PROTECTED INTERNAL", _OBJECT),
        ("METHOD END_METHOD PROPERTY END_PROPERTY", _METHOD),
        ("ACTION END_ACTION", _ACTION),
        ("VAR_GLOBAL VAR_EXTERNAL VAR_CONFIG VAR_ACCESS VAR_INST VAR_STAT", _GLOBAL),
        ("AT", _ADDRESS),
        ("JMP GOTO", _JUMP),
        ("STEP END_STEP INITIAL_STEP TRANSITION END_TRANSITION", _CHART),
        ("CONFIGURATION END_CONFIGURATION RESOURCE END_RESOURCE TASK", _CONFIGURATION),
        ("NAMESPACE END_NAMESPACE USING", _NAMESPACE),
        ("R_EDGE F_EDGE", _EDGE),
    )
    for word in words.split()
}

REFUSED_TOKENS: dict[str, Refusal] = {
    "REAL_NUMBER": _REAL,
    "STRING": _STRING,
    "DIRECT": _ADDRESS,
    "LBRACKET": _ARRAY,
    "CARET": _POINTER,
}

REFUSED_PREFIXES: dict[str, Refusal] = {
    **{name: REFUSED[name] for name in ("REAL", "LREAL", "STRING", "WSTRING", "CHAR", "WCHAR")},
    **dict.fromkeys(("D", "LD", "DATE", "LDATE", "TOD", "LTOD", "DT", "LDT"), _DATE),
    **dict.fromkeys(("TIME_OF_DAY", "DATE_AND_TIME"), _DATE),
}
"""Types before ``#`` whose literals are not read."""
