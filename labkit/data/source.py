"""Where a table of readings comes from: a file, its bytes or pasted text, in any of the usual encodings."""

import os
from dataclasses import dataclass
from pathlib import Path

from labkit.errors import RangeProblem, ReadingProblem, UnitProblem

LARGEST = 200_000_000  # bytes; beyond it a table is something else


@dataclass(frozen=True)
class Wanted:
    """How a message calls what is read: the function, the thing, what its rows have, and what to cut a huge one down to."""

    function: str
    thing: str
    row: str
    part: str
    largest: int = LARGEST


def text_of(source, wanted):
    """Return a table as UTF-8 bytes with one kind of line end.

    Parameters
    ----------
    source : path, bytes or str
        Text of one line is taken for a path.
    wanted : Wanted
        For the messages.

    Raises
    ------
    ReadingProblem, RangeProblem, UnitProblem
        If there is no such file, it is too large, or the source is of another type.

    Examples
    --------
    >>> text_of("nm;%R\\r\\n400;20", Wanted("read_it", "table", "two numbers", "the middle"))
    b'nm;%R\\n400;20'
    """
    if isinstance(source, str) and "\n" not in source.strip() and "\r" not in source.strip():
        source = _path(source, wanted)
    if isinstance(source, os.PathLike):
        source = _file(Path(source), wanted)
    if isinstance(source, str):
        raw = source.encode("utf-8", "replace")
    elif isinstance(source, (bytes, bytearray, memoryview)):
        raw = _decoded(bytes(source))
    else:
        raise UnitProblem(f"{wanted.function}() needs a path, the bytes of a file or pasted text, but this is of type "
                          f"{type(source).__name__}.")  # fmt: skip
    if len(raw) > wanted.largest:
        raise RangeProblem(_too_large(wanted, wanted.thing))
    if b"\r" in raw:
        raw = raw.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    return raw.removeprefix("\ufeff".encode())


def _too_large(wanted, what):
    return f"The {what} is larger than {wanted.largest // 1_000_000} MB. Cut out {wanted.part} and read that."


def _path(text, wanted):
    name = text.strip()
    try:
        if name and Path(name).is_file():
            return Path(name)
    except (OSError, ValueError):
        pass
    raise ReadingProblem(f"There is no such file, and one line is no {wanted.thing}. Give the path of a {wanted.thing}, its bytes, or paste "
                         f"its rows, each with {wanted.row}.")  # fmt: skip


def _file(path, wanted):
    try:
        if path.stat().st_size > wanted.largest:
            raise RangeProblem(_too_large(wanted, "file"))
        return path.read_bytes()
    except (OSError, ValueError) as problem:
        if isinstance(problem, RangeProblem):
            raise
        raise ReadingProblem("The file can't be opened. Check its path, and that it is a file.") from None


def _decoded(raw):
    """Return bytes of any of the usual encodings as UTF-8."""
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        return raw.decode("utf-16", "replace").encode("utf-8", "replace")
    head = raw[:1000]
    if head.count(0) > len(head) // 4:  # UTF-16 without its mark: every other byte of plain text is zero
        return raw.decode("utf-16-le" if head[1::2].count(0) > head[::2].count(0) else "utf-16-be", "replace").encode("utf-8", "replace")  # fmt: skip
    try:
        raw.decode("utf-8")
    except UnicodeDecodeError:
        return raw.decode("latin-1").encode("utf-8")
    return raw
