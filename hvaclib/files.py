"""Writing a file whole or not at all: into a temporary one beside it, then renamed."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from hvaclib.errors import FileError


def write_text(path: Path, text: str, where: str = "") -> None:
    """Write text as UTF-8 with plain line ends; a reader never sees half of it, and an old file stays on failure.

    Parameters
    ----------
    path : Path
        Where; an existing file is replaced and keeps its permissions.
    text : str
        What.
    where : str, optional
        What the refusal names, such as an option of the command line.

    Raises
    ------
    FileError
        If the file cannot be written.
    """
    write_bytes(path, text.encode("utf-8"), where)


def write_bytes(path: Path, content: bytes, where: str = "") -> None:
    """Write bytes; a reader never sees half of them, and an old file stays on failure.

    Parameters
    ----------
    path : Path
        Where; an existing file is replaced and keeps its permissions.
    content : bytes
        What.
    where : str, optional
        What the refusal names, such as an option of the command line.

    Raises
    ------
    FileError
        If the file cannot be written.
    """
    part: Path | None = None
    try:
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
        part = Path(name)
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        part.chmod(_usual_mode(path))  # a temporary file is made for its owner's eyes only
        part.replace(path)
    except OSError as error:
        raise FileError(
            "this file cannot be written",
            where=where,
            given=str(path),
            expected=f"a file in a folder that can be written to ({error.strerror})",
        ) from error
    finally:
        if part is not None:
            part.unlink(missing_ok=True)


def _usual_mode(path: Path) -> int:
    """Permissions of the file that is replaced, or those that a new file gets here."""
    if path.exists():
        return path.stat().st_mode & 0o777
    return 0o666 & ~mask()


def mask() -> int:
    """Permissions that new files and folders do not get here."""
    held = os.umask(0)
    os.umask(held)
    return held
