"""The files of two versions of a block, read and resolved."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from twohand.analyses.compare.options import ComparisonOptions, Version
from twohand.analyses.compare.question import Comparison, resolve_comparison
from twohand.exchange.file import structured_text_of
from twohand.files.reading import read_source, readable, source_files
from twohand.files.suffixes import SPECIFICATION
from twohand.program import Program
from twohand.text.diagnostic import Diagnostic, InputError, wrong
from twohand.text.resources import is_folder
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

WAY = "name it with --block, or one for each with --blocks"


def load_comparison(first: Version, second: Version, options: ComparisonOptions) -> Comparison:
    """The comparison of two versions; InputError with what is wrong in either, or between them.
    What cannot be read elsewhere in their folders is among its warnings."""
    try:
        return _comparison(first, second, options)
    except InputError as error:
        raise InputError(_without_spec(each) for each in error.diagnostics) from None


def _comparison(first: Version, second: Version, options: ComparisonOptions) -> Comparison:
    texts: dict[Path, SourceText] = {}
    notes: list[Diagnostic] = []
    problems: list[Diagnostic] = []
    programs: list[Program] = []
    for version in (first, second):
        try:
            programs.append(_program(version, texts, notes))
        except InputError as error:
            problems += error.diagnostics
    if problems:
        raise InputError(dict.fromkeys(problems))
    comparison = resolve_comparison(programs[0], programs[1], options)
    specification = comparison.specification
    warnings = (*dict.fromkeys(notes), *specification.warnings)
    return replace(comparison, specification=replace(specification, warnings=warnings))


def _program(version: Version, texts: dict[Path, SourceText], notes: list[Diagnostic]) -> Program:
    """A file that both versions have is read once, so that its places are the same ones."""
    path = Path(version.path)
    if path.suffix.lower() == SPECIFICATION:
        message = "this is a spec; what is compared are blocks"
        way = "name the files of its SOURCE"
        raise wrong("spec-for-source", message, None, way, path=version.show(path))
    if not is_folder(path):
        return load_program([_text(path, texts, version)], version.block, notes=notes)
    sources = readable(source_files(path), lambda file: _text(file, texts, version), notes)
    return load_program(sources, version.block, notes=notes, searched=sources)


def _text(file: Path, texts: dict[Path, SourceText], version: Version) -> SourceText:
    if file not in texts:
        texts[file] = structured_text_of(read_source(file, version.show(file)))
    return texts[file]


def _without_spec(problem: Diagnostic) -> Diagnostic:
    """Ways out that are none where there is no spec are others here."""
    if problem.code == "several-blocks":
        return replace(problem, help=WAY)
    return replace(problem, help="") if " spec" in problem.help else problem
