"""What the server answers: the pages, the redirect to the start page, errors in plain words, the kernels' sockets."""

from __future__ import annotations

import ipaddress
import json
import re
from typing import Any
from urllib.parse import parse_qsl, urlencode

from jupyter_server.base.handlers import JupyterHandler
from jupyter_server.services.kernels.connection.base import deserialize_msg_from_ws_v1, serialize_msg_to_ws_v1
from jupyter_server.utils import url_path_join
from tornado import web
from voila.request_info_handler import RequestInfoSocketHandler
from voila.shutdown_kernel_handler import VoilaShutdownKernelHandler
from voila.tornado.handler import TornadoVoilaHandler
from voila.tornado.kernel_websocket_handler import (
    VoilaKernelWebsocketHandler,
    read_header_from_binary_message,
)

_HOST = re.compile(r"[\w.:\[\]-]+\Z")
FAVICON = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 16 16"><path d="M2 8 8 2l6 6v6H2z" fill="#0072b2"/>'
    '<path d="M7 14V7h2v7z" fill="#e69f00"/></svg>'
)


class StartHandler(JupyterHandler):
    """The bare address: sends the visitor to the first page, with the settings of the link."""

    def initialize(self, first_page: str) -> None:
        """Take the path of the first page's notebook."""
        self.first_page = first_page

    @web.authenticated
    def get(self) -> None:
        """Redirect to the first page."""
        target = url_path_join(self.base_url, "voila/render", self.first_page)
        self.redirect(target + (f"?{self.request.query}" if self.request.query else ""))


class MissingHandler(JupyterHandler):
    """Every address that is nothing else."""

    async def prepare(self) -> None:  # type: ignore[override]
        """Answer that there is no such page."""
        await super().prepare()
        raise web.HTTPError(404)


class FaviconHandler(web.RequestHandler):
    """The small picture that browsers ask for unbidden."""

    def get(self) -> None:
        """Send the picture."""
        self.set_header("Content-Type", "image/svg+xml")
        self.set_header("Cache-Control", "max-age=86400")
        self.finish(FAVICON)


class PageHandler(TornadoVoilaHandler):
    """A notebook as a page. Sets the cookie without which a closing page cannot end its calculation."""

    async def prepare(self) -> None:
        """Check the visitor, set the cookie, and keep a token out of what the calculation is told of the link."""
        await super().prepare()
        _ = self.xsrf_token  # reading it sets the cookie that the page's last message is checked against
        if "token" in self.request.query_arguments:
            settings = [pair for pair in parse_qsl(self.request.query, True) if pair[0] != "token"]
            self.request.query = urlencode(settings)
            self.request.uri = self.request.path + (f"?{self.request.query}" if settings else "")

    @web.authenticated
    async def get(self, path: str = "") -> None:
        """Send the page of a notebook; nothing else is ever sent from the folder."""
        if not path.endswith(".ipynb"):
            raise web.HTTPError(404)
        await super().get(path)

    @property
    def content_security_policy(self) -> str:
        """Forbid the page every host but this one, in the browser itself."""
        host = self.request.host if _HOST.match(self.request.host) else ""
        sockets = f" ws://{host} wss://{host}" if host else ""
        return (
            "default-src 'self' 'unsafe-inline' 'unsafe-eval' data: blob:; "
            f"connect-src 'self' data: blob:{sockets}; frame-ancestors 'self'; base-uri 'self'; form-action 'self'"
        )


class ShutdownHandler(VoilaShutdownKernelHandler):
    """The last message of a page: end my calculation."""

    @web.authenticated
    async def post(self, kernel_id: str) -> None:
        """End the kernel; one that has already gone is no fault."""
        if kernel_id in self.kernel_manager:
            await super().post(kernel_id)
        else:
            self.set_status(204)
            self.finish()


class KernelSocket(VoilaKernelWebsocketHandler):
    """The line between a page and its calculation; tracebacks go to the server's log, not to visitors."""

    def write_message(self, message: bytes | dict[str, Any], binary: bool = False) -> Any:
        """Pass a message on; of an error only its kind and its sentence."""
        if isinstance(message, bytes):
            header = read_header_from_binary_message(message) or {}
            if header.get("msg_type") == "error":
                channel, parts = deserialize_msg_from_ws_v1(message)
                parts[3] = json.dumps(self._without_traceback(json.loads(parts[3]))).encode("utf-8")
                message = serialize_msg_to_ws_v1(parts, channel)
        elif message.get("header", {}).get("msg_type") == "error":
            message = {**message, "content": self._without_traceback(message["content"])}
        return super().write_message(message, binary)

    def _without_traceback(self, content: dict[str, Any]) -> dict[str, Any]:
        self.log.warning("A control of a page failed:\n%s", "\n".join(content.get("traceback", [])))
        return {**content, "traceback": []}


class VisitorSocket(RequestInfoSocketHandler):
    """Tells a page that was kept ready of its visitor's link; only a kernel on this machine may listen."""

    def initialize(self, address: str) -> None:
        """Take the address on which the kernels reach the server."""
        self.address = address

    def prepare(self) -> None:
        """Refuse any other machine."""
        here = self.request.remote_ip or ""
        if here != self.address and not ipaddress.ip_address(here.partition("%")[0]).is_loopback:
            raise web.HTTPError(403)
