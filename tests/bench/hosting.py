"""A small web server for the benches that sends as a usual static host does: compressed, and with times to keep.

It speaks HTTP/1.1, which is slower than the HTTP/2 of most hosts: what is measured here errs on the careful side.
"""

from __future__ import annotations

import gzip
import io
import shutil
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from email.utils import formatdate
from functools import cache, partial
from http import HTTPStatus
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any, BinaryIO

COMPRESSED = {".html", ".css", ".js", ".json", ".svg", ".xml", ".txt", ".csv", ".vtt"}
"""Pictures, video and the typeface are compressed already."""
NAMED_BY_CONTENT = {"assets", "pictures"}
"""Folders whose files never change under one name."""


@contextmanager
def serve_compressed(folder: Path) -> Iterator[str]:
    """Serve a folder on loopback; yield its address, without a slash at the end."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(_Handler, directory=str(folder)))
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        server.server_close()
        thread.join()


def compressed(path: Path) -> bytes:
    """Return what a host sends of a file: compressed by gzip at its best level where that helps."""
    return _packed(path, path.stat().st_mtime_ns) if path.suffix in COMPRESSED else path.read_bytes()


@cache
def _packed(path: Path, _changed: int) -> bytes:
    return gzip.compress(path.read_bytes(), 9, mtime=0)


class _Handler(SimpleHTTPRequestHandler):
    """Answers one request. Browsers all take gzip (RFC 9110, 8.4.1.3)."""

    protocol_version = "HTTP/1.1"
    extensions_map = {  # noqa: RUF012  # declared so by the standard library
        **SimpleHTTPRequestHandler.extensions_map,
        ".avif": "image/avif",
        ".vtt": "text/vtt",
        ".webp": "image/webp",
        ".woff2": "font/woff2",
    }

    def send_head(self) -> BinaryIO | None:
        path = Path(self.translate_path(self.path))
        if not path.is_file():
            self.send_error(HTTPStatus.NOT_FOUND)
            return None
        content, kind = compressed(path), self.guess_type(str(path))
        self.send_response(HTTPStatus.OK)
        self.send_header("Content-Type", f"{kind}; charset=utf-8" if path.suffix in COMPRESSED else kind)
        self.send_header("Content-Length", str(len(content)))
        self.send_header("Last-Modified", formatdate(path.stat().st_mtime, usegmt=True))
        if path.suffix in COMPRESSED:
            self.send_header("Content-Encoding", "gzip")
            self.send_header("Vary", "Accept-Encoding")
        kept = NAMED_BY_CONTENT & set(path.relative_to(self.directory).parts[:1])
        self.send_header("Cache-Control", "public, max-age=31536000, immutable" if kept else "max-age=600")
        self.end_headers()
        return io.BytesIO(content)

    def copyfile(self, source: Any, outputfile: Any) -> None:
        try:
            shutil.copyfileobj(source, outputfile)
        except ConnectionError:  # the browser has gone: it does not wait for what it no longer wants
            self.close_connection = True

    def log_message(self, *_: object) -> None: ...
