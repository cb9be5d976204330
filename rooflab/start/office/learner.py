"""A learner's server: lays out the copy as the learner, then becomes JupyterHub's single-user server.

``python -m rooflab.start.office.learner``, started by the hub under the learner's account.
"""

from __future__ import annotations

import contextlib
import json
import os
import resource
import shutil
import sys
import tempfile
from pathlib import Path

from rooflab.start.copies import DEFAULT_FOLDER, STATE, files_without_edits, lay_out, original_folder, sign
from rooflab.start.kernel import write_startup
from rooflab.start.lab import KEPT, LAB, READER, jupyter_folders, write_settings
from rooflab.start.present import EXTENSIONS, write_notebook

JOBS, PRESENTS = "ROOFLAB_JOBS", "ROOFLAB_PRESENTS"  # of the environment: the office's job files; who presents: "yes"
SHELF = "present"  # of a presenter's copy: a notebook for each room view
UNUSED = ("rfc3987_syntax", "nbclassic")  # by workbooks; the first is a grammar of addresses, a second to load
NOT_STARTED = ("jupyter_lsp", "jupyter_server_terminals", "notebook_shim")  # parts of the server that are not used
MEMORY = "rooflab.start.office.memory"  # ours among the server's extensions
PROGRAMS = "ROOFLAB_PROGRAMS"  # of the environment: of one learner at most, threads counted
FIRST_TO_GO = 500  # of -1000 to 1000: when memory runs out, learners' programs end before the hub


def keep_within_limits() -> None:
    """The limits of this server and of all it starts: memory of each as the hub says, and how many there are."""
    with contextlib.suppress(ValueError, KeyError, OSError):
        most = int(os.environ["MEM_LIMIT"])
        resource.setrlimit(resource.RLIMIT_DATA, (most, most))
    with contextlib.suppress(ValueError, KeyError, OSError):
        programs = int(os.environ[PROGRAMS])
        resource.setrlimit(resource.RLIMIT_NPROC, (programs, programs))
    with contextlib.suppress(OSError):
        Path("/proc/self/oom_score_adj").write_text(str(FIRST_TO_GO), encoding="ascii")


def show_jobs(folder: Path, jobs: str) -> None:
    """The office's job files as a folder in the copy; what a learner has there under that name stays."""
    place = folder / "jobs"
    if jobs and Path(jobs).is_dir() and not os.path.lexists(place):
        place.symlink_to(jobs, target_is_directory=True)


def lay_out_copy(folder: Path) -> list[Path]:
    """Bring the learner's copy up to date; the files in it that can be trusted."""
    originals = original_folder()
    for note in lay_out(originals, folder):
        print(f"rooflab: {note}", file=sys.stderr)
    show_jobs(folder, os.environ.get(JOBS, ""))
    trusted = files_without_edits(folder)
    if os.environ.get(PRESENTS):
        shelf = folder / SHELF
        trusted += [shelf / write_notebook(shelf, book.name, folder) for book in sorted(originals.glob("*.ipynb"))]
    return trusted


def server_options(folder: Path) -> dict[str, object]:
    """What the server is told beside what the hub tells it, by ``Class.name``."""
    return LAB | {
        "ServerApp.root_dir": str(folder),
        "ServerApp.terminals_enabled": False,
        "ServerApp.jpserver_extensions": dict.fromkeys(NOT_STARTED, False) | {MEMORY: True},
        "ServerApp.log_level": "ERROR",
        "LabApp.log_level": "ERROR",
        "LabApp.extra_labextensions_path": [str(READER), *([str(EXTENSIONS)] if os.environ.get(PRESENTS) else [])],
        "KernelManager.transport": "ipc",  # through files of the learner's, not ports of the machine
        "MappingKernelManager.cull_idle_timeout": 1800,  # seconds; of what no page shows any more
        "MappingKernelManager.cull_interval": 120,
        "ContentsManager.allow_hidden": False,
    }


def write_options(options: dict[str, object], config: Path) -> None:
    """Write options where Jupyter reads them: the server's in one file, those of JupyterLab on it in another."""
    files: dict[str, dict[str, dict[str, object]]] = {"jupyter_lab_config.json": {}, "jupyter_server_config.json": {}}
    for name, value in options.items():
        section, _, key = name.partition(".")
        file = files["jupyter_lab_config.json" if section == "LabApp" else "jupyter_server_config.json"]
        file.setdefault(section, {})[key] = value
    config.mkdir(parents=True, exist_ok=True)
    for file_name, content in files.items():
        (config / file_name).write_text(json.dumps(content, indent=1) + "\n", encoding="utf-8")


def run_server() -> None:
    """Run the server until the hub ends it."""
    keep_within_limits()
    for name in UNUSED:
        sys.modules[name] = None  # type: ignore[assignment]  # its import fails at once, which its users allow for
    folder = Path.home() / DEFAULT_FOLDER
    state, runtime = folder / STATE, Path(tempfile.mkdtemp(prefix="rooflab-"))
    try:
        os.umask(0o022)  # the copy is closed to others as a whole; what a writer puts into jobs/ is for all to read
        trusted = lay_out_copy(folder)
        folder.chmod(0o700)
        write_settings(state)
        write_options(server_options(folder), state / "config")
        write_startup(state / "ipython")
        os.environ.update(jupyter_folders(state, runtime), **{KEPT: str(folder)})
        (state / "data").mkdir(exist_ok=True)
        sign(trusted, state / "data")
        from jupyterhub.singleuser import main as serve

        serve()
    finally:
        shutil.rmtree(runtime, ignore_errors=True)


if __name__ == "__main__":
    run_server()
