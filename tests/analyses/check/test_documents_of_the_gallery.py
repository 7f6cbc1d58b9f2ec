"""Every document of a spec of the gallery is one by the schema."""

from __future__ import annotations

import json

import pytest
from twohand.analyses.check.record import check_result
from twohand.analyses.documents import CHECK, CheckOptions
from twohand.record.document import Made, WholeAnswer, document
from twohand.report.exit_code import ExitCode

from tests.support.gallery_reports import GALLERY, GalleryReports
from tests.support.schemas import schema

OPTIONS = CheckOptions(60.0, 600.0, None, False, False, False)
MADE = Made("twohand", "3", (), "any", 1, "now", 0.0, ())


@pytest.mark.long
@pytest.mark.parametrize("name", GALLERY)
def test_a_document_of_the_gallery_is_valid(name: str, gallery_report: GalleryReports) -> None:
    report = gallery_report(name)
    answer = check_result([report])
    found = json.loads(
        json.dumps(
            document(
                WholeAnswer(
                    CHECK, OPTIONS, answer.specs[0].spec.sources, answer, answer.exit_code, (), MADE
                )
            ),
            allow_nan=False,
        )
    )
    assert list(schema("check").iter_errors(found)) == []
    (spec,) = found["specs"]
    files = [each["path"] for each in found["sources"]]
    assert files[0] == f"{name}.spec"
    identifiers = [each["asked"]["identifier"] for each in spec["requirements"]]
    identifiers += [each["identifier"] for each in spec["findings"]]
    assert len(set(identifiers)) == len(identifiers)
    violated = [each for each in spec["requirements"] if each["outcome"] == "VIOLATED"]
    assert all(each["run"]["steps"] and each["seen"] for each in violated)
    assert found["exit_code"] in (ExitCode.ALL_PROVED, ExitCode.VIOLATED, ExitCode.UNDECIDED)
