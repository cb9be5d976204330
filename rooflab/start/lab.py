"""JupyterLab as we start it: its own folders and settings, its command, the port, the kernel of the first workbook."""

from __future__ import annotations

import contextlib
import json
import os
import sys
from pathlib import Path
from urllib.parse import quote
from urllib.request import Request, urlopen

from .child import child_command
from .copies import PACKAGE, read_json
from .ports import ADDRESS

SETTINGS = {"@jupyterlab/apputils-extension:notification": {"fetchNews": "false"}}  # neither news nor update checks
READER = PACKAGE / "start" / "plugins" / "reader"  # the plugin that runs a workbook and shows it as a page to read
TOP = PACKAGE / "start" / "plugins" / "always"  # for authors: it brings the page to its top after Run All Cells
KEPT = "ROOFLAB_KEPT"  # in a kernel's environment: the copy, where a learner's answers are kept
DEPTH = "ROOFLAB_STARTED"  # set in the environment of the second run, so that a start never goes round in circles


def jupyter_folders(state: Path, runtime: Path) -> dict[str, str]:
    """The part of an environment that says where Jupyter and IPython read and write."""
    return {
        "JUPYTER_CONFIG_DIR": str(state / "config"),
        "JUPYTER_DATA_DIR": str(state / "data"),
        "JUPYTER_RUNTIME_DIR": str(runtime),
        "JUPYTER_PREFER_ENV_PATH": "1",
        "IPYTHONDIR": str(state / "ipython"),
    }


def own_jupyter(state: Path, runtime: Path, root: Path | None) -> dict[str, str]:
    """The environment for JupyterLab: the user's own settings, kernels and history are neither read nor touched."""
    env = {key: value for key, value in os.environ.items() if not key.startswith(("JUPYTER", "IPYTHON", DEPTH, KEPT))}
    if root is not None:  # a checkout: the kernels start in another folder and must find the package
        env["PYTHONPATH"] = os.pathsep.join(filter(None, [str(root), env.get("PYTHONPATH", "")]))
    return env | jupyter_folders(state, runtime)


def write_settings(state: Path) -> None:
    """JupyterLab's settings for this copy; what the user changes in its menus stays in the same place."""
    place = state / "config" / "labconfig" / "default_setting_overrides.json"
    place.parent.mkdir(parents=True, exist_ok=True)
    place.write_text(json.dumps(SETTINGS) + "\n", encoding="utf-8")


LAB: dict[str, object] = {  # JupyterLab's options wherever we start it
    "ServerApp.kernel_websocket_connection_class": "rooflab.start.quick.QuickConnection",
    "LabApp.check_for_updates_class": "jupyterlab.NeverCheckForUpdate",
    "LabApp.extension_manager": "readonly",
}


def lab_command(folder: Path, first: str, port: int | None, plugins: Path = TOP) -> list[str]:
    """JupyterLab, as a child, on one workbook in single-document view, with ``plugins`` and no installing of others."""
    options = LAB | {
        "ServerApp.root_dir": folder,
        "ServerApp.ip": ADDRESS,
        "ServerApp.open_browser": False,
        "ServerApp.answer_yes": True,  # one Ctrl-C ends it
        "LabApp.default_url": "/doc/tree/" + quote(first),
        "LabApp.extra_labextensions_path": plugins,
        "ServerApp.log_level": "WARN",
    }
    if port is not None:
        options |= {"ServerApp.port": port, "ServerApp.port_retries": 0}
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        options["ServerApp.allow_root"] = True
    return child_command(sys.executable, "jupyterlab", *(f"--{key}={value}" for key, value in options.items()))


def server_address(runtime: Path) -> str:
    """The address that the server answers on, from the record it writes when it listens; "" before that."""
    for record in runtime.glob("jpserver-*.json"):
        fields = read_json(record)
        if fields.get("url"):
            return fields["url"]
    return ""


def start_kernel(url: str, token: str, name: str) -> None:
    """Start the kernel of a workbook while the browser is still loading the page; without one the page does it."""
    body = {"path": name, "name": name, "type": "notebook", "kernel": {"name": "python3"}}
    head = {"Authorization": f"token {token}", "Content-Type": "application/json"}
    request = Request(f"{url}api/sessions", json.dumps(body).encode(), head, method="POST")
    with contextlib.suppress(OSError), urlopen(request, timeout=60) as answer:
        answer.read()
