# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Opens libwintergrub and turns its errors into exceptions."""

import os
import sys
import threading
from typing import NamedTuple, Optional

import cffi

from ._declarations import DECLARATIONS

FILES = {"darwin": ["libwintergrub.0.dylib"], "win32": ["wintergrub.dll"]}.get(sys.platform, ["libwintergrub.so.0"])

ffi = cffi.FFI()
ffi.cdef(DECLARATIONS)
_c = cffi.FFI()
_c.cdef("void free(void *block);")
_free = _c.dlopen(None).free


def _open():
    for name in FILES:
        try:
            library = ffi.dlopen(name)
        except OSError:
            continue
        found = library.wintergrub_version_number() // 100
        wanted = 100 * library.WINTERGRUB_VERSION_MAJOR + library.WINTERGRUB_VERSION_MINOR
        if found != wanted:
            raise ImportError(
                f"This module is made for wintergrub {wanted // 100}.{wanted % 100}, and {name} has version "
                f"{text(library.wintergrub_version())}."
            )
        return library
    raise ImportError(
        f"{FILES[0]} was not found. On Debian it is in the package libwintergrub0; a copy in a folder of its own is found "
        "with LD_LIBRARY_PATH=FOLDER."
    )


def text(chars):
    """Returns a text of the library; "" for NULL."""
    return ffi.string(chars).decode("utf-8", "replace") if chars else ""


def owned_text(chars):
    """Returns a text that the library hands over, and frees it."""
    if not chars:
        raise MemoryError("There is not enough memory.")
    try:
        return text(chars)
    finally:
        _free(_c.cast("void *", int(ffi.cast("uintptr_t", chars))))


lib = _open()
files = threading.Lock()  # HDF5 is not thread-safe: one call at a time reads or writes a result


class Mistake(NamedTuple):
    """A mistake of a plan; line and column count from 1, 0: the text as a whole. `shown` has its line with a caret."""

    line: int
    column: int
    text: str
    file: Optional[str]
    shown: str


class Error(Exception):
    """An error of the library: a sentence in `text`, where it arose in `where`, the code of the C library in `code`."""

    def __init__(self, message, where="", code=lib.WINTERGRUB_ERR_INTERNAL):
        super().__init__(f"{where}: {message}" if where else message)
        self.text, self.where, self.code = message, where, code


class PlanError(Error, ValueError):
    """A plan has mistakes; `mistakes` lists all of them, and the message shows each with its line."""

    def __init__(self, message, where="", code=lib.WINTERGRUB_ERR_INPUT, mistakes=()):
        super().__init__(message, where, code)
        self.mistakes = tuple(mistakes)
        if self.mistakes:
            self.args = ("\n".join(mistake.shown.rstrip("\n") for mistake in self.mistakes),)


class UsageError(Error, ValueError):
    """A call that cannot be meant: an unknown name, a value out of range."""


class OvergrownError(Error):
    """The colony outgrew what can be counted: give a feeding plan or a shorter period."""


class FileError(Error, OSError):
    """A file could not be read or written."""


class ExistsError(FileError, FileExistsError):
    """The file exists and may not be replaced."""


class FormatError(Error, ValueError):
    """The file is not a result, is damaged, or is from another version."""


_KINDS = {
    lib.WINTERGRUB_ERR_USAGE: UsageError,
    lib.WINTERGRUB_ERR_INPUT: PlanError,
    lib.WINTERGRUB_ERR_OVERGROWN: OvergrownError,
    lib.WINTERGRUB_ERR_FILE: FileError,
    lib.WINTERGRUB_ERR_EXISTS: ExistsError,
    lib.WINTERGRUB_ERR_FORMAT: FormatError,
}


def new_error():
    return ffi.new("struct wintergrub_error *")


def _listed(mistakes):
    for i in range(lib.wintergrub_mistakes_count(mistakes)):
        one = lib.wintergrub_mistakes_get(mistakes, i)
        shown = owned_text(lib.wintergrub_mistakes_show(mistakes, i))
        yield Mistake(one.line, one.column, text(one.text), text(one.base) or None, shown)


def check(code, error, mistakes=ffi.NULL):
    """Raises the exception for a negative code of the library; returns any other."""
    if code >= 0:
        return code
    message, where = text(error.text), text(error.where)
    if code == lib.WINTERGRUB_ERR_MEMORY:
        raise MemoryError(message)
    if code == lib.WINTERGRUB_ERR_INPUT:
        raise PlanError(message, where, code, _listed(mistakes))
    raise _KINDS.get(code, Error)(message, where, code)


def chars(value, what):
    """Returns a text for the library, which ends at its first zero byte."""
    data = value.encode("utf-8") if isinstance(value, str) else bytes(value)
    if b"\0" in data:
        raise ValueError(f"{what} has a zero byte.")
    return data


def path_chars(path):
    return chars(os.fsencode(path), "The path")
