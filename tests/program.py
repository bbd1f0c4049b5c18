"""The program as its owner starts it: another process, its lines, its status."""

import os
import select
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
NOW = "2027-01-11 09:00"  # a Monday
LIMIT = 20  # seconds until a program that hangs has failed


def command(*arguments: str | Path) -> list[str]:
    return [sys.executable, "-m", "assistant", *map(str, arguments)]


def environment(**more: str) -> dict[str, str]:
    """The environment to start it in, from whatever folder."""
    return {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8", **more}


def run(
    *arguments: str | Path,
    lines: str | bytes = "",
    folder: Path | None = None,
    **more: str,
) -> subprocess.CompletedProcess[str]:
    """Run it to its end with these lines for input, in `folder`."""
    given = lines if isinstance(lines, bytes) else lines.encode()
    done = subprocess.run(
        command(*arguments),
        input=given,
        cwd=folder,
        env=environment(**more),
        capture_output=True,
        timeout=LIMIT,
        check=False,
    )
    return subprocess.CompletedProcess(
        done.args, done.returncode, done.stdout.decode(), done.stderr.decode()
    )


def chat(data: Path, *lines: str, now: str = NOW, folder: Path | None = None) -> str:
    """Play lines; what is printed, if all went well."""
    script = "".join(f"{line}\n" for line in lines)
    done = run("chat", "--data", data, "--now", now, lines=script, folder=folder)
    assert (done.returncode, done.stderr) == (0, "")
    return done.stdout


@contextmanager
def started(*arguments: str | Path, **more: str) -> Iterator[subprocess.Popen[bytes]]:
    """Start it and let it run, its input and output as unbuffered pipes; it does not outlive the
    block."""
    program = subprocess.Popen(
        command(*arguments),
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=environment(**more),
        bufsize=0,
    )
    with program:
        try:
            yield program
        finally:
            program.kill()


def say(program: subprocess.Popen[bytes], line: str) -> None:
    assert program.stdin is not None
    program.stdin.write(f"{line}\n".encode())


def read_until(program: subprocess.Popen[bytes], words: str) -> str:
    """Read what is printed until these words were, or all there is."""
    assert program.stdout is not None
    seen = b""
    while words.encode() not in seen:
        ready, _, _ = select.select([program.stdout], [], [], LIMIT)
        assert ready, f"waited for {words!r} and saw {seen!r}"
        piece = program.stdout.read(65_536)
        if not piece:
            break
        seen += piece
    return seen.decode()
