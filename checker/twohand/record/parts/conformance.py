"""Whether data is what a schema of ours says: the keywords that ``record/plain.py`` writes."""

from __future__ import annotations

from typing import Any

from twohand.record.plain import Data

_TYPES: dict[str, tuple[type, ...]] = {
    "string": (str,),
    "boolean": (bool,),
    "integer": (int,),
    "number": (int, float),
    "null": (type(None),),
    "array": (list,),
    "object": (dict,),
}


def conforms(value: Any, schema: Data, definitions: Data) -> bool:
    """Of a schema with ``definitions``; NotImplementedError for a keyword that we do not write."""
    return all(
        _holds(value, keyword, wanted, schema, definitions) for keyword, wanted in schema.items()
    )


def _holds(value: Any, keyword: str, wanted: Any, schema: Data, definitions: Data) -> bool:
    match keyword:
        case "$ref":
            return conforms(value, definitions[wanted.rpartition("/")[2]], definitions)
        case "anyOf":
            return any(conforms(value, each, definitions) for each in wanted)
        case "const":
            return _same(value, wanted)
        case "enum":
            return any(_same(value, each) for each in wanted)
        case "type":
            kinds = [wanted] if isinstance(wanted, str) else wanted
            return any(_is_of(value, each) for each in kinds)
        case "minItems":
            return len(value) >= wanted if isinstance(value, list) else True
        case "maxItems":
            return len(value) <= wanted if isinstance(value, list) else True
        case "prefixItems":
            pairs = zip(value, wanted, strict=False) if isinstance(value, list) else ()
            return all(conforms(each, one, definitions) for each, one in pairs)
        case "items":
            return all(
                conforms(each, wanted, definitions)
                for each in (value if isinstance(value, list) else ())
            )
        case "required" | "properties" | "additionalProperties":
            return not isinstance(value, dict) or _fits(value, keyword, wanted, schema, definitions)
        case "$schema" | "$id" | "$defs" | "title" | "description":
            return True
    raise NotImplementedError(keyword)


def _fits(value: Data, keyword: str, wanted: Any, schema: Data, definitions: Data) -> bool:
    if keyword == "required":
        return all(name in value for name in wanted)
    known: Data = schema.get("properties", {})
    if keyword == "properties":
        return all(
            conforms(value[name], each, definitions)
            for name, each in wanted.items()
            if name in value
        )
    others = [value[name] for name in value if name not in known]
    if wanted is False:
        return not others
    return all(conforms(each, wanted, definitions) for each in others)


def _is_of(value: Any, kind: str) -> bool:
    if isinstance(value, bool) and kind != "boolean":
        return False
    return isinstance(value, _TYPES[kind])


def _same(value: Any, wanted: Any) -> bool:
    """Equal and of one type: TRUE is not 1."""
    return type(value) is type(wanted) and bool(value == wanted)
