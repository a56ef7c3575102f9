"""Where a log comes from: a file, its bytes or pasted text, in any of the usual encodings."""

import os
from pathlib import Path

from labkit.errors import RangeProblem, ReadingProblem, UnitProblem

LARGEST = 200_000_000  # bytes; beyond it a log is something else


def text_of(source):
    """Return the log as UTF-8 bytes with one kind of line end."""
    if isinstance(source, str) and "\n" not in source.strip() and "\r" not in source.strip():
        source = _path(source)
    if isinstance(source, os.PathLike):
        source = _file(Path(source))
    if isinstance(source, str):
        raw = source.encode("utf-8", "replace")
    elif isinstance(source, (bytes, bytearray, memoryview)):
        raw = _decoded(bytes(source))
    else:
        raise UnitProblem(f"read_log() needs a path, the bytes of a file or pasted text, but this is of type "
                          f"{type(source).__name__}.")  # fmt: skip
    if len(raw) > LARGEST:
        raise RangeProblem(f"The log is larger than {LARGEST // 1_000_000} MB. Cut out the firing and read that.")
    if b"\r" in raw:
        raw = raw.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    return raw.removeprefix("\ufeff".encode())


def _path(text):
    name = text.strip()
    try:
        if name and Path(name).is_file():
            return Path(name)
    except (OSError, ValueError):
        pass
    raise ReadingProblem("There is no such file, and one line is no log. Give the path of a log, its bytes, or paste "
                         "its rows, each with a time and a temperature.")  # fmt: skip


def _file(path):
    try:
        if path.stat().st_size > LARGEST:
            raise RangeProblem(f"The file is larger than {LARGEST // 1_000_000} MB. Cut out the firing and read that.")
        return path.read_bytes()
    except (OSError, ValueError):
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
