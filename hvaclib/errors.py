"""Every refusal of the suite: one base class, one sentence, the same on screen, command line and in Python."""

from __future__ import annotations


class HvacError(Exception):
    """Something the person who gave the input can put right.

    Parameters
    ----------
    what : str
        What is wrong, in the trade's words, without a final full stop.
    where : str, optional
        Where it is: file, key, row, field or argument.
    given : object, optional
        What was found there.
    expected : str, optional
        What would be right.

    Notes
    -----
    ``str(error)`` is the sentence that a person reads; it never shows a traceback or a class name.
    """

    def __init__(self, what: str, *, where: str = "", given: object = None, expected: str = "") -> None:
        self.what = what
        self.where = where
        self.given = given
        self.expected = expected
        super().__init__(self.sentence)

    @property
    def sentence(self) -> str:
        """The refusal as one sentence: where, what, what was found, what is expected."""
        text = f"{self.where}: {self.what}" if self.where else self.what
        if self.given is not None:
            text += f"; found {self.given!r}" if isinstance(self.given, str) else f"; found {self.given}"
        if self.expected:
            text += f"; expected {self.expected}"
        return text.rstrip(".") + "."

    def __str__(self) -> str:
        return self.sentence

    def __reduce__(self) -> tuple[object, ...]:
        """Rebuild from the four parts, so that an error survives the way back from a worker process."""
        return (_rebuild, (type(self), self.what, self.where, self.given, self.expected))


def _rebuild(kind: type[HvacError], what: str, where: str, given: object, expected: str) -> HvacError:
    return kind(what, where=where, given=given, expected=expected)


class InputError(HvacError, ValueError):
    """A value that cannot be: out of range, missing, contradicting another."""


class UnitError(HvacError, ValueError):
    """A value whose unit is unknown or of another kind than asked for."""


class FileError(HvacError, ValueError):
    """A file that cannot be read as what it should be.

    Parameters
    ----------
    others : tuple of str, optional
        What else is wrong with it, a sentence each: a person who mends a file wants to know all of it at once.
    """

    def __init__(
        self,
        what: str,
        *,
        where: str = "",
        given: object = None,
        expected: str = "",
        others: tuple[str, ...] = (),
    ) -> None:
        super().__init__(what, where=where, given=given, expected=expected)
        self.others = others

    @property
    def sentences(self) -> tuple[str, ...]:
        """Every sentence, in the order of the file; the first is the error's own."""
        return (self.sentence, *self.others)

    def __reduce__(self) -> tuple[object, ...]:
        """Keep the other sentences on the way back from a worker process."""
        return (
            _rebuild_file_error,
            (type(self), self.what, self.where, self.given, self.expected, self.others),
        )


def _rebuild_file_error(
    kind: type[FileError], what: str, where: str, given: object, expected: str, others: tuple[str, ...]
) -> FileError:
    return kind(what, where=where, given=given, expected=expected, others=others)


class ConvergenceError(HvacError, ArithmeticError):
    """A solver that did not reach its tolerance; no partial result is handed out."""
