"""How files end, in any letter case. Nothing is loaded for it."""

from __future__ import annotations

SPECIFICATION = ".spec"

STRUCTURED_TEXT = (".st", ".iec", ".iecst")

MARKUP = ".xml"
"""Exchange files, and files of other XML, which are none of ours."""
