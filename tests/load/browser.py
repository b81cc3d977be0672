"""One HTTP/1.1 client with cookies and one kept connection, over asyncio streams.

A general client would cost more processor time than the site it measures, on the same two cores.
"""

from __future__ import annotations

import asyncio
import gzip
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

PATIENCE = 30  # s

Fields = Mapping[str, str | Sequence[str]]


@dataclass(frozen=True, slots=True)
class Page:
    status: int
    headers: Mapping[str, str]
    body: str


class LostError(Exception):
    """The connection ended before the whole answer came: nobody knows whether it was taken."""


class Browser:
    def __init__(self, port: int) -> None:
        self.port = port
        self.cookies: dict[str, str] = {}
        self._streams: tuple[asyncio.StreamReader, asyncio.StreamWriter] | None = None

    async def get(self, path: str) -> Page:
        return await self._ask("GET", path, b"")

    async def post(self, path: str, fields: Fields) -> Page:
        return await self._ask("POST", path, urlencode(fields, doseq=True).encode())

    async def _ask(self, method: str, path: str, body: bytes) -> Page:
        try:
            return await asyncio.wait_for(self._exchange(method, path, body), PATIENCE)
        except (OSError, EOFError, ValueError, IndexError, TimeoutError) as error:
            self.close()
            raise LostError(f"{method} {path}: {type(error).__name__}") from error

    async def _exchange(self, method: str, path: str, body: bytes) -> Page:
        """On the kept connection, or on a new one where the server has closed that meanwhile."""
        kept = self._streams is not None
        reader, writer = await self._connection()
        writer.write(self._request(method, path, body))
        try:
            line = await reader.readline()
        except ConnectionError:
            line = b""
        if not line and kept:
            # The server closed an idle connection just then and has read nothing of the request.
            self.close()
            return await self._exchange(method, path, body)
        return await self._read(reader, line)

    async def _connection(self) -> tuple[asyncio.StreamReader, asyncio.StreamWriter]:
        if self._streams is None or self._streams[0].at_eof():
            self._streams = await asyncio.open_connection("127.0.0.1", self.port)
        return self._streams

    def _request(self, method: str, path: str, body: bytes) -> bytes:
        lines = [f"{method} {path} HTTP/1.1", f"Host: 127.0.0.1:{self.port}", "HX-Request: true"]
        lines.append("Accept-Encoding: gzip")
        if self.cookies:
            lines.append("Cookie: " + "; ".join(f"{name}={value}" for name, value in self.cookies.items()))
        if body:
            lines += ["Content-Type: application/x-www-form-urlencoded", f"Content-Length: {len(body)}"]
        elif method == "POST":
            lines.append("Content-Length: 0")
        if "csrf" in self.cookies:
            lines.append(f"X-CSRFToken: {self.cookies['csrf']}")
        return "\r\n".join([*lines, "", ""]).encode() + body

    async def _read(self, reader: asyncio.StreamReader, line: bytes) -> Page:
        status, headers = int(line.split()[1]), {}
        while (line := await reader.readline()) not in (b"\r\n", b""):
            name, _, value = line.decode("latin-1").partition(":")
            self._keep_cookie(name.lower(), value.strip())
            headers[name.lower()] = value.strip()
        body = await reader.readexactly(int(headers["content-length"]))
        if headers.get("content-encoding") == "gzip":
            body = gzip.decompress(body)
        if headers.get("connection", "").lower() == "close":
            self.close()
        return Page(status, headers, body.decode())

    def _keep_cookie(self, header: str, value: str) -> None:
        if header == "set-cookie":
            name, _, rest = value.partition("=")
            self.cookies[name] = rest.partition(";")[0]

    def close(self) -> None:
        if self._streams:
            self._streams[1].close()
        self._streams = None
