"""One page for people: what was asked and what came out, with its evidence, in one HTML file.

It is a view of the record, as the document of ``--json`` is; of the files whose hashes it has,
lines are shown as well. No script, no address of another host; what comes from files is text.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape

from twohand import __version__
from twohand.analyses.audit.record import AuditResult
from twohand.analyses.check.record import CheckResult
from twohand.analyses.compare.record import CompareResult
from twohand.analyses.documents import Compared
from twohand.analyses.faults.record import FaultsResult
from twohand.analyses.inspect.record import InspectedBlock, InspectResult
from twohand.analyses.measure.record import MeasureResult
from twohand.analyses.mend.record import MendResult
from twohand.files.suffixes import SPECIFICATION
from twohand.formats.items import harmless
from twohand.formats.page.command import command_text, trace_options
from twohand.formats.page.excerpt import Texts
from twohand.formats.page.signature import MEANING, reasons_against
from twohand.formats.page.view import Evidence, PageSubject
from twohand.formats.page.views.audit import audit_subject
from twohand.formats.page.views.check import check_subject
from twohand.formats.page.views.compare import comparison_subject
from twohand.formats.page.views.faults import faults_subject
from twohand.formats.page.views.inspect import inspection_subject
from twohand.formats.page.views.measure import measure_subject
from twohand.formats.page.views.mend import mend_subject
from twohand.record.document import EffortLimits, WholeAnswer
from twohand.record.judged import Judged
from twohand.record.plain import relative_path
from twohand.record.sources import HashedFile

TITLES = {
    "audit": "Small changes of a block: which of them the spec notices",
    "check": "Two-hand logic: what is proved of it, and what is not",
    "comparison": "Two versions of a block: whether they show the same",
    "fault-table": "Two-hand logic under faults: what is kept, and what is lost",
    "inspection": "Blocks, whatever they are for: what is wrong in them",
    "measurement": "Two-hand logic: its times, and the distances that follow",
    "mending": "Small changes of a block after which its spec is proved",
}
"""By kind of document."""


@dataclass(frozen=True)
class PageContent:
    """What the template gets."""

    title: str
    whole: WholeAnswer
    subjects: tuple[PageSubject, ...]
    cautions: tuple[str, ...]
    reasons: tuple[str, ...]
    meaning: tuple[str, ...]
    other_files: tuple[HashedFile, ...]
    version: str = __version__


def page_text(whole: WholeAnswer) -> str:
    subjects = tuple(_subjects(whole, Evidence(Texts.of(whole.sources))))
    named = {
        (relative_path(each.path), each.sha256) for subject in subjects for each in subject.files
    }
    page = PageContent(
        TITLES[whole.kind.name],
        whole,
        subjects,
        _cautions(whole.answer),
        reasons_against(whole),
        MEANING,
        tuple(each for each in whole.sources if (each.path, each.sha256) not in named),
    )
    return environment().get_template("page.html").render(page=page)


def _subjects(whole: WholeAnswer, evidence: Evidence) -> Iterator[PageSubject]:
    answer, options = whole.answer, whole.options
    assert isinstance(options, EffortLimits)  # a scenario has no page

    def again(*paths: str) -> str:
        return command_text(whole.kind.command, paths, options)

    match answer:
        case CheckResult():
            for checked in answer.specs:
                yield check_subject(checked, evidence, again(checked.spec.path))
        case AuditResult():
            for audited in answer.specs:
                yield audit_subject(audited, evidence, again(audited.spec.path))
        case MendResult():
            for mended in answer.specs:
                yield mend_subject(mended, evidence, again(mended.spec.path))
        case FaultsResult():
            for under in answer.specs:
                path = under.without_fault.spec.path
                trace = command_text("faults", (path,), trace_options(options))
                yield faults_subject(under, evidence, again(path), trace)
        case MeasureResult():
            for measured in answer.specs:
                yield measure_subject(measured, evidence, again(measured.spec.path))
        case InspectResult():
            for block in answer.blocks:
                yield inspection_subject(block, evidence, again(_inspected(block)))
        case Compared(compared=CompareResult() as compared):
            sides = (compared.first.path, compared.second.path)
            yield comparison_subject(compared, evidence, again(*sides))


def _inspected(block: InspectedBlock) -> str:
    """The spec that the block was inspected with, if one was, else its file."""
    specs = [e.path for e in block.sources if e.path.lower().endswith(SPECIFICATION)]
    return next(iter(specs), block.path)


def _cautions(answer: Judged) -> tuple[str, ...]:
    match answer:
        case CheckResult() | FaultsResult() | MeasureResult() | InspectResult():
            return answer.cautions
        case AuditResult() | MendResult():
            return answer.cautions
        case Compared(compared=CompareResult() as compared):
            return compared.cautions
    return ()


@cache
def environment() -> Environment:
    """For every page."""
    environment = Environment(
        loader=PackageLoader("twohand.formats.page"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_shown,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters["px"] = _pixels
    environment.filters["path"] = relative_path
    environment.filters["parted"] = _parted
    return environment


def _shown(value: Any) -> Any:
    """Texts without the characters that are not shown or change how others are."""
    return harmless(value) if isinstance(value, str) and not isinstance(value, Markup) else value


def _parted(name: str) -> Markup:
    """A name that may be broken behind '_'."""
    return escape(harmless(name)).replace("_", Markup("_<wbr>"))


def _pixels(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")
