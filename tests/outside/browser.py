"""Pages in a headless browser: what the checker of accessibility axe-core says of them at three
widths, light, dark and as printed, and what they ask for over the network (nothing).

Every host name leads to a server of our own, so that any request is seen. axe-core
(https://github.com/dequelabs/axe-core) is put into a copy of the page, with everything unfolded.
``python -m tests.outside.browser FOLDER`` writes pictures of the pages to look at.
"""

from __future__ import annotations

import html
import json
import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from shutil import which
from tempfile import TemporaryDirectory
from threading import Thread

import twohand
from twohand.analyses.documents import (
    CHECK,
    COMPARISON,
    FAULT_TABLE,
    INSPECTION,
    MEASUREMENT,
    CheckOptions,
    Compared,
    CompareOptions,
    FaultOptions,
    InspectionOptions,
)
from twohand.analyses.inspect.points import InspectionKind
from twohand.commands.shared.gallery_files import gallery_folder
from twohand.formats.page.page import page_text
from twohand.record.document import DocumentKind, EffortLimits, Made, WholeAnswer
from twohand.record.judged import Judged

COMMAND = "chromium"
WIDTHS = (480, 900, 1400)
SCHEMES = {"dark": "0", "light": "1", "print": "1"}
"""By name: the browser's number of the preferred colours."""
MADE = Made("twohand", "3", (), "any", 1, "now", 0.0, ())
_FOUND = re.compile(r'<pre id="found-by-axe">(.*?)</pre>', re.DOTALL)
_RUN = """<script>{axe}</script>
<script>
const told = (found) => {{
  const shown = document.createElement("pre");
  shown.id = "found-by-axe";
  shown.textContent = JSON.stringify(found);
  document.body.appendChild(shown);
}};
axe.run(document).then(
  (found) => told(found.violations.map((each) => `${{each.id}}: ${{each.nodes[0].html}}`)),
  (error) => told([String(error)]),
);
</script>
</body>"""


def pages() -> Iterator[tuple[str, str]]:
    """One of each kind, and of a check one that can be signed."""
    limits = (60.0, 600.0, None)
    folder = gallery_folder()
    checked = CheckOptions(*limits, False, False, False)
    for name in ("missed_window_forgotten", "missed_window_forgotten_mended", "lot_counter"):
        yield f"check-{name}", _page(CHECK, checked, twohand.check(folder / f"{name}.spec"))
    spec = folder / "lid_press_distance.spec"
    yield "measure", _page(MEASUREMENT, EffortLimits(*limits), twohand.measure(spec))
    faults = twohand.faults(spec, pairs=False)
    yield "faults", _page(FAULT_TABLE, FaultOptions(*limits, (), True), faults)
    found = twohand.inspect(folder / "early_return.st", scan="T#10ms")
    looked = InspectionOptions(*limits, None, "T#10ms", (), (), (*InspectionKind,))
    yield "inspect", _page(INSPECTION, looked, found)
    block = folder / "missed_window_forgotten.st"
    names = ("MissedWindowForgotten", "MissedWindowKept")
    compared = twohand.compare(block, block, blocks=names)
    wishes = CompareOptions(*limits, names, None, (), (), False, False)
    yield "compare", _page(COMPARISON, wishes, Compared(compared.exit_code, compared))


def compared(command: str) -> tuple[int, list[str]]:
    axe = _axe()
    if axe is None:
        return 0, ["the npm package axe-core is missing (npm install --global axe-core)"]
    looked_at, wrong = 0, []
    for name, text in pages():
        wrong += [f"{name}: it asks for {each}" for each in requests(command, text)]
        for scheme in SCHEMES:
            for width in WIDTHS:
                looked_at += 1
                found = found_by_axe(command, text, axe, scheme, width)
                wrong += [f"{name}, {scheme}, {width}: {each}" for each in found]
    return looked_at, wrong


def found_by_axe(command: str, text: str, axe: str, scheme: str, width: int) -> list[str]:
    """Its violations in a copy with everything unfolded; what came to no end is one."""
    copy = re.sub(r"<meta http-equiv[^>]*>", "", unfolded(as_shown(text, scheme)))
    copy = copy.replace("</body>", _RUN.format(axe=axe.replace("</script", "<\\/script")))
    with TemporaryDirectory() as folder:
        path = Path(folder) / "page.html"
        path.write_text(copy, encoding="utf-8")
        dumped = _browser(command, scheme, width, path.as_uri(), "--dump-dom")
    found = _FOUND.search(dumped)
    if found is None:
        return ["axe came to no end"]
    violations: list[str] = json.loads(html.unescape(found[1]))
    return violations


def requests(command: str, text: str) -> list[str]:
    """Everything that a page asks for beside itself."""
    with _server(text) as (port, asked):
        rules = f"--host-resolver-rules=MAP * 127.0.0.1:{port}"
        address = f"http://127.0.0.1:{port}/page.html"
        _browser(command, "light", WIDTHS[0], address, "--dump-dom", rules)
    itself = "/page.html"
    return (
        ["nothing, not even itself"] if itself not in asked else [e for e in asked if e != itself]
    )


def unfolded(text: str) -> str:
    return text.replace("<details ", "<details open ")


def as_shown(text: str, scheme: str) -> str:
    """With the style of a print on the screen, where that is meant."""
    return text.replace("@media print", "@media screen") if scheme == "print" else text


def _page(kind: DocumentKind, options: EffortLimits, answer: Judged) -> str:
    return page_text(WholeAnswer(kind, options, (), answer, answer.exit_code, (), MADE))


def _axe() -> str | None:
    npm = which("npm")
    if npm is None:
        return None
    root = subprocess.run([npm, "root", "--global"], capture_output=True, text=True, check=True)
    path = Path(root.stdout.strip()) / "axe-core" / "axe.min.js"
    return path.read_text(encoding="utf-8") if path.exists() else None


def _browser(command: str, scheme: str, width: int, address: str, *options: str) -> str:
    line = [
        command,
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        "--hide-scrollbars",
        "--disable-background-networking",
        "--disable-features=NetworkTimeServiceQuerying",
        "--virtual-time-budget=20000",
        f"--window-size={width},1200",
        f"--blink-settings=preferredColorScheme={SCHEMES[scheme]}",
        *options,
        address,
    ]
    return subprocess.run(line, capture_output=True, text=True, check=False).stdout


@contextmanager
def _server(text: str) -> Iterator[tuple[int, list[str]]]:
    """Its port, and the paths that it is asked for."""
    asked: list[str] = []

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked.append(self.path)
            content = text.encode()
            self.send_response(200)
            self.send_header("Content-Type", "text/html; charset=utf-8")
            self.send_header("Content-Length", str(len(content)))
            self.end_headers()
            self.wfile.write(content)

        def log_message(self, format: str, *arguments: object) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield server.server_port, asked
    finally:
        server.shutdown()
        server.server_close()


def pictures(folder: Path) -> None:
    """One of each page, width and scheme, everything unfolded."""
    folder.mkdir(exist_ok=True)
    for name, text in pages():
        for scheme in SCHEMES:
            path = folder / f"{name}-{scheme}.html"
            path.write_text(unfolded(as_shown(text, scheme)), encoding="utf-8")
            for width in WIDTHS:
                shot = f"--screenshot={folder / f'{name}-{scheme}-{width}.png'}"
                size = f"--window-size={width},5000"
                _browser(COMMAND, scheme, width, path.as_uri(), shot, size)


if __name__ == "__main__":
    pictures(Path(sys.argv[1]))
