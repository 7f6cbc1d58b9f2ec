from lark.exceptions import UnexpectedInput
from checker.source.diagnostic import Diagnostic
from checker.source.text import SourceText, Span


def explain(error: UnexpectedInput, source: SourceText) -> Diagnostic:
    raise error
