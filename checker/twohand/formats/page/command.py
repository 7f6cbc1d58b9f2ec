"""The command line that makes a page again."""

from __future__ import annotations

from twohand.analyses.documents import (
    AuditOptions,
    CheckOptions,
    CompareOptions,
    FaultOptions,
    InspectionOptions,
    MendOptions,
)
from twohand.analyses.inspect.points import InspectionKind
from twohand.record.document import EffortLimits
from twohand.record.plain import relative_path

_PLAIN = frozenset("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-+=.,/:\\")


def command_text(command: str, paths: tuple[str, ...], options: EffortLimits) -> str:
    """With ``paths`` from the folder on in which the command ran."""
    words = [
        "twohand",
        command,
        *map(relative_path, paths),
        *_own(options),
        "--effort",
        f"{options.effort:g}",
    ]
    if options.total is not None:
        words += ["--total", f"{options.total:g}"]
    return " ".join(map(_quoted, words))


def trace_options(options: EffortLimits) -> EffortLimits:
    """Those of one question of a fault table."""
    return EffortLimits(options.effort, options.seconds, options.total)


def _own(options: EffortLimits) -> list[str]:
    match options:
        case AuditOptions():
            return _given("--most", None if options.most is None else str(options.most))
        case MendOptions():
            return ["--most-pairs", str(options.most_pairs)]
        case CheckOptions():
            flags = {
                "--beyond-findings": options.beyond_findings,
                "--another": options.another,
                "--as-expected": options.as_expected,
            }
            return [flag for flag, given in flags.items() if given]
        case FaultOptions():
            excluded = [word for each in options.exclude for word in ("--exclude", each)]
            return [*excluded, *(["--single"] if options.single else [])]
        case InspectionOptions():
            kinds = ",".join(each.value for each in options.kinds)
            return [
                *_given("--block", options.block),
                *_stated(options.scan, options.platform),
                *_given("--free", ",".join(options.free) or None),
                *_given("--kinds", None if len(options.kinds) == len(InspectionKind) else kinds),
            ]
        case CompareOptions():
            blocks = [] if options.blocks is None else ["--blocks", *options.blocks]
            assumed = [word for each in options.assume for word in ("--assume", each)]
            flags = {"--power-cycles": options.power_cycles, "--common": options.common}
            given = [flag for flag, wanted in flags.items() if wanted]
            return [*blocks, *_stated(options.scan, options.platform), *assumed, *given]
    return []


def _stated(scan: str | None, platform: tuple[str, ...]) -> list[str]:
    return [*_given("--scan", scan), *(word for each in platform for word in ("--platform", each))]


def _given(option: str, value: str | None) -> list[str]:
    return [] if value is None else [option, value]


def _quoted(word: str) -> str:
    """In double quotes where a shell would take it apart."""
    return word if word and set(word) <= _PLAIN else '"{}"'.format(word.replace('"', '\\"'))
