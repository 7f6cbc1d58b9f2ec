"""What the text says and the model does not have, as a report lists it."""

from __future__ import annotations

from collections.abc import Sequence

from twohand.specification.model.specification import Specification


def left_out_sentences(specifications: Sequence[Specification]) -> list[str]:
    """One sentence for each spec whose program has something that is left out."""
    sentences = []
    for specification in specifications:
        notes = specification.program.left_out
        if notes:
            parts = [f"{note.what} ({note.span.source.path}:{note.span.line})" for note in notes]
            whose = f" by {specification.name}" if len(specifications) > 1 else ""
            sentences.append(f"Left out{whose}: {'; '.join(parts)}.")
    return sentences
