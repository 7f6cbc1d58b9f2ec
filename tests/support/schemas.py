"""The validators of documents, by their kinds."""

from __future__ import annotations

from functools import cache

from jsonschema import Draft202012Validator
from twohand.gate.documents import KINDS
from twohand.record.document import document_schema


@cache
def schema(kind: str) -> Draft202012Validator:
    found = document_schema(KINDS[kind])
    Draft202012Validator.check_schema(found)
    return Draft202012Validator(found)
