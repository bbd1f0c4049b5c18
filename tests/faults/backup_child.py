"""A process to be killed while it makes or restores a backup.

    python -m tests.faults.backup_child EVENT write DATA
    python -m tests.faults.backup_child EVENT restore FILE NEWFOLDER

It kills itself at the call of this number, counted from 1 over all calls and returns of functions,
those of the libraries too; if it comes to its end before, it prints how many there were.
"""

import os
import signal
import sys
from collections.abc import Callable
from pathlib import Path

from assistant.edges.embedded.archive import FOLDER
from assistant.edges.embedded.backup import write_backup
from assistant.edges.embedded.restoring import restore
from tests.edges.backups import NOW


def write(data: Path) -> None:
    (data / FOLDER).mkdir(exist_ok=True)
    write_backup(data, data / FOLDER, NOW, "shop")


def counted(act: Callable[..., object], *paths: Path, until: int) -> int:
    events = 0

    def seen(*_: object) -> None:
        nonlocal events
        events += 1
        if events == until:
            os.kill(os.getpid(), signal.SIGKILL)

    sys.setprofile(seen)
    act(*paths)
    sys.setprofile(None)
    return events


if __name__ == "__main__":
    event, verb, *named = sys.argv[1:]
    print(counted({"write": write, "restore": restore}[verb], *map(Path, named), until=int(event)))
