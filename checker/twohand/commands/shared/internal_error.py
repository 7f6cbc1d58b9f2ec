"""An internal error, reported to the user in a paragraph."""

from __future__ import annotations

import platform
import traceback
from pathlib import Path

from twohand import __version__
from twohand.files.writing import replace_file
from twohand.report.drawing.terminal import Terminal


def paragraph(error: BaseException, what: str, file: str | None, terminal: Terminal) -> list[str]:
    """What went wrong, what it means and what to report; the details go to ``file`` if given."""
    first = (str(error).splitlines() or [""])[0]
    name = type(error).__name__
    cause = f"{name}: {first}" if first else name
    return terminal.wrap(
        f"internal error at {what}: {cause}. This is a mistake in twohand, not in your program, "
        f"and no verdict of this spec counts. Please report it with the spec and the programs "
        f"that it names, twohand {__version__}, Python {platform.python_version()}, "
        f"{platform.system()}; {_details(error, file)}."
    )


def _details(error: BaseException, file: str | None) -> str:
    if file is None:
        return "--record-error FILE writes the details to add"
    text = "".join(traceback.format_exception(error))
    try:
        replace_file(Path(file), text)
    except OSError as problem:
        return f"the details could not be written to {file} ({problem.strerror})"
    return f"the details are in {file}"
