"""A papermill engine whose kernel lives in the process that runs the notebook.

A batch gives every report a process of its own, forked from one that has imported everything
(`run_processes`). A second process for the kernel would only add its start, its sockets and
its shutdown. So the kernel is ipykernel's own in-process one, driven by nbclient through the
same messages as any other: what a cell shows is what it shows in JupyterLab, and a test holds
the executed notebook against one made with an ordinary kernel.
"""

from __future__ import annotations

import sys
from types import SimpleNamespace
from typing import Any

from ipykernel.inprocess.blocking import BlockingInProcessKernelClient
from ipykernel.inprocess.ipkernel import InProcessKernel
from ipykernel.inprocess.manager import InProcessKernelManager
from papermill.clientwrap import PapermillNotebookClient
from papermill.engines import Engine, papermill_engines

__all__ = ["ENGINE", "OwnProcessEngine"]

ENGINE = "plateline-own-process"


class _Kernel(InProcessKernel):
    """The in-process kernel, with `await` at the top of a cell.

    ipykernel asks the thread of the shell channel who its parent is before it awaits a cell;
    in process there is no such thread, and no second shell that one could ask for.
    """

    @property
    def _supports_kernel_subshells(self) -> bool:
        return False

    def __init__(self, **traits: Any) -> None:
        super().__init__(**traits)
        self.shell_channel_thread = SimpleNamespace(parent_thread=None)


class _Client(BlockingInProcessKernelClient):
    """A client whose requests run on the caller's event loop, not on a thread beside it."""

    async def execute(self, code: str, **options: Any) -> str:  # pyright: ignore[reportIncompatibleMethodOverride]
        """Run a cell and return the id of the request; its messages are queued by then."""
        content = {
            "code": code,
            "silent": options.get("silent", False),
            "store_history": options.get("store_history", True),
            "user_expressions": options.get("user_expressions") or {},
            "allow_stdin": False,
        }
        request = self.session.msg("execute_request", content)
        kernel: Any = self.kernel
        self.session.send(kernel.shell_stream, request)
        await kernel.dispatch_shell(kernel.shell_stream.recv_multipart())
        _, reply = self.session.recv(kernel.shell_stream, copy=False)
        self.shell_channel.call_handlers_later(reply)
        return request["header"]["msg_id"]

    def wait_for_ready(self, timeout: float | None = None) -> None:
        """Return at once: a kernel in this process is ready when it exists."""


class _Manager(InProcessKernelManager):
    """A manager with the signatures that nbclient calls."""

    def start_kernel(self, **options: Any) -> None:
        """Make the kernel, and give it this process's output for good.

        The in-process kernel redirects output during a cell only, after it has told the
        streams which request they write for; so what a cell prints would belong to none.
        """
        self.kernel = kernel = _Kernel(parent=self, session=self.session)
        sys.stdout, sys.stderr = kernel.stdout, kernel.stderr

    def client(self, **options: Any) -> Any:
        """Return a client of the kernel."""
        return _Client(kernel=self.kernel, session=self.session)

    def shutdown_kernel(self, now: bool = False, restart: bool = False) -> None:
        """Give the output back and stop the kernel."""
        sys.stdout, sys.stderr = sys.__stdout__, sys.__stderr__
        super().shutdown_kernel()

    def cleanup_resources(self, restart: bool = False) -> None:
        """There is no connection file and no socket to clean up."""


class OwnProcessEngine(Engine):
    """Run the cells in this process. One notebook a process: the kernel is a singleton."""

    @classmethod
    def execute_managed_notebook(cls, nb_man: Any, kernel_name: str, **options: Any) -> Any:
        """Run a notebook that papermill has prepared."""
        kept = {name: options[name] for name in ("coalesce_streams", "record_timing")}
        client = PapermillNotebookClient(
            nb_man, km=_Manager(), kernel_name=kernel_name, timeout=None, **kept
        )
        return client.execute(cleanup_kc=True)


papermill_engines.register(ENGINE, OwnProcessEngine)
