"""A server that compresses, as real hosts do; Python's own does not, and weights would be wrong by a factor of five."""

from __future__ import annotations

import gzip
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache, partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

_TEXT = (".html", ".css", ".js", ".svg", ".json", ".webmanifest")


@cache
def _compressed(path: Path) -> bytes:
    return gzip.compress(path.read_bytes(), 9)


class _Handler(SimpleHTTPRequestHandler):
    protocol_version = "HTTP/1.1"

    def do_GET(self) -> None:
        """Send text compressed, with the ten minutes' life that simple hosts give."""
        path = Path(self.translate_path(self.path))
        if path.is_dir() and self.path.partition("?")[0].endswith("/"):
            path = path / "index.html"
        if not path.is_file() or path.suffix not in _TEXT:
            super().do_GET()
            return
        body = _compressed(path)
        self.send_response(200)
        self.send_header("Content-Type", self.guess_type(str(path)))
        self.send_header("Content-Encoding", "gzip")
        self.send_header("Content-Length", str(len(body)))
        self.send_header("Cache-Control", "max-age=600")
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, format: str, *args: Any) -> None:
        """Say nothing on the terminal."""


@contextmanager
def serve(site: Path) -> Iterator[str]:
    """Serve `site`; the address it has, below a path of its own."""
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(_Handler, directory=str(site.parent))) as server:
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        yield f"http://127.0.0.1:{server.server_port}/{site.name}/"
        server.shutdown()
        thread.join()
