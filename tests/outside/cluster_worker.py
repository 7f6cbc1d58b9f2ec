"""What a worker of the cluster test loads: it counts its questions, and does as it is told.

``TWOHAND_TEST_WORKER`` is 'honest', 'proves' (everything is proved, by no clauses), 'violates' (by
a run of nothing), 'other' (the answer to the first question, whatever is asked), 'raises', or
'dies' (three times, in the middle of a question); ``TWOHAND_TEST_COUNT`` the folder for a file of
each question.
"""

from __future__ import annotations

import json
import os
import signal
import uuid
from pathlib import Path

from twohand.evidence.cache import tasks

HOW = os.environ["TWOHAND_TEST_WORKER"]
FOLDER = Path(os.environ["TWOHAND_TEST_COUNT"])
MOST_DEATHS = 3
NO_CLAUSES = json.dumps({"symbols": [], "negatives": []}) + "\n"
PROOF = {"proof": {"clauses": NO_CLAUSES, "method": "proof"}, "effort": 1.0}
RUN = {"run": {"steps": [[{}, 1]], "initial": {}, "method": "search"}, "effort": 1.0}
right_answer = getattr(tasks.answer_text, "right", tasks.answer_text)  # it may be loaded twice
first: list[str] = []


def answer_text(task: str) -> str:
    (FOLDER / uuid.uuid4().hex).touch()
    if HOW == "proves":
        return json.dumps(PROOF)
    if HOW == "violates":
        return json.dumps(RUN)
    if HOW == "dies" and len(list(FOLDER.glob("*.dead"))) < MOST_DEATHS:
        (FOLDER / f"{uuid.uuid4().hex}.dead").touch()
        os.kill(os.getpid(), signal.SIGKILL)
    if HOW == "raises":
        raise RuntimeError(task)
    if HOW == "other" and first:
        return first[0]
    answer = right_answer(task)
    first.append(answer)
    return answer


answer_text.right = right_answer  # type: ignore[attr-defined]
tasks.answer_text = answer_text
