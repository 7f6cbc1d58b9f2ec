"""All parts of an answer as the document that one run would have written, as plain data.

What is in the documents is taken at its word; whether they belong together, and are all of them, is
looked at.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from twohand.record.document import VERSION, DocumentKind
from twohand.record.parts.conformance import conforms
from twohand.record.parts.part import ENDING, PartChoice, part_schema
from twohand.record.plain import Data, types_of
from twohand.report.cautions import SaidOfSpec, caution_texts_of
from twohand.report.exit_code import ExitCode, worst
from twohand.text.diagnostic import Diagnostic, InputError

NO_PART = "no-part"
OTHER_PART = "other-part"
PARTS_INCOMPLETE = "parts-incomplete"
WAY = "give the documents that '--part K/N --json FILE' writes"
ALL_ALIKE = "make all parts anew, with the same program, options and files"
_BROKEN_OFF = (ExitCode.INTERNAL, ExitCode.INTERRUPTED)


@dataclass(frozen=True)
class ReadPart:
    """The document of a part, from the file ``path``."""

    path: str
    kind: DocumentKind
    part: Data
    document: Data

    @property
    def number(self) -> int:
        number: int = self.part["number"]
        return number

    @property
    def code(self) -> ExitCode:
        """Of the run, and of all specs in it: what does not pass there passes nowhere."""
        found = [ExitCode(self.document["exit_code"])]
        if not self.document["options"].get("as_expected"):
            found += [ExitCode(each["exit_code"]) for each in self.document["specs"]]
        return worst(found)

    def of(self, name: str) -> Iterator[tuple[str, list[Any]]]:
        """The ``sources``, ``problems`` or ``specs`` of each file, by its path; before and after
        all files by ''."""
        begin, values = 0, self.document[name]
        for each in (self.part["before"], *self.part["answered"], self.part["after"]):
            held = each[name]
            end = begin + (len(held) if isinstance(held, list) else held)
            yield each["path"], values[begin:end]
            begin = end

    def ahead(self, name: str) -> list[Any]:
        return next(iter(self.of(name)))[1]

    def behind(self, name: str) -> list[Any]:
        return list(self.of(name))[-1][1]


def read_part(text: str, path: str, kinds: Mapping[str, DocumentKind]) -> ReadPart:
    """InputError for a text that is none of a part."""
    try:
        data = json.loads(text)
    except (ValueError, RecursionError):
        raise _no_part(path, "this is no JSON document") from None
    form = data.get("format") if isinstance(data, dict) else None
    named = form.removeprefix("twohand-") if isinstance(form, str) else ""
    if named in kinds:
        raise _no_part(path, f"this is a whole document ({form}), and none of a part")
    kind = kinds.get(named.removesuffix(ENDING))
    if kind is None:
        raise _no_part(path, "this is no document of a part")
    if data.get("version") != VERSION:
        version = data.get("version")
        message = f"this document has version {version!r}; what reads it knows version {VERSION}"
        raise InputError(Diagnostic(OTHER_PART, message, path=path, help=ALL_ALIKE))
    schema = part_schema(kind)
    if not conforms(data, schema, schema["$defs"]):
        raise _no_part(path, f"this is no document as 'twohand schema {named}' says")
    found = ReadPart(path, kind, data["part"], data["document"])
    why = _damage(found)
    if why:
        raise _no_part(path, f"this document is damaged: {why}")
    return found


def _no_part(path: str, message: str) -> InputError:
    return InputError(Diagnostic(NO_PART, message, path=path, help=WAY))


def _damage(found: ReadPart) -> str:
    """Why the document cannot have been written by a run; '' where it can."""
    part, document = found.part, found.document
    if not 1 <= part["number"] <= part["of"]:
        return "there is no such part"
    codes = {int(each) for each in ExitCode}
    if not {document["exit_code"], *(each["exit_code"] for each in document["specs"])} <= codes:
        return "an exit code is none"
    segments = (part["before"], *part["answered"], part["after"])
    for name in ("sources", "problems", "specs"):
        numbers = [e[name] if isinstance(e[name], int) else len(e[name]) for e in segments]
        if min(numbers) < 0 or sum(numbers) != len(document[name]):
            return f"its {name} are not those of its files"
    paths = [each["path"] for each in part["files"]]
    chosen = PartChoice(part["number"], part["of"]).chosen([e["sha256"] for e in part["files"]])
    asked = [paths[place] for place in chosen]
    answered = [each["path"] for each in part["answered"]]
    if len(set(paths)) != len(paths) or answered != asked[: len(answered)]:
        return "it does not answer the files that fall to it"
    if len(answered) < len(asked) and found.code not in _BROKEN_OFF:
        return "it lacks files that fall to it"
    return ""


def merged(parts: Sequence[ReadPart], made: Callable[[Data], Data]) -> Data:
    """The whole document; InputError where the parts are none of one answer, or not all of it.
    ``made`` says of the first part's 'made' who has made the whole."""
    check_alike(parts)
    check_complete(parts)
    parts = sorted(parts, key=lambda each: each.number)
    first = parts[0]
    files = [each["path"] for each in first.part["files"]]
    whole = dict(first.document)
    whole["exit_code"] = int(worst(each.code for each in parts))
    for name in ("sources", "problems", "specs"):
        held = {path: values for part in parts for path, values in part.of(name) if path}
        inside = [each for path in files for each in held.get(path, ())]
        if name == "specs":
            whole[name] = inside
            continue
        last = [each for part in parts for each in part.behind(name)]
        whole[name] = _once([*first.ahead(name), *inside, *sorted(_once(last), key=_line)])
    whole["cautions"] = caution_texts_of(list(_said(parts, files)))
    if "waivers" in whole:
        every = [each for part in parts for each in part.document["waivers"]]
        whole["waivers"] = sorted(_once(every), key=_line)
    whole["made"] = _made(parts, files, made)
    return whole


def _said(parts: Sequence[ReadPart], files: Sequence[str]) -> Iterator[SaidOfSpec]:
    held = {each["path"]: each["specs"] for part in parts for each in part.part["answered"]}
    for path in files:
        for each in held.get(path, ()):
            yield SaidOfSpec(**{name: each[name] for name in types_of(SaidOfSpec)})


def _once(values: Iterable[Data]) -> list[Data]:
    """Each of these pieces of data once, in their order."""
    found: list[Data] = []
    for each in values:
        if each not in found:
            found.append(each)
    return found


def _line(said: Data) -> tuple[int, int]:
    place = said["place"] or {"line": 0, "column": 0}
    return place["line"], place["column"]


def _made(parts: Sequence[ReadPart], files: Sequence[str], made: Callable[[Data], Data]) -> Data:
    order = {path: place for place, path in enumerate(files)}
    spent = [each for part in parts for each in part.document["made"]["spent"]]
    spent.sort(key=lambda each: order.get(each["path"], len(files)))
    seconds = sum(part.document["made"]["seconds"] for part in parts)
    return {**made(parts[0].document["made"]), "seconds": round(seconds, 3), "spent": spent}


def check_alike(parts: Sequence[ReadPart]) -> None:
    """InputError where one of them is of another answer than the first one."""
    first = parts[0]
    for other in parts[1:]:
        for subject, same in _compared(first, other):
            if not same:
                message = f"{subject} are not those of {first.path}"
                raise InputError(Diagnostic(OTHER_PART, message, path=other.path, help=ALL_ALIKE))


def _compared(one: ReadPart, other: ReadPart) -> Iterator[tuple[str, bool]]:
    """What has to be alike, and whether it is."""
    made, others = one.document["made"], other.document["made"]
    yield "the command and its kind of document", one.kind == other.kind
    yield "the program and its version", made["program"] == others["program"]
    yield "the versions of the solvers", made["solvers"] == others["solvers"]
    yield "the options", one.document["options"] == other.document["options"]
    yield "the number of parts", one.part["of"] == other.part["of"]
    yield "the spec files", one.part["files"] == other.part["files"]
    ahead = all(one.ahead(name) == other.ahead(name) for name in ("sources", "problems"))
    project = one.document.get("project") == other.document.get("project")
    yield "the project file and what was read with it", ahead and project


def check_complete(parts: Sequence[ReadPart]) -> None:
    """InputError where a part is missing or there twice."""
    by_number: dict[int, ReadPart] = {}
    for each in parts:
        before = by_number.setdefault(each.number, each)
        if before is not each:
            message = f"part {each.number} is in {before.path} already"
            way = "give each part once"
            raise InputError(Diagnostic(PARTS_INCOMPLETE, message, path=each.path, help=way))
    count = parts[0].part["of"]
    missing = [number for number in range(1, count + 1) if number not in by_number]
    if missing:
        message = f"of {count} parts there is no {_listed(missing)}"
        way = "nothing is said of the whole while a part is missing"
        raise InputError(Diagnostic(PARTS_INCOMPLETE, message, path=parts[0].path, help=way))


def _listed(numbers: Iterable[int]) -> str:
    return ", ".join(map(str, numbers))
