"""Answers as the data that JSON has, and its schema: both from the types of the record.

A dataclass is an object with its fields, pairs of a name and a value are an object with these
names, an enumeration is the text of its value. A place with words to it has them as ``words``.
Fields named ``path`` (``program_paths``) are relative to the working folder, with '/'. What checked
a proof is named without its version.
"""

from __future__ import annotations

import os
import re
from dataclasses import fields, is_dataclass
from enum import Enum, IntEnum
from pathlib import Path
from types import NoneType, UnionType
from typing import Any, TypeAlias, Union, get_args, get_origin, get_type_hints

from twohand.evidence.verdict import Certificate
from twohand.record.message import FilePlace
from twohand.text.source_text import COMMAND_LINE

Data: TypeAlias = dict[str, Any]

_PATHS = frozenset(["path", "program_paths"])
_SIMPLE = {str: "string", bool: "boolean", int: "integer", float: "number", NoneType: "null"}
_VERSION = re.compile(r" \d+(?:\.\d+)+")


_TYPES: dict[Any, dict[str, Any]] = {}


def types_of(kind: Any) -> dict[str, Any]:
    """The types of the fields of a dataclass, in their order."""
    if kind not in _TYPES:
        hints = get_type_hints(kind)
        _TYPES[kind] = {each.name: hints[each.name] for each in fields(kind)}
    return _TYPES[kind]


def relative_path(path: str) -> str:
    """From the working folder on, with '/'; as it is where no way leads there (another drive)."""
    if not path or path == COMMAND_LINE:
        return path
    try:
        return Path(os.path.relpath(path)).as_posix()
    except ValueError:
        return Path(path).as_posix()


# --- values -----------------------------------------------------------------------------------


def plain(value: Any, hint: Any) -> Any:
    """A value of this type as data."""
    if isinstance(value, IntEnum):
        return int(value)
    if isinstance(value, Enum):
        return value.value
    if is_dataclass(value):
        return plain_fields(value)
    if not isinstance(value, tuple):
        return value
    inner, repeated = _inside(hint)
    if not repeated:
        return [plain(each, kind) for each, kind in zip(value, inner, strict=True)]
    if _is_named(inner[0]):
        return {name: plain(each, get_args(inner[0])[1]) for name, each in value}
    if _is_place_with_words(inner[0]):
        return [{**plain_fields(place), "words": words} for place, words in value]
    return [plain(each, inner[0]) for each in value]


def plain_fields(value: Any) -> Data:
    found = {
        name: plain(getattr(value, name), hint) for name, hint in types_of(type(value)).items()
    }
    for name in _PATHS & found.keys():
        path = found[name]
        found[name] = [*map(relative_path, path)] if isinstance(path, list) else relative_path(path)
    if isinstance(value, Certificate):
        found["checker"] = checker_name(value)
    return found


def checker_name(certificate: Certificate) -> str:
    """What accepted it, without its version."""
    return _VERSION.sub("", certificate.checker)


def _inside(hint: Any) -> tuple[tuple[Any, ...], bool]:
    """What a tuple is made of, and whether that is one type any number of times."""
    arguments = get_args(_present(hint))
    repeated = arguments[-1] is Ellipsis
    return (arguments[:1] if repeated else arguments), repeated


def _present(hint: Any) -> Any:
    """The type without None."""
    if get_origin(hint) in (Union, UnionType):
        others = [each for each in get_args(hint) if each is not NoneType]
        return others[0] if len(others) == 1 else hint
    return hint


def _is_named(hint: Any) -> bool:
    """Whether it is a name with its value."""
    arguments = get_args(hint)
    return get_origin(hint) is tuple and len(arguments) == 2 and arguments[0] is str


def _is_place_with_words(hint: Any) -> bool:
    return get_origin(hint) is tuple and get_args(hint) == (FilePlace, str)


# --- the schema -------------------------------------------------------------------------------


def schema_of(hint: Any, definitions: Data) -> Data:
    """The JSON Schema of the data that ``plain`` makes of a value of this type; ``definitions``
    get those of the dataclasses in it, by name."""
    if hint in _SIMPLE:
        return {"type": _SIMPLE[hint]}
    if get_origin(hint) in (Union, UnionType):
        kinds = get_args(hint)
        if all(each in _SIMPLE for each in kinds):
            return {"type": [_SIMPLE[each] for each in kinds]}
        return {"anyOf": [schema_of(each, definitions) for each in kinds]}
    if get_origin(hint) is tuple:
        return _schema_of_tuple(hint, definitions)
    if issubclass(hint, Enum):
        return {"enum": [each.value for each in hint]}
    if not is_dataclass(hint):
        raise TypeError(f"{hint} is no type of the record")
    return _schema_of_class(hint, definitions)


def _schema_of_class(kind: Any, definitions: Data) -> Data:
    name = kind.__name__
    if name not in definitions:
        definitions[name] = {}  # known, as it may be in itself
        properties = {each: schema_of(hint, definitions) for each, hint in types_of(kind).items()}
        definitions[name] = closed(properties, kind.__doc__)
    return {"$ref": f"#/$defs/{name}"}


def closed(properties: Data, about: str | None) -> Data:
    """The schema of an object that has all these properties and no others."""
    return {
        **({"description": " ".join(about.replace("``", "'").split())} if about else {}),
        "type": "object",
        "properties": properties,
        "required": list(properties),
        "additionalProperties": False,
    }


def _schema_of_tuple(hint: Any, definitions: Data) -> Data:
    inner, repeated = _inside(hint)
    if not repeated:
        each = [schema_of(kind, definitions) for kind in inner]
        size = len(each)
        return {"type": "array", "prefixItems": each, "minItems": size, "maxItems": size}
    if _is_named(inner[0]):
        value = schema_of(get_args(inner[0])[1], definitions)
        return {"type": "object", "additionalProperties": value}
    if _is_place_with_words(inner[0]):
        place = {name: schema_of(each, definitions) for name, each in types_of(FilePlace).items()}
        return {"type": "array", "items": closed(place | {"words": {"type": "string"}}, None)}
    return {"type": "array", "items": schema_of(inner[0], definitions)}
