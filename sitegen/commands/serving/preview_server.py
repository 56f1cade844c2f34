"""The preview's HTTP server: local requests only, no browser caching, pages that reload when a build has ended.

The reloading script and the banner of problems are inserted as a page is sent. Published files never contain them.
"""

from __future__ import annotations

import html
import secrets
import sys
import threading
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from functools import partial
from http import HTTPStatus
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from sitegen.commands.serving.byte_ranges import asked_part
from sitegen.commands.shared.terminal import exit_code
from sitegen.records.problems import Problem

LOOPBACK = "127.0.0.1"
CHANGES = "/.preview/changes"
SCRIPT = "/.preview/reload.js"
RELOAD = f"""\
if (window === window.top) {{ // what stands in a frame is loaded anew with the page round it
  const seen = document.currentScript.dataset.version
  const changes = new EventSource('{CHANGES}?' + seen)
  changes.onmessage = () => {{ changes.close(); location.reload() }}
}}
"""
STILL_HERE_SECONDS = 10
"""Seconds between two keep-alive comments on an idle event stream. A failed write shows that the page was closed."""
_AT_ONCE = 65_536
"""Chunk size in bytes when part of a file is sent."""


class Showing:
    """The state of the preview: the folder it serves, a version, and the problems of the last build. Thread-safe."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.problems: tuple[Problem, ...] = ()
        self._run = secrets.token_hex(4)  # differs from the version that pages of an earlier preview hold
        self._builds = 0
        self._changed = threading.Condition()

    @property
    def version(self) -> str:
        """Return a name for the present state. No name is used twice."""
        return f"{self._run}-{self._builds}"

    def show(self, problems: Iterable[Problem]) -> None:
        """Store the problems of a build that has ended, and wake all pages that wait for a new version."""
        with self._changed:
            self.problems = tuple(problems)
            self._builds += 1
            self._changed.notify_all()

    def newer_than(self, seen: str, seconds: float) -> bool:
        """Wait up to `seconds` for a version other than `seen`. Return whether there is one."""
        with self._changed:
            return self._changed.wait_for(lambda: self.version != seen, seconds)

    def banner(self) -> str:
        """Return the problems of the last build as HTML, or an empty string if it had none."""
        if not exit_code(self.problems):
            return ""
        lines = "\n".join(html.escape(problem.as_line()) for problem in sorted(self.problems))
        title = "This build has problems; the page shows the last good one."
        return f'<div role="alert" class="preview-problems"><p><strong>{title}</strong></p><pre>{lines}</pre></div>'


@contextmanager
def serving(showing: Showing, port: int) -> Iterator[str]:
    """Serve in a background thread and yield the address to open. Raises OSError if the port is in use."""
    try:
        server = _Server((LOOPBACK, port), partial(_Handler, showing))
    except OSError as fault:
        raise OSError(
            fault.errno, f"cannot serve on port {port} ({fault.strerror}); name another with --port"
        ) from None
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://{LOOPBACK}:{server.server_port}/"
    finally:
        server.shutdown()
        server.server_close()
        thread.join()


class _Server(ThreadingHTTPServer):
    """An HTTP server that prints no traceback when a client disconnects before it has its answer."""

    def handle_error(self, request: Any, client_address: Any) -> None:
        """Print the error of a request, unless the client has disconnected."""
        if not isinstance(sys.exception(), ConnectionError):
            super().handle_error(request, client_address)


class _Handler(SimpleHTTPRequestHandler):
    """The handler of one request."""

    protocol_version = "HTTP/1.0"
    extensions_map = {  # noqa: RUF012  # declared so by the standard library
        **SimpleHTTPRequestHandler.extensions_map,
        ".avif": "image/avif",
        ".webp": "image/webp",
        ".woff2": "font/woff2",
        ".mjs": "text/javascript",
        ".js": "text/javascript",
        ".css": "text/css",
        ".json": "application/json",
        ".xml": "application/xml",
        ".vtt": "text/vtt",
        ".svg": "image/svg+xml",
    }

    def __init__(self, showing: Showing, *arguments: Any) -> None:
        self.showing = showing
        super().__init__(*arguments, directory=str(showing.folder))

    def do_GET(self) -> None:
        """Answer with a page, a file, the reloading script or the event stream."""
        place = urlsplit(self.path)
        if not self._asked_by_its_own_name():
            self.send_error(HTTPStatus.FORBIDDEN, "The preview answers on this computer only")
        elif place.path == CHANGES:
            self._send_changes(place.query)
        elif place.path == SCRIPT:
            self._send(RELOAD.encode(), "text/javascript; charset=utf-8")
        elif (page := self._page(place.path)) is not None:
            self._send_page(page)
        elif not self._sent_part(Path(self.translate_path(place.path))):
            super().do_HEAD() if self.command == "HEAD" else super().do_GET()

    def do_HEAD(self) -> None:
        """Answer as to GET, without the body. Source: RFC 9110, 9.3.2."""
        self.do_GET()

    def translate_path(self, path: str) -> str:
        """Return the file for a path. For a symbolic link that leaves the folder, return a name that no file has."""
        file = super().translate_path(path)
        if Path(file).resolve().is_relative_to(self.showing.folder.resolve()):
            return file
        return str(self.showing.folder / ".preview" / "outside")

    def _asked_by_its_own_name(self) -> bool:
        """Return whether the Host header names this computer. Another name would mean DNS rebinding."""
        return urlsplit(f"//{self.headers.get('Host', '')}").hostname in (LOOPBACK, "localhost")

    def _page(self, path: str) -> Path | None:
        """Return the file of the page at a path.

        Return None if the path is not a page, or is a folder that must be redirected.
        """
        place = Path(self.translate_path(path))
        if place.is_dir():
            return place / "index.html" if path.endswith("/") else None
        return place if place.suffix == ".html" or not place.is_file() else None

    def _sent_part(self, file: Path) -> bool:
        """Send the part of a file that the request names. Return False if the request is for the whole file."""
        size = file.stat().st_size if file.is_file() else 0
        part = asked_part(self.headers.get("Range"), size)
        if part is None or not file.is_file():
            return False
        self.send_response(HTTPStatus.PARTIAL_CONTENT if part else HTTPStatus.REQUESTED_RANGE_NOT_SATISFIABLE)
        self.send_header("Content-Range", f"bytes {part.start}-{part.stop - 1}/{size}" if part else f"bytes */{size}")
        self.send_header("Content-Type", self.guess_type(str(file)))
        self.send_header("Content-Length", str(len(part)))
        self.end_headers()
        left = len(part)
        if self.command == "HEAD":
            return True
        # A video player that seeks elsewhere closes the connection in the middle.
        with file.open("rb") as content, suppress(ConnectionError):
            content.seek(part.start)
            while sent := self.wfile.write(content.read(min(left, _AT_ONCE))):
                left -= sent
        return True

    def _send_page(self, page: Path) -> None:
        """Send a page with the script and the banner. If there is no page, send one that says so."""
        version = self.showing.version
        found = page.is_file()
        text = page.read_text("utf-8") if found else _plain_page("There is no page here (yet).")
        script = f'<script src="{SCRIPT}" data-version="{version}"></script>'
        head, body, rest = text.partition("<body")
        tag, end, content = rest.partition(">")
        whole = f"{head}{body}{tag}{end}{self.showing.banner()}{script}{content}"
        self._send(whole.encode(), "text/html; charset=utf-8", HTTPStatus.OK if found else HTTPStatus.NOT_FOUND)

    def _send(self, content: bytes, kind: str, status: HTTPStatus = HTTPStatus.OK) -> None:
        self.send_response(status)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(content)

    def _send_changes(self, seen: str) -> None:
        """Keep the connection open and send an event for a newer version.

        Source: HTML standard, section 9.2 (server-sent events).
        """
        self.send_response(HTTPStatus.OK)
        self.send_header("Content-Type", "text/event-stream")
        self.end_headers()
        if self.command == "HEAD":
            return
        try:
            while not self.showing.newer_than(seen, STILL_HERE_SECONDS):
                self.wfile.write(b": still here\n\n")
            self.wfile.write(b"data: changed\n\n")
        except ConnectionError:
            self.close_connection = True

    def end_headers(self) -> None:
        """Forbid the browser to cache the answer."""
        self.send_header("Cache-Control", "no-store")
        super().end_headers()

    def log_message(self, format: str, *arguments: Any) -> None:
        """Print nothing: the builds report what happens."""


def _plain_page(words: str) -> str:
    head = f'<head><meta charset="utf-8"><title>{words}</title></head>'
    return f'<!doctype html><html lang="en">{head}<body><p>{words}</p></body></html>'
