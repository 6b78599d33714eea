"""The calculations behind the pages: one Python process a page, started in a lean environment, some kept ready.

A visitor's page needs about a second of start-up. Pages that are kept ready have already run their notebook and
are handed out at once. The rules here differ from Voila's own pool in four ways:

- pages are warmed a few at a time, so that thirty of them do not start at once on two processors;
- a page counts as ready only when its notebook has run to the end, or waits for the settings in its link;
- a page that failed to start is never handed to a visitor;
- replacements are warmed one at a time, after a pause, and never beyond a ceiling on the number of processes.
"""

from __future__ import annotations

import asyncio
import os
import sys
from pathlib import Path
from typing import Any

from jupyter_client.kernelspec import NATIVE_KERNEL_NAME, KernelSpec, KernelSpecManager
from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager
from voila.request_info_handler import RequestInfoSocketHandler
from voila.utils import ENV_VARIABLE
from voila.voila_kernel_manager import voila_kernel_manager_factory

READY_TIMEOUT = 120.0  # seconds after which a page that is still preparing is given up
REFILL_PAUSE = 2.0  # seconds without a visit before replacements are warmed
ATTEMPTS = 3  # failures of one notebook before it is no longer kept ready

INHERITED = frozenset(
    [
        "PATH", "HOME", "USER", "LOGNAME", "USERNAME", "USERPROFILE", "HOMEDRIVE", "HOMEPATH",
        "APPDATA", "LOCALAPPDATA", "PROGRAMDATA", "SYSTEMROOT", "SYSTEMDRIVE", "WINDIR", "COMSPEC",
        "PATHEXT", "NUMBER_OF_PROCESSORS", "PROCESSOR_ARCHITECTURE", "TEMP", "TMP", "TMPDIR", "LANG",
        "LANGUAGE", "TZ", "LD_LIBRARY_PATH", "DYLD_LIBRARY_PATH", "VIRTUAL_ENV", "CONDA_PREFIX",
        "IPYTHONDIR", "XDG_CACHE_HOME", "XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_RUNTIME_DIR",
        "MPLBACKEND", "MPLCONFIGDIR", "OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS",
        "QUERY_STRING", "SCRIPT_NAME", "PATH_INFO", "SERVER_NAME", "SERVER_PORT", "SERVER_PROTOCOL",
        "SERVER_SOFTWARE",
    ]
)  # fmt: skip
INHERITED_PREFIXES = ("LC_", "PYTHON", "VOILA_", "HVACLIB_")


def lean_environment(environment: dict[str, str]) -> dict[str, str]:
    """Keep of an environment what a page's calculation needs: paths, language, threads, the suite's own settings.

    Parameters
    ----------
    environment : dict of str to str
        The environment of the server with the request's settings added.

    Returns
    -------
    dict of str to str
        The variables that are handed on. Tokens, passwords and whatever else the shell held stay behind.
    """
    return {
        name: value
        for name, value in environment.items()
        if name.upper() in INHERITED or name.upper().startswith(INHERITED_PREFIXES)
    }


class OwnPython(KernelSpecManager):
    """Offers one kernel: the Python that runs the server, so that the suite is always importable in a page."""

    def find_kernel_specs(self) -> dict[str, str]:
        """Return the one kernel's name; it has no folder of resources."""
        return {NATIVE_KERNEL_NAME: ""}

    def get_kernel_spec(self, kernel_name: str) -> KernelSpec:  # noqa: ARG002
        """Return the one kernel, whatever a notebook calls the kernel it was written with."""
        return KernelSpec(
            argv=[
                sys.executable,
                "-m",
                "ipykernel_launcher",
                "-f",
                "{connection_file}",
                "--HistoryManager.enabled=False",
                "--log-level=ERROR",
            ],
            display_name="Python 3",
            language="python",
        )


class LeanKernels(AsyncMappingKernelManager):
    """Starts each kernel with only what it needs of the server's environment."""

    async def start_kernel(self, **settings: Any) -> str:  # type: ignore[override]
        """Start a kernel; `settings` as in the base class, ``env`` reduced by `lean_environment`."""
        settings["env"] = lean_environment(settings.get("env") or dict(os.environ))
        return await super().start_kernel(**settings)


_Pooling: Any = voila_kernel_manager_factory(LeanKernels, preheat_kernel=True, default_pool_size=0)


class PageKernels(_Pooling):
    """The kernels of all pages, with a number of pages of chosen notebooks kept ready.

    The application that owns it (``parent``) gives ``pages_ready`` (notebook → number to keep ready),
    ``kernel_ceiling`` (most processes that warming may reach, or None) and the method ``announce_ready``.
    """

    def __init__(self, **settings: Any) -> None:
        self._pools: dict[str, list[asyncio.Task[dict[str, Any]]]]
        self._wake = asyncio.Event()
        self._pause = 0.0
        self._failures: dict[str, int] = {}
        self._worker: asyncio.Task[None] | None = None
        super().__init__(**settings)

    def _notebook_filter(self, _path: Path) -> bool:
        return False  # the base class would start every notebook at once; warming begins in `start_warming`

    def start_warming(self) -> None:
        """Begin to prepare pages; needs the running event loop and the application's settings."""
        if self.parent.pages_ready:
            self._pools = {notebook: [] for notebook in self.parent.pages_ready}
            self._worker = asyncio.get_event_loop().create_task(self._warm())

    def fill_if_needed(self, *_settings: Any, **_more: Any) -> None:
        """Note that a page was handed out or closed; its replacement is warmed after a pause."""
        self._pause = REFILL_PAUSE
        self._wake.set()

    def get_pool_size(self, notebook: str) -> int:
        """Return how many pages of a notebook are ready now; pages whose process has died are dropped first."""
        pool = self._pools.get(notebook, [])
        pool[:] = [task for task in pool if task.result()["kernel_id"] in self]
        return len(pool)

    async def shutdown_kernel(self, kernel_id: str, now: bool = True, restart: bool = False) -> None:
        """End a page's kernel, at once: it holds nothing worth a goodbye. Then think about a replacement."""
        await super().shutdown_kernel(kernel_id, now=now, restart=restart)
        self.fill_if_needed()

    async def shutdown_all(self, now: bool = True) -> None:
        """Stop warming, then end every kernel."""
        if self._worker is not None:
            self._worker.cancel()
        await super().shutdown_all(now=now)

    async def _warm(self) -> None:
        """Keep the pools full for as long as the server runs; announce the first time that they are."""
        await self._fill(at_once=max(2, min(4, os.cpu_count() or 2)))
        self.parent.announce_ready(sum(len(pool) for pool in self._pools.values()))
        while True:
            await self._wake.wait()
            while self._wake.is_set():  # a further visit during the pause starts the pause again
                self._wake.clear()
                await asyncio.sleep(self._pause)
            await self._fill(at_once=1)

    async def _fill(self, at_once: int) -> None:
        waiting: set[asyncio.Task[None]] = set()
        while True:
            starting = [task.get_name() for task in waiting]
            notebook = self._next_missing(starting)
            if notebook is not None and len(waiting) < at_once:
                waiting.add(asyncio.get_event_loop().create_task(self._prepare(notebook), name=notebook))
            elif waiting:
                _done, waiting = await asyncio.wait(waiting, return_when=asyncio.FIRST_COMPLETED)
            else:
                return

    def _next_missing(self, starting: list[str]) -> str | None:
        """Name the notebook that lacks a page, or None: all there, no room, or it failed too often."""
        ceiling: int | None = self.parent.kernel_ceiling
        wanted_pages: dict[str, int] = self.parent.pages_ready
        if ceiling is not None and len(self) >= ceiling:
            return None
        for notebook, wanted in wanted_pages.items():
            if self._failures.get(notebook, 0) >= ATTEMPTS:
                continue
            if self.get_pool_size(notebook) + starting.count(notebook) < wanted:
                return notebook
        return None

    async def _prepare(self, notebook: str) -> None:
        """Start one page and put it into its pool once its notebook has run."""
        folder = notebook.rpartition("/")[0]
        page = asyncio.get_event_loop().create_task(
            self._initialize(notebook, None, path=folder, env=self._environment())
        )
        try:
            async with asyncio.timeout(READY_TIMEOUT):
                content = await page
                while (
                    not content["task"].done()
                    and content["kernel_id"] not in RequestInfoSocketHandler._waiters
                ):
                    await asyncio.sleep(0.05)
            if content["task"].done():
                content["task"].result()
            self._pools[notebook].append(page)
        except Exception:  # whatever kept the page from starting, visitors still get a fresh one
            self._failures[notebook] = self._failures.get(notebook, 0) + 1
            self.log.warning("A page of %s could not be prepared ahead.", notebook, exc_info=True)
            if page.done() and not page.cancelled() and page.exception() is None:
                await self.shutdown_kernel(page.result()["kernel_id"])

    def _environment(self) -> dict[str, str]:
        """Return the environment of a page that waits: where it will hear of its visitor."""
        return dict(os.environ) | {
            ENV_VARIABLE.VOILA_PREHEAT: "True",
            ENV_VARIABLE.VOILA_BASE_URL: self.parent.base_url,
            ENV_VARIABLE.VOILA_SERVER_URL: self.parent.server_url,
            ENV_VARIABLE.VOILA_APP_IP: self.parent.address_for_kernels,
            ENV_VARIABLE.VOILA_APP_PORT: str(self.parent.port),
        }
