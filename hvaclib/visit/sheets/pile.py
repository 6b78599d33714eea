"""Many files of visits, read one after the other and visit by visit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from hvaclib.errors import FileError, HvacError
from hvaclib.visit.sheets.read import SheetReading, content_of

if TYPE_CHECKING:
    from hvaclib.visit.model import Visit
    from hvaclib.visit.sheets.understood import Understood


class Pile:
    """Visits of many files one by one, and what was refused as it is met.

    Parameters
    ----------
    paths : path or iterable of paths
        Opened one after the other, each only for reading.
    day_first : bool, optional
        As for `hvaclib.visit.sheets.read_content`.

    Attributes
    ----------
    reports : list of Understood
        Of the files that have been read to their end, without their visits.

    Notes
    -----
    No more than one file is held: its content, and of a wide CSV the row that is being read.
    """

    def __init__(self, paths: str | Path | Iterable[str | Path], *, day_first: bool | None = None) -> None:
        self.paths = [Path(path) for path in ([paths] if isinstance(paths, str | Path) else paths)]
        self.reports: list[Understood] = []
        self._day_first = day_first
        self._reading: SheetReading | None = None

    @property
    def share(self) -> float:
        """How much of the pile has been read, 0 to 1, every file counted alike."""
        reading = self._reading
        part = reading.row / reading.rows if reading is not None and reading.rows else 0.0
        return (len(self.reports) + min(part, 1.0)) / len(self.paths) if self.paths else 1.0

    def __iter__(self) -> Iterator[Visit | FileError]:
        for path in self.paths:
            yield from self._of(path)

    def _of(self, path: Path) -> Iterator[Visit | FileError]:
        reading = self._reading = SheetReading(path.name, self._day_first)
        refusals, told, count = reading.report.refusals, 0, 0
        try:
            for visit in reading.visits(content_of(path)):
                yield from refusals[told:]
                told, count = len(refusals), count + 1
                yield visit
        except HvacError as error:
            plain = error if isinstance(error, FileError) else FileError(error.what, where=path.name)
            reading.report.refuse(plain)
        yield from refusals[told:]
        self._reading = None
        self.reports.append(reading.understood((), count))


def stream(
    paths: str | Path | Iterable[str | Path], *, day_first: bool | None = None
) -> Iterator[Visit | FileError]:
    """Visits of many files one by one, and what was refused as it is met; see `Pile`.

    Parameters
    ----------
    paths : path or iterable of paths
    day_first : bool, optional

    Yields
    ------
    Visit or FileError
    """
    yield from Pile(paths, day_first=day_first)
