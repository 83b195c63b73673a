# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Builds the wheel of this folder with Python's own library alone, so that `pip install` needs no network (PEP 517)."""

import base64
import hashlib
import os
import re
import zipfile

HERE = os.path.dirname(os.path.abspath(__file__))
PACKAGE = os.path.join(HERE, "wintergrub")


def version():
    """Returns the version that the declarations have from the header."""
    with open(os.path.join(PACKAGE, "_declarations.py"), encoding="utf-8") as file:
        return ".".join(re.findall(r"^#define WINTERGRUB_VERSION_\w+ (\d+)$", file.read(), re.M))


METADATA = """\
Metadata-Version: 2.1
Name: wintergrub
Version: {version}
Summary: Odds, dates and pounds for a black soldier fly colony: libwintergrub in Python
License: GPL-3.0-or-later
Requires-Python: >=3.9
Requires-Dist: cffi
Requires-Dist: numpy
Provides-Extra: all
Requires-Dist: xarray; extra == "all"
Requires-Dist: h5netcdf; extra == "all"
Requires-Dist: matplotlib; extra == "all"
Description-Content-Type: text/markdown

"""
WHEEL = "Wheel-Version: 1.0\nGenerator: wintergrub\nRoot-Is-Purelib: true\nTag: py3-none-any\n"


def _files():
    """Returns the files of the wheel by name, without the record."""
    folder = f"wintergrub-{version()}.dist-info"
    with open(os.path.join(HERE, "README.md"), encoding="utf-8") as file:
        readme = file.read()
    found = {f"{folder}/METADATA": (METADATA.format(version=version()) + readme).encode(), f"{folder}/WHEEL": WHEEL.encode()}
    for name in sorted(os.listdir(PACKAGE)):
        if name.endswith(".py"):
            with open(os.path.join(PACKAGE, name), "rb") as file:
                found[f"wintergrub/{name}"] = file.read()
    return found, f"{folder}/RECORD"


def _record(files, name):
    lines = []
    for path, data in files.items():
        digest = base64.urlsafe_b64encode(hashlib.sha256(data).digest()).rstrip(b"=").decode()
        lines.append(f"{path},sha256={digest},{len(data)}\n")
    return "".join(lines) + f"{name},,\n"


def build_wheel(wheel_directory, config_settings=None, metadata_directory=None):
    files, record = _files()
    name = f"wintergrub-{version()}-py3-none-any.whl"
    with zipfile.ZipFile(os.path.join(wheel_directory, name), "w", zipfile.ZIP_DEFLATED) as wheel:
        for path, data in {**files, record: _record(files, record).encode()}.items():
            wheel.writestr(zipfile.ZipInfo(path), data)  # the time of a ZipInfo is fixed: the same bytes each time
    return name


def build_sdist(sdist_directory, config_settings=None):
    raise NotImplementedError("The source is that of wintergrub as a whole.")
