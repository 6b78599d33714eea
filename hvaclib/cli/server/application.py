"""The application: Voila with the suite's template, guarded, with kernels that end when their page closes."""

from __future__ import annotations

import logging
import socket
from dataclasses import dataclass, field
from typing import Any

import jinja2
from jupyter_server.services.contents.largefilemanager import LargeFileManager
from jupyter_server.utils import url_path_join
from tornado.httpserver import HTTPServer
from tornado.ioloop import IOLoop
from traitlets.config import Config
from voila.app import Voila, _kernel_id_regex

from hvaclib.cli.server.handlers import (
    FaviconHandler,
    KernelSocket,
    MissingHandler,
    PageHandler,
    ShutdownHandler,
    StartHandler,
    VisitorSocket,
)
from hvaclib.cli.server.kernels import OwnPython, PageKernels

UPLOAD_LIMIT_MB = 5
SOCKET_LIMIT = 32 * 1024 * 1024  # bytes in one message from a page; far above the limit on uploads
SPARE_KERNELS = 2  # processes beyond the class size, for pages reloaded or opened late
EXTENSIONS = ["@voila-dashboards/widgets-manager8", "@jupyter-widgets/jupyterlab-manager"]


@dataclass(frozen=True, kw_only=True)
class Settings:
    """What one run of the server is asked to do.

    Attributes
    ----------
    root : str
        Folder of notebooks to serve.
    first_page : str
        Notebook in `root` that the bare address opens, with forward slashes.
    sockets : list of socket.socket
        Bound and listening.
    ip : str
        Address they are bound to.
    token : str
        What a visitor must present; empty for none.
    pages_ready : dict of str to int
        Notebooks to keep ready, and how many pages of each.
    kernel_ceiling : int or None
        Most processes that keeping pages ready may reach.
    idle : int
        Seconds after which a calculation without a page is ended.
    """

    root: str
    first_page: str
    sockets: list[socket.socket]
    ip: str
    token: str = ""
    pages_ready: dict[str, int] = field(default_factory=dict)
    kernel_ceiling: int | None = None
    idle: int = 600


class Notebooks(LargeFileManager):
    """The folder of notebooks; every one in it is the suite's own, so none is looked up in a list of trusted ones."""

    def mark_trusted_cells(self, nb: Any, path: str = "") -> None:
        """Do nothing: stored outputs are never shown, a page runs its notebook."""


class SuiteServer(Voila):
    """Serves a folder of notebooks as pages, and nothing else of that folder."""

    name = "hvaclib"
    pages_ready: dict[str, int] = {}  # noqa: RUF012 - set once per application by `build`
    kernel_ceiling: int | None = None
    address_for_kernels = "127.0.0.1"

    @classmethod
    def build(cls, settings: Settings, log_level: str = "WARN") -> SuiteServer:
        """Make an application ready to start.

        Parameters
        ----------
        settings : Settings
            What to serve, where and to whom.
        log_level : str
            Least level of messages that reach standard error.

        Returns
        -------
        SuiteServer
        """
        application: SuiteServer = cls.instance(config=_configuration(settings, log_level))
        application.settings = settings
        application.pages_ready = settings.pages_ready
        application.kernel_ceiling = settings.kernel_ceiling
        if settings.ip not in ("0.0.0.0", "::", ""):
            application.address_for_kernels = settings.sockets[0].getsockname()[0]
        application.initialize(argv=[])
        logging.getLogger("tornado.general").addFilter(
            lambda record: "ping_timeout" not in record.getMessage()
        )
        logging.getLogger("tornado.access").setLevel(logging.ERROR)  # a mistyped address is no news
        return application

    def init_settings(self) -> dict[str, Any]:
        """Add to Voila's settings the kernels with pages kept ready, and the suite's pages for errors and sign-in."""
        settings: dict[str, Any] = super().init_settings()
        self.kernel_manager: Any = PageKernels(
            parent=self,
            connection_dir=self.connection_dir,
            kernel_spec_manager=self.kernel_spec_manager,
            allowed_message_types=list(settings["kernel_manager"].allowed_message_types),
        )
        settings["kernel_manager"] = self.kernel_manager
        self.contents_manager = settings["contents_manager"] = Notebooks(parent=self)
        own = jinja2.FileSystemLoader(self.template_paths)
        settings["jinja2_env"].loader = jinja2.ChoiceLoader([own, settings["jinja2_env"].loader])
        return settings

    def init_handlers(self) -> list[Any]:
        """Replace Voila's handlers by the stricter ones; the list of files and the contents of folders fall away."""
        kept: list[Any] = []
        for route in super().init_handlers():
            pattern, *rest = route
            if pattern == self.server_url or "/voila/tree" in pattern or "/voila/api/contents" in pattern:
                continue
            rest[0] = {
                "TornadoVoilaHandler": PageHandler,
                "VoilaShutdownKernelHandler": ShutdownHandler,
                "VoilaKernelWebsocketHandler": KernelSocket,
            }.get(rest[0].__name__, rest[0])
            kept.append((pattern, *rest))
        at = self.server_url
        return [
            (at, StartHandler, {"first_page": self.settings.first_page}),
            (url_path_join(at, "/favicon.ico"), FaviconHandler),
            (
                url_path_join(at, f"/voila/query/{_kernel_id_regex}"),
                VisitorSocket,
                {"address": self.address_for_kernels},
            ),
            *kept,
        ]

    def listen(self) -> None:
        """Serve on the sockets that are already bound, until stopped."""
        server = HTTPServer(self.app)
        server.add_sockets(self.settings.sockets)
        self.ioloop = IOLoop.current()
        self.ioloop.add_callback(self.kernel_manager.start_warming)
        try:
            self.ioloop.start()
        except KeyboardInterrupt:
            self.log.info("Stopping.")
        finally:
            server.stop()
            self.stop()

    def announce_ready(self, pages: int) -> None:
        """Say that the pages that were to be kept ready have run their notebooks."""
        print(f"ready: {pages} pages", flush=True)


def _configuration(settings: Settings, log_level: str) -> Config:
    """Collect the settings in one place; no configuration file of the machine is read."""
    config = Config()
    config.Voila.config_file_paths = []
    config.Voila.root_dir = settings.root
    config.Voila.ip = settings.ip
    config.Voila.port = settings.sockets[0].getsockname()[1]
    config.Voila.open_browser = False
    config.Voila.token = settings.token
    config.Voila.log_level = log_level
    config.Voila.tornado_settings = {
        "websocket_max_message_size": SOCKET_LIMIT,
        # Without a token only requests for this machine by its own name are answered, so that no page of another
        # site can reach the server under a name that it points here.
        "allow_remote_access": bool(settings.token),
        "default_handler_class": MissingHandler,
        "headers": {"Referrer-Policy": "same-origin"},
    }
    config.IdentityProvider.cookie_options = {"SameSite": "Lax"}
    pages = config.VoilaConfiguration
    pages.template, pages.theme = "suite", "light"
    pages.allow_template_override = pages.allow_theme_override = "NO"
    pages.show_tracebacks, pages.strip_sources = False, True
    pages.extension_allowlist = EXTENSIONS
    pages.file_allowlist = []
    pages.kernel_spec_manager_class = OwnPython
    pages.resources = {"suite": {"upload_limit_mb": UPLOAD_LIMIT_MB, "home": settings.first_page}}
    config.VoilaExecutor.cell_error_instruction = "Reload the page."
    config.MappingKernelManager.cull_idle_timeout = settings.idle
    config.MappingKernelManager.cull_interval = max(1, min(60, settings.idle // 4))
    # A restarted kernel knows nothing of its page: a dead one stays dead, and the page says so within a second.
    config.KernelRestarter.restart_limit = 0
    config.KernelRestarter.time_to_dead = 1.0
    return config
