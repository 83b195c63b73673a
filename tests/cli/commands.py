# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Base class for the tests of the command line: runs the program in an empty temporary folder."""

import atexit
import contextlib
import hashlib
import os
import re
import resource
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import unittest

SERVER = os.environ.get("WINTERGRUB_SERVER")  # unset: each command starts the program anew
PROGRAM = os.path.abspath(os.environ["WINTERGRUB"])
SRC = os.path.abspath(os.environ["SRC"])
SCENARIOS = os.path.join(SRC, "scenarios")
PATIENCE_S = 60  # enough for a sanitizer on a busy machine
NO_NUMBER = re.compile(r"(^|[^a-z])(nan|inf|infinity|-0)([^a-z.0-9]|$)", re.IGNORECASE | re.MULTILINE)
SEAL = 83  # bytes of a result's last line, the checksum


def read(path):
    with open(path, "rb") as file:
        return file.read()


def write(path, data):
    with open(path, "wb") as file:
        file.write(data if isinstance(data, bytes) else data.encode())


def example(name, *changes):
    """Returns the text of an example scenario with (old, new) replacements; each old text must be in it."""
    text = read(os.path.join(SCENARIOS, name)).decode()
    for old, new in changes:
        assert old in text, f"{name} has no {old!r}"
        text = text.replace(old, new)
    return text


def seal(path):
    """Appends the checksum that a result ends with."""
    data = read(path)
    write(path, data + b"wintergrub sha256 %s\n" % hashlib.sha256(data).hexdigest().encode())


def edit(path, change):
    """Calls change() with a result opened by h5py, and updates the checksum."""
    import h5py  # slow, and few tests need it

    write(path, read(path)[:-SEAL])
    with h5py.File(path, "r+") as file:
        change(file)
    seal(path)


class Server:
    """Runs a program many times without starting it anew (server.c)."""

    LARGEST = 150000  # bytes of a request; longer command lines start the program
    running = {}

    @classmethod
    def of(cls, program):
        """Returns the server for this program, started when it is first needed."""
        if program not in cls.running:
            cls.running[program] = cls(program)
        return cls.running[program]

    def __init__(self, program):
        self.socket, theirs = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
        for option in (socket.SO_SNDBUF, socket.SO_RCVBUF):
            self.socket.setsockopt(socket.SOL_SOCKET, option, 2 * self.LARGEST)
        words = [program, "--serve", str(theirs.fileno())]
        self.process = subprocess.Popen(words, pass_fds=[theirs.fileno()], stdin=subprocess.DEVNULL, start_new_session=True)
        theirs.close()
        atexit.register(self.close)

    def close(self):
        self.socket.close()
        self.process.wait()

    def run(self, request, fds, patience_s=None):
        """Returns the status of a command as subprocess has it; ends the server if that takes longer."""
        socket.send_fds(self.socket, [request], fds)
        self.socket.settimeout(patience_s)
        try:
            reply = self.socket.recv(8)
        except TimeoutError:
            self.process.kill()
            self.running.clear()
            raise
        assert len(reply) == 4, "the server ended"
        return os.waitstatus_to_exitcode(int.from_bytes(reply, sys.byteorder))


def content(fd):
    """Returns what was written to a file in memory."""
    return os.pread(fd, os.fstat(fd).st_size, 0)


def run_program(words, *, environment, stdout=None, data=b"", largest_file=None, program=None, patience_s=None):
    """
    Runs a command in the current folder with `data` as its standard input, and returns what subprocess.run() does.
    `stdout`: a file, or None to return what it writes. `patience_s`: longer is an error.
    """
    limit = largest_file and (lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (largest_file, largest_file)))
    texts = [str(largest_file or ""), str(len(words) + 1), PROGRAM, *words, *(f"{k}={v}" for k, v in environment.items())]
    request = b"".join(os.fsencode(text) + b"\0" for text in texts)
    server = program or SERVER
    if not SERVER or len(request) > Server.LARGEST or request.count(b"\0") != len(texts):
        return subprocess.run(
            [program or PROGRAM, *words], input=data, stdout=stdout or subprocess.PIPE, stderr=subprocess.PIPE,
            env=environment, preexec_fn=limit, timeout=patience_s,
        )
    with contextlib.ExitStack() as opened:
        def hold(fd):
            opened.callback(os.close, fd)
            return fd

        folder, source = hold(os.open(".", os.O_PATH)), hold(os.memfd_create("stdin") if data else os.open(os.devnull, os.O_RDONLY))
        if data:
            os.pwrite(source, data, 0)
        errors, out = hold(os.memfd_create("stderr")), stdout.fileno() if stdout else hold(os.memfd_create("stdout"))
        status = Server.of(server).run(request, [folder, source, out, errors], patience_s)
        return subprocess.CompletedProcess(words, status, None if stdout else content(out), content(errors))


class CommandTest(unittest.TestCase):
    """Runs each test in an empty folder, and gives the program a second one for temporary files."""

    def setUp(self):
        self.shelf = tempfile.mkdtemp()
        self.desk = os.path.join(self.shelf, "desk")
        self.tmp = os.path.join(self.shelf, "tmp")
        os.mkdir(self.desk)
        os.mkdir(self.tmp)
        self.addCleanup(shutil.rmtree, self.shelf)
        os.chdir(self.desk)
        self.addCleanup(os.chdir, "/")

    def environment(self, **more):
        kept = {k: v for k, v in os.environ.items() if k not in ("NO_COLOR", "TMPDIR")}
        return {**kept, "TMPDIR": self.tmp, **more}

    def wintergrub(self, *words, status=0, stdout=None, largest_file=None):
        """Runs the program, checks its status and returns its standard output."""
        done = run_program(words, environment=self.environment(), stdout=stdout, largest_file=largest_file)
        out, self.stderr = (done.stdout or b"").decode(), done.stderr.decode()
        self.assertEqual(done.returncode, status, f"{words}: {out}{self.stderr}")
        self.assertNotRegex(self.stderr, "Sanitizer|runtime error:", words)
        return out

    def refused(self, *words, status, expected=(), **more):
        """Expects this status, nothing on standard output, and one line on standard error with these texts."""
        self.assertEqual(self.wintergrub(*words, status=status, **more), "", words)
        self.assertEqual(self.stderr.count("\n"), 1, f"{words}: {self.stderr}")
        self.assert_all_in(expected, self.stderr)

    def no_space_left(self, *words):
        """Runs the program with a full disk as standard output; expects the reason."""
        with open("/dev/full", "wb") as full:
            self.wintergrub(*words, status=4, stdout=full)
        self.assertEqual(self.stderr.count("\n"), 1, self.stderr)
        self.assertIn("No space left", self.stderr)

    def assert_all_in(self, parts, text):
        for part in parts:
            self.assertIn(part, text)

    def assert_clean(self, *texts):
        """Expects no control characters except newlines."""
        for text in texts:
            self.assertNotRegex(text, r"[\x00-\x09\x0b-\x1f\x7f]")

    def assert_fits(self, text, lines=10000):
        """Expects at most `lines` lines, none over 80 columns."""
        self.assertEqual([line for line in text.splitlines() if len(line) > 80], [])
        self.assertLessEqual(text.count("\n"), lines, text)

    def at_work(self, words, is_at_work):
        """Starts the program, waits until is_at_work() and returns the running process."""
        running = subprocess.Popen(
            [PROGRAM, *words],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            env=self.environment(),
        )
        self.addCleanup(running.wait)
        self.addCleanup(running.kill)
        end = time.monotonic() + PATIENCE_S
        while not is_at_work() and time.monotonic() < end:
            self.assertIsNone(running.poll(), f"{words}: it ended too early")
            time.sleep(0.01)
        return running

    def copy(self, name, to=None):
        """Copies an example scenario to the folder."""
        return shutil.copy(os.path.join(SCENARIOS, name), to or os.path.basename(name))

    def nothing_left(self, *expected):
        """Expects these files and no temporary files."""
        self.assertEqual(sorted(os.listdir(self.desk)), sorted(expected))
        self.assertEqual(os.listdir(self.tmp), [])
