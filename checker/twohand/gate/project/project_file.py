"""The project file: what a repository asks of its specs on every change."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path, PurePath

from twohand.evidence.cache.folder import MEGABYTES
from twohand.files.confinement import is_outside
from twohand.files.reading import read_source
from twohand.gate.project.toml_table import TomlTable, TomlText, toml_table
from twohand.program.durations import Nanoseconds
from twohand.syntax.parsing.literals import duration
from twohand.text.diagnostic import Diagnostic, InputError, collected, wrong
from twohand.text.source_text import SourceText, Span

OWN_FILE = "twohand.toml"
SHARED_FILE = "pyproject.toml"
"""Of many tools; ours is its table [tool.twohand]."""
WAIVERS = "waivers.toml"
"""Where the project file names no other file of waivers."""
MOST_EFFORT = 1_000_000.0
MOST_MEGABYTES = 1_000_000.0
_KEYS = ("specs", "exclude", "effort", "confined", "inspections", "faults", "waivers", "figures",
         "outputs", "cache_megabytes")  # fmt: skip
_OUTPUTS = ("json", "junit", "sarif")
_PREFIX = "T#"


@dataclass(frozen=True)
class NamedPath:
    """A file or folder that the project file names; ``path`` begins at the project's folder."""

    path: Path
    span: Span

    def has(self, file: Path) -> bool:
        """Whether this is the file, or a folder around it, and no hidden folder or installed
        environment lies between them; both resolved."""
        own = self.path.resolve()
        if not file.is_relative_to(own):
            return False
        between = [each for each in file.parents if each.is_relative_to(own) and each != own]
        return not any(is_passed_over(each) for each in between)


@dataclass(frozen=True)
class FigureLimit:
    """A ``figure`` of a spec, by its identifier in the documents of ``twohand measure``, and what
    it may be ``at_most`` or must be ``at_least``; one of them is None."""

    spec: NamedPath
    figure: str
    at_most: Nanoseconds | None
    at_least: Nanoseconds | None
    span: Span


@dataclass(frozen=True)
class ReviewOutputs:
    """Where a review is written; None: not."""

    json: Path | None = None
    junit: Path | None = None
    sarif: Path | None = None


@dataclass(frozen=True)
class ProjectFile:
    """``folder`` is the one in which the file lies; every path begins there. ``specs`` are asked
    but for what ``exclude`` has; of those ``inspections`` has the blocks are inspected, of those
    ``faults`` has a fault table is asked. ``confined`` is the folder outside of which nothing is
    read (None: everything may be). ``effort`` None: the usual one. ``cache_megabytes`` is what kept
    answers may take on the disk."""

    source: SourceText
    folder: Path
    specs: tuple[NamedPath, ...]
    exclude: tuple[NamedPath, ...]
    effort: float | None
    confined: Path | None
    inspections: tuple[NamedPath, ...]
    faults: tuple[NamedPath, ...]
    limits: tuple[FigureLimit, ...]
    waivers: Path
    outputs: ReviewOutputs
    cache_megabytes: float

    @property
    def shown_waivers(self) -> str:
        """The file of waivers, as the project file is shown."""
        return str(Path(self.source.path).parent / self.waivers.relative_to(self.folder))

    def asks(self, spec: Path) -> bool:
        """Whether this spec is one of those that the project asks."""
        return _among(self.specs, spec) and not _among(self.exclude, spec)

    def inspects(self, spec: Path) -> bool:
        return _among(self.inspections, spec)

    def asks_faults(self, spec: Path) -> bool:
        return _among(self.faults, spec)

    def limits_of(self, spec: Path) -> tuple[FigureLimit, ...]:
        return tuple(each for each in self.limits if each.spec.has(spec.resolve()))


def _among(named: tuple[NamedPath, ...], spec: Path) -> bool:
    file = spec.resolve()
    return any(each.has(file) for each in named)


def is_passed_over(folder: Path) -> bool:
    """Whether a folder is none of the project's own: hidden, or an installed environment, which
    brings the gallery of the tool itself."""
    return folder.name.startswith(".") or (folder / "pyvenv.cfg").is_file()


def find_project_file(place: Path, shown: str | None = None) -> ProjectFile | None:
    """The project file of a spec: the one that lies in its folder or next above; None where there
    is none. InputError where it cannot be used. ``place`` may be a folder as well."""
    start = place.resolve()
    for folder in (start, *start.parents):
        if is_outside(folder):
            return None
        found = _in_folder(folder, _shown_folder(place, folder) if shown is None else shown)
        if found is not None:
            return found
    return None


def _shown_folder(place: Path, folder: Path) -> str:
    """A folder above as the user would write it, who wrote ``place``."""
    up, here = place, place.resolve()
    while here != folder:
        here = here.parent
        up = up.parent if up.name not in ("", "..") else up / ".."
    return str(up)


def _in_folder(folder: Path, shown: str) -> ProjectFile | None:
    own, shared = folder / OWN_FILE, folder / SHARED_FILE
    table = None
    if shared.is_file():
        table = _tool_table(read_source(shared, str(Path(shown, SHARED_FILE))))
    if own.is_file():
        text = read_source(own, str(Path(shown, OWN_FILE)))
        if table is not None:
            message = f"the project has two project files: {OWN_FILE} and {SHARED_FILE}"
            raise wrong("two-project-files", message, table.span, "keep one of them")
        table = toml_table(text)
    return None if table is None else project_file(table, folder)


def _tool_table(source: SourceText) -> TomlTable | None:
    """[tool.twohand] of a file of many tools, if it is there; its other tables are not ours."""
    tools = toml_table(source).values.get("tool")
    if not isinstance(tools, dict) or "twohand" not in tools:
        return None
    return toml_table(source).table("tool").table("twohand")


def project_file(table: TomlTable, folder: Path) -> ProjectFile:
    """The project file of its table; InputError with everything that is wrong."""
    problems = table.problems
    table.expect(*_KEYS)
    table.require("specs")
    outputs = table.table("outputs")
    outputs.expect(*_OUTPUTS)
    waivers = table.text("waivers")
    megabytes = table.number("cache_megabytes", 0, MOST_MEGABYTES)
    confined = table.text("confined")
    paths = _Paths(folder, problems)
    if confined is not None:
        paths.folder_that_is_there(confined)
    if waivers is not None:
        paths.is_inside(waivers)
    found = ProjectFile(
        table.source,
        folder,
        paths.named(table.texts("specs")),
        paths.named(table.texts("exclude")),
        table.number("effort", 0, MOST_EFFORT),
        None if confined is None else folder / confined.text,
        paths.named(table.texts("inspections")),
        paths.named(table.texts("faults")),
        tuple(
            limit
            for each in table.tables("figures")
            if (limit := _limit(each, paths, problems)) is not None
        ),
        folder / (WAIVERS if waivers is None else waivers.text),
        ReviewOutputs(
            **{
                name: folder / text.text
                for name in _OUTPUTS
                if (text := outputs.text(name)) is not None
            }
        ),
        MEGABYTES if megabytes is None else megabytes,
    )
    if problems:
        raise InputError(problems)
    return found


@dataclass(frozen=True)
class _Paths:
    folder: Path
    problems: list[Diagnostic]

    def named(self, texts: tuple[TomlText, ...]) -> tuple[NamedPath, ...]:
        """Those that are there; the others are complained of."""
        return tuple(each for text in texts if (each := self.one(text)) is not None)

    def one(self, text: TomlText) -> NamedPath | None:
        path = self.folder / PurePath(text.text)
        if not self.is_inside(text):
            return None
        if not path.exists():
            message = f"there is no file or folder '{text.text}' beside the project file"
            way = "write the path from the folder of the project file on, with '/'"
            self.problems.append(Diagnostic("missing-file", message, text.span, way))
        else:
            return NamedPath(path, text.span)
        return None

    def is_inside(self, text: TomlText) -> bool:
        """Whether the path lies in the folder; complains if not."""
        path = self.folder / PurePath(text.text)
        if "\0" not in text.text and path.resolve().is_relative_to(self.folder.resolve()):
            return True
        message = f"'{text.text}' lies outside of the folder of the project file"
        way = "write a path that begins in that folder; a project file reaches no further"
        self.problems.append(Diagnostic("outside-project", message, text.span, way))
        return False

    def folder_that_is_there(self, text: TomlText) -> None:
        if "\0" in text.text or not (self.folder / text.text).is_dir():
            message = f"there is no folder '{text.text}'"
            way = 'write for instance confined = "."'
            self.problems.append(Diagnostic("missing-file", message, text.span, way))


def _limit(table: TomlTable, paths: _Paths, problems: list[Diagnostic]) -> FigureLimit | None:
    table.expect("spec", "figure", "at_most", "at_least")
    table.require("spec", "figure")
    spec, figure = table.text("spec"), table.text("figure")
    most, least = table.text("at_most"), table.text("at_least")
    if ("at_most" in table.values) is ("at_least" in table.values):
        message = "a limit is either 'at_most' or 'at_least'"
        way = 'write for instance at_most = "T#200ms"'
        problems.append(Diagnostic("missing-key", message, table.span, way))
    named = None if spec is None else paths.one(spec)
    if named is not None and not named.path.is_file():
        message = f"'{named.path.name}' is a folder; a figure is one of a spec file"
        problems.append(Diagnostic("not-a-file", message, named.span, "name the spec file"))
    if named is None or figure is None:
        return None
    with collected(problems):
        return FigureLimit(named, figure.text, _time(most), _time(least), table.span)
    return None


def _time(text: TomlText | None) -> Nanoseconds | None:
    """InputError where it is no duration."""
    if text is None:
        return None
    body = text.text.strip()
    if not body.upper().startswith(_PREFIX) or body[len(_PREFIX) :].startswith("-"):
        message = f"'{text.text}' is no duration"
        way = "write for instance T#500ms, T#1.5s or T#1h30m"
        raise wrong("malformed-duration", message, text.span, way)
    return Nanoseconds(duration(body[len(_PREFIX) :], text.span))
