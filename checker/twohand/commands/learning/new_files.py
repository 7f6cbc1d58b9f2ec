"""Writing files into a folder of the user's, of which nothing is replaced."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

from twohand.commands.shared.document import hindrance, not_written, write_into_folder
from twohand.text.diagnostic import InputError
from twohand.text.resources import is_folder

ANOTHER = "name another folder"


def write_new_files(to: str, texts: Mapping[str, str]) -> None:
    """Files by their names into a folder, which is made where it is missing; InputError, and
    nothing is written, where one of them is there already."""
    folder = Path(to)
    why = "" if to.strip() and is_folder(folder) else hindrance(to)
    if why:
        raise InputError(not_written(to, why, "name a folder that is there, or a new one in it"))
    places = {folder / name: text for name, text in texts.items()}
    there = [each for each in places if os.path.lexists(each)]
    if there:
        message = "this file is there already"
        raise InputError([not_written(str(each), message, ANOTHER) for each in there])
    for place, text in places.items():
        write_into_folder(place, text)
