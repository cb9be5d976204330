"""Files: read to a limit, written whole or not at all, by one writer at a time; a path that can be written."""

from __future__ import annotations

import errno
import itertools
import os
import platform
import shutil
import stat
import sys
import threading
import time
import zlib
from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path

from .measure import InputError, InputValue

RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{number}" for port in ("com", "lpt") for number in range(1, 10))}
"""Names that Windows keeps for devices, with whatever suffix (Microsoft: Naming Files, Paths, and Namespaces)."""
READ_ONLY = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
PART_AGE = 3600.0  # seconds after which a half file is a leftover, whoever wrote it
_HOST = f"{zlib.crc32(platform.node().encode('utf-8', 'replace')):08x}"  # a shared folder has writers elsewhere
_COUNT = itertools.count()


def is_reserved(name: str) -> bool:
    """Whether Windows keeps a file name for a device: NUL, nul.pdf, COM1.csv.

    >>> [is_reserved(name) for name in ("NUL.pdf", "con", "contract.pdf")]
    [True, True, False]
    """
    return name.partition(".")[0].strip().lower() in RESERVED


def place_of(path: object, what: str) -> Path:
    """Path of a file, as typed.  InputError where it is no text or path."""
    if not isinstance(path, (str, os.PathLike)) or "\0" in str(path) or not str(path).strip() or not _encodes(path):
        raise InputValue(path, what, "file name", "the name of a file").refusal()
    target = Path(path)
    if is_reserved(target.name):
        raise InputError(f"{what}: file name {target.name!r}: Windows keeps it for a device; give another name.")
    return target


def _encodes(path: str | os.PathLike[str]) -> bool:
    try:
        return bool(os.fsencode(path))
    except UnicodeError:  # half a character
        return False


def path_for(path: object, what: str, suffixes: Sequence[str]) -> Path:
    """Path of a file with this suffix, as typed.  InputError for no path or another suffix.

    >>> path_for("rafter.png", "Cut sheet", (".pdf",))
    Traceback (most recent call last):
    rooflab.base.measure.InputError: File 'rafter.png': a cut sheet is written as .pdf.
    """
    target = place_of(path, what)
    if target.suffix.lower() not in suffixes:
        article, verb = ("", "are") if what.endswith("s") else ("an " if what[0] in "AEIO" else "a ", "is")
        listed = (" or " if len(suffixes) == 2 else ", ").join(suffixes)
        raise InputError(f"File {target.name!r}: {article}{what.lower()} {verb} written as {listed}.")
    return target


def read_text(target: Path, what: str, most: int) -> str:
    """The text of a file in UTF-8.  InputError where it is no file, larger than ``most`` bytes, or cannot be read.

    A pipe is not waited for, and a device is not read without end.
    """
    try:
        _check_regular(os.stat(target).st_mode)
        with os.fdopen(os.open(target, READ_ONLY), "rb") as file:
            _check_regular(os.fstat(file.fileno()).st_mode)
            data = file.read(most + 1)
        if len(data) > most:
            raise InputError(f"{what}: larger than {most // 1_000_000} MB, which is far more than one needs.")
        return data.decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")
    except UnicodeDecodeError:
        raise InputError(f"{what}: cannot be read (it is no text in UTF-8).") from None
    except (OSError, ValueError) as error:
        if isinstance(error, InputError):
            raise
        raise InputError(f"{what}: cannot be read ({getattr(error, 'strerror', '') or error}).") from None


def _check_regular(mode: int) -> None:
    if not stat.S_ISREG(mode):
        raise OSError(f"it is {'a folder' if stat.S_ISDIR(mode) else 'a pipe or a device'}, not a file")


def new_file(path: object, what: str, suffixes: Sequence[str]) -> Path:
    """The path of a file that is not there yet and can be written: asked before anything is drawn for it.

    InputError for no path, another suffix, a file of that name, a folder that is missing or cannot be written in.
    """
    return check_new(path_for(path, what, suffixes))


def check_new(target: Path) -> Path:
    """The same path, where no file is there yet and one can be written; else InputError."""
    folder = target.parent
    with _in_words(f"File {target.name!r}"):
        try:
            target.lstat()
        except FileNotFoundError:
            if not folder.is_dir():
                raise FileNotFoundError(f"there is no folder {folder.name}") from None
            if not os.access(folder, os.W_OK):
                raise PermissionError(f"nothing may be written in the folder {folder.name}") from None
            return target
    raise InputError(_exists(target))


def write_new(target: Path, data: bytes) -> Path:
    """A new file with these bytes, whole or not at all.  InputError where one is there, or it cannot be written."""
    with new_files({target: data}):
        return target


@contextmanager
def new_files(contents: Mapping[Path, bytes]) -> Iterator[None]:
    """New files, all of them whole or none of them; they go again where the block that follows fails.

    InputError where a file of one of the names is there, or one cannot be written.
    """
    done: list[Path] = []
    with ExitStack() as halves:
        try:
            for target, half in [(t, halves.enter_context(_half(t, data))) for t, data in contents.items()]:
                with _in_words(f"File {target.name!r}"):
                    _appear(half, target)
                done.append(target)
            yield
        except BaseException:
            for target in done:
                target.unlink(missing_ok=True)
            raise


@contextmanager
def _half(target: Path, data: bytes) -> Iterator[Path]:
    with ExitStack() as stack:
        with _in_words(f"File {target.name!r}"):
            half = stack.enter_context(_beside(target, data))
        yield half


def write_over(target: Path, data: bytes, what: str) -> Path:
    """A file with these bytes; an old one stays whole until the new one is.  InputError where it cannot be written.

    A folder, a pipe or a file made read-only in its place stays as it is.
    """
    real = Path(os.path.realpath(target))  # a link stays a link
    with _in_words(f"{what} {target.name}"):
        _check_old(real)
        with _beside(real, data) as half:
            if real.exists():
                shutil.copymode(real, half)
            os.replace(half, real)
    return target


def _check_old(real: Path) -> None:
    """OSError where what stands at a path must not be replaced."""
    if os.path.lexists(real):
        if not real.is_file():
            raise IsADirectoryError(f"{'a folder' if real.is_dir() else 'no file'} stands in its place")
        if not (real.stat().st_mode & 0o222 and os.access(real, os.W_OK)):
            raise PermissionError("it is read-only")


def _appear(half: Path, target: Path) -> None:
    """A whole file under its own name too.  InputError where one came meanwhile."""
    try:
        os.link(half, target)  # refuses where a file has come
    except OSError:  # one has, or the disk knows no links
        if os.path.lexists(target):
            raise InputError(_exists(target)) from None
        os.rename(half, target)


def _exists(target: Path) -> str:
    return f"File {target.name!r}: it exists already; give another name, nothing is overwritten."


@contextmanager
def _in_words(said: str) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise InputError(f"{said}: cannot be written ({error.strerror or error}).") from None


@contextmanager
def _beside(target: Path, data: bytes) -> Iterator[Path]:
    """The bytes on the disk under a name that no other call has, which is gone afterwards."""
    _clean(target.parent)
    half = target.with_name(f".rooflab-{_HOST}-{os.getpid()}-{threading.get_ident()}-{next(_COUNT)}.part")
    try:
        with half.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        yield half
    finally:
        with suppress(OSError):
            half.unlink(missing_ok=True)


def _clean(folder: Path) -> None:
    """Takes away the half files of processes that are gone, as far as the folder allows it."""
    with suppress(OSError):
        for half in folder.glob(".rooflab-*.part"):
            with suppress(OSError, ValueError):
                if _is_gone(half.name) or time.time() - half.stat().st_mtime > PART_AGE:
                    half.unlink()


def _is_gone(name: str) -> bool:
    """Whether the process that a half file is named after has ended; False where this cannot be known."""
    _, host, process, *_ = name.split("-")
    if host != _HOST or os.name == "nt":  # os.kill of 0 is no question on Windows
        return False
    try:
        os.kill(int(process), 0)
    except (ProcessLookupError, OverflowError):
        return True
    except OSError:
        return False
    return False


# --- one writer at a time --------------------------------------------------------------------------------------------

LOCK_WAIT = 20.0  # seconds that another writer may take
_OWN = threading.local()  # the locks of each thread


@contextmanager
def locked(target: Path, what: str) -> Iterator[None]:
    """Keeps all other processes and threads that lock the same file out until the block ends.

    A file beside it holds the lock, and goes with it; the system frees the lock of a process that is killed.  Who has
    it may lock it again.  InputError where nothing can be written there, or another takes longer than ``LOCK_WAIT``.
    """
    said = f"{what} {target.name}"
    real = Path(os.path.realpath(target))
    place, until = real.with_name(f".rooflab-{real.name}.lock"), time.monotonic() + LOCK_WAIT
    own = vars(_OWN).setdefault("places", set())
    if place in own:
        yield
        return
    while (number := _lock(place, said)) is None:
        if time.monotonic() > until:
            raise InputError(f"{said}: cannot be written (another program has been writing it for {LOCK_WAIT:g} s).")
        time.sleep(0.002)
    try:
        own.add(place)
        yield
    finally:
        own.discard(place)
        if os.name != "nt":  # first its name, then the lock: no one else can have locked it yet
            with suppress(OSError):
                place.unlink()
        os.close(number)
        if os.name == "nt":  # which keeps a file that is open; one that another has opened meanwhile stays for it
            with suppress(OSError):
                place.unlink()


def _lock(place: Path, said: str) -> int | None:
    """The open lock file, None where another has it."""
    with _in_words(said):
        try:
            number = os.open(place, os.O_RDWR | os.O_CREAT, 0o666)
        except PermissionError:
            if os.name == "nt" and os.path.lexists(place):  # it is being taken away
                return None
            raise
    try:
        _hold(number)
        if os.path.samestat(os.fstat(number), os.stat(place)):  # not one that was taken away meanwhile
            return number
    except OSError as error:
        if error.errno in NO_LOCKS:
            return number
    os.close(number)
    return None


NO_LOCKS = {errno.ENOLCK, errno.ENOSYS, errno.EOPNOTSUPP, errno.EINVAL}  # of a disk that knows none

if sys.platform == "win32":
    import msvcrt

    def _hold(number: int) -> None:
        msvcrt.locking(number, msvcrt.LK_NBLCK, 1)

else:
    import fcntl

    def _hold(number: int) -> None:
        fcntl.flock(number, fcntl.LOCK_EX | fcntl.LOCK_NB)
