"""How files end, in any letter case. Nothing is loaded for it."""

from __future__ import annotations

SPECIFICATION = ".spec"

STRUCTURED_TEXT = (".st", ".iec", ".iecst")

BY_CONTENT = (".exp", ".scl", ".pou", ".typ", ".var", ".fun", ".udt", ".db")
"""Endings that structured text has among others: in a folder their content decides."""

MARKUP = ".xml"
"""Exchange files, and files of other XML, which are none of ours."""

RECORDING = ".csv"
"""What was seen at a machine, to be played."""
