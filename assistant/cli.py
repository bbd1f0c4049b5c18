"""The verbs of the command line.

Knows: arguments, exit statuses, what is said before a conversation starts. Must not know: how
anything is done (wiring does). Invariants: a mistake of the user's is one sentence and status 2,
never a traceback; nothing heavy is imported before it is needed.
"""

import argparse
import asyncio
import io
import os
import signal
import sys
import tempfile
from collections.abc import Callable, Coroutine
from datetime import datetime
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from msgspec.structs import replace

from assistant import wiring
from assistant.edges.settings import Problem, load_house, read_secret, read_token
from assistant.planning.model import House

PORTS = 65_535
NO_SECRET = Problem(
    "A webhook needs a secret: put a long random line into a file and name it with --secret-file."
)


def main(arguments: list[str] | None = None) -> int:
    """Run one verb; return the exit status."""
    options = _parser().parse_args(arguments)
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="replace")  # whatever characters the terminal lacks
    house = load_house()
    if isinstance(house, Problem):
        return _refuse(house.text)
    if getattr(options, "feed_port", None):
        house = replace(house, feed=replace(house.feed, port=options.feed_port))
    try:
        return asyncio.run(_with_signals(options.verb(options, house)))
    except wiring.CannotOpen as error:
        return _refuse(str(error))
    except (KeyboardInterrupt, asyncio.CancelledError):
        return 0


Verbs = Any  # argparse's own type of this cannot be named at run time


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m assistant",
        description="Plan a year of subscription boxes in a chat, and be nudged in time.",
    )
    verbs = parser.add_subparsers(title="verbs", required=True)
    _to_talk(verbs)
    _to_keep(verbs)
    return parser


def _to_talk(verbs: Verbs) -> None:
    """The verbs that run the assistant."""
    chat = verbs.add_parser("chat", help="talk to your shop's assistant in this terminal")
    chat.set_defaults(verb=_chat, demo=False)
    chat.add_argument("--data", type=Path, required=True, metavar="FOLDER")
    chat.add_argument("--now", type=_moment, metavar="'2027-03-01 08:00'", help="pretend clock")
    _takes_feed_port(chat)

    demo = verbs.add_parser("demo", help="the same, with an invented shop")
    demo.set_defaults(verb=_chat, demo=True)
    demo.add_argument("--data", type=Path, metavar="FOLDER", help="keep the demo shop here")
    demo.add_argument("--now", type=_moment, metavar="'2027-03-01 08:00'", help="pretend clock")
    _takes_feed_port(demo)

    telegram = verbs.add_parser("telegram", help="run the assistant as a Telegram bot")
    telegram.set_defaults(verb=_telegram)
    telegram.add_argument("--data", type=Path, required=True, metavar="FOLDER")
    telegram.add_argument("--token-file", type=Path, metavar="FILE", help="readable by you alone")
    telegram.add_argument(
        "--webhook-url", type=_address, metavar="URL", help="be called instead of asking"
    )
    telegram.add_argument("--listen", default="127.0.0.1", metavar="ADDRESS")
    telegram.add_argument("--port", type=_port, default=8443)
    telegram.add_argument("--secret-file", type=Path, metavar="FILE", help="for the webhook")
    telegram.add_argument(
        "--bot-api", type=_address, metavar="URL", help="a Bot API server of your own"
    )
    _takes_feed_port(telegram)


def _to_keep(verbs: Verbs) -> None:
    """The verbs that look after a data folder while nobody talks."""
    backup = verbs.add_parser("backup", help="write all of a shop to one file")
    backup.set_defaults(verb=_backup)
    backup.add_argument("--data", type=Path, required=True, metavar="FOLDER")
    backup.add_argument("--to", type=Path, metavar="FILE", help="else into FOLDER/backups")

    restore = verbs.add_parser("restore", help="make a new data folder of a backup")
    restore.set_defaults(verb=_restore)
    restore.add_argument("file", type=Path, metavar="FILE")
    restore.add_argument("--data", type=Path, required=True, metavar="NEWFOLDER")

    check = verbs.add_parser("check", help="look for damage in a backup or a data folder")
    check.set_defaults(verb=_check)
    check.add_argument("path", type=Path, metavar="FILE_OR_FOLDER")
    check.add_argument("--save-to", type=Path, metavar="NEWFOLDER", help="what can be saved")

    given_up = verbs.add_parser("dead", help="list messages that could not be dealt with")
    given_up.set_defaults(verb=_dead)
    given_up.add_argument("--data", type=Path, required=True, metavar="FOLDER")
    given_up.add_argument("--revive", type=int, metavar="NUMBER", help="try this one again")


def _takes_feed_port(verb: argparse.ArgumentParser) -> None:
    verb.add_argument(
        "--feed-port", type=_port, metavar="PORT", help="serve the calendar, on this machine"
    )


def _moment(text: str) -> datetime:
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        moment = None
    if moment is None or moment.tzinfo is not None:
        example = 'give a local time without a zone, for example "2027-03-01 08:00"'
        raise argparse.ArgumentTypeError(f'"{text}" cannot be used: {example}')
    return moment


def _address(text: str) -> str:
    try:
        parts = urlsplit(text)
        usable = parts.scheme in ("http", "https") and parts.hostname
    except ValueError:
        usable = None
    if not usable:
        example = 'give an address such as "https://example.org/bot"'
        raise argparse.ArgumentTypeError(f'"{text}" cannot be used: {example}')
    return text


def _port(text: str) -> int:
    if not (text.isdecimal() and len(text) <= 5 and 1 <= int(text) <= PORTS):
        raise argparse.ArgumentTypeError(f'"{text}" is no port: give a number from 1 to {PORTS}')
    return int(text)


def _refuse(sentence: str) -> int:
    print(sentence, file=sys.stderr)
    return 2


class _Output:
    """Standard output, until whoever reads it hangs up: that ends the program as the end of
    input would, and from then on each text meets a BrokenPipeError."""

    def __init__(self, end: Callable[[], object]) -> None:
        self._end = end
        self._hung_up = False

    def write(self, text: str) -> None:
        """Print a text."""
        if self._hung_up:
            raise BrokenPipeError
        try:
            print(text, flush=True)
        except BrokenPipeError:
            self._hung_up = True
            _drop_output()
            self._end()
            raise


def _output() -> _Output:
    task = asyncio.current_task()
    assert task is not None
    return _Output(task.cancel)


def _drop_output() -> None:
    """Let nothing that is still to be printed complain when the program ends."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)


async def _with_signals(verb: Coroutine[Any, Any, int]) -> int:
    """Run a verb; SIGTERM ends it as the end of input would: what is in hand is rolled back or
    finished, never half done."""
    task = asyncio.current_task()
    assert task is not None
    loop = asyncio.get_running_loop()
    if os.name == "posix":
        loop.add_signal_handler(signal.SIGTERM, task.cancel)
    try:
        return await verb
    except asyncio.CancelledError:
        return 0


async def _chat(options: argparse.Namespace, house: House) -> int:
    interactive = sys.stdin.isatty() and sys.stdout.isatty()
    with tempfile.TemporaryDirectory(prefix="demo-shop-") as temporary:
        folder = options.data or Path(temporary)
        source, write = None if interactive else sys.stdin.fileno(), _output().write
        try:
            await wiring.chat(
                folder, house, write, source=source, now=options.now, demo=options.demo
            )
        except* BrokenPipeError:
            pass  # whoever read has read enough
    return 0


async def _telegram(options: argparse.Namespace, house: House) -> int:
    token = read_token(os.environ, options.token_file)
    if isinstance(token, Problem):
        return _refuse(token.text)
    hook = None
    if options.webhook_url:
        secret = read_secret(options.secret_file) if options.secret_file else NO_SECRET
        if isinstance(secret, Problem):
            return _refuse(secret.text)
        hook = (options.webhook_url, options.listen, options.port, secret)
    write = _output().write
    try:
        await wiring.telegram(
            options.data, house, token, write, webhook=hook, bot_api=options.bot_api
        )
    except* BrokenPipeError:
        pass  # as above
    return 0


async def _dead(options: argparse.Namespace, _: House) -> int:
    if options.revive is not None:
        if await wiring.revive(options.data, options.revive):
            print("It is tried again the next time the assistant runs.")
            return 0
        return _refuse(f"There is no message {options.revive} that was given up.")
    for line in await wiring.dead(options.data):
        print(line)
    return 0


async def _backup(options: argparse.Namespace, _: House) -> int:
    print(wiring.back_up(options.data, options.to))
    return 0


async def _restore(options: argparse.Namespace, _: House) -> int:
    print(wiring.restore(options.file, options.data))
    return 0


async def _check(options: argparse.Namespace, _: House) -> int:
    whole, lines = wiring.check(options.path, options.save_to)
    for line in lines:
        print(line)
    return 0 if whole else 1
