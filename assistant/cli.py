"""The verbs of the command line.

Knows: arguments, exit statuses, what is said before a conversation starts. Must not know: how
anything is done (wiring does). Invariants: a mistake of the user's is one sentence and status 2,
never a traceback; nothing heavy is imported before it is needed.
"""

import argparse
import asyncio
import os
import signal
import sys
import tempfile
from collections.abc import Coroutine
from datetime import datetime
from pathlib import Path
from typing import Any

from assistant import wiring
from assistant.edges.settings import Problem, load_house, read_secret, read_token
from assistant.planning.model import House

NO_SECRET = Problem(
    "A webhook needs a secret: put a long random line into a file and name it with --secret-file."
)


def main(arguments: list[str] | None = None) -> int:
    """Run one verb; return the exit status."""
    options = _parser().parse_args(arguments)
    house = load_house()
    if isinstance(house, Problem):
        return _refuse(house.text)
    try:
        return asyncio.run(_with_signals(options.verb(options, house)))
    except wiring.CannotOpen as error:
        return _refuse(str(error))
    except (KeyboardInterrupt, asyncio.CancelledError):
        return 0


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m assistant",
        description="Plan a year of subscription boxes in a chat, and be nudged in time.",
    )
    verbs = parser.add_subparsers(title="verbs", required=True, metavar="VERB")

    chat = verbs.add_parser("chat", help="talk to your shop's assistant in this terminal")
    chat.set_defaults(verb=_chat, demo=False)
    chat.add_argument("--data", type=Path, required=True, metavar="FOLDER")
    chat.add_argument("--now", type=_moment, metavar="'2027-03-01 08:00'", help="pretend clock")

    demo = verbs.add_parser("demo", help="the same, with an invented shop")
    demo.set_defaults(verb=_chat, demo=True)
    demo.add_argument("--data", type=Path, metavar="FOLDER", help="keep the demo shop here")
    demo.add_argument("--now", type=_moment, metavar="'2027-03-01 08:00'", help="pretend clock")

    telegram = verbs.add_parser("telegram", help="run the assistant as a Telegram bot")
    telegram.set_defaults(verb=_telegram)
    telegram.add_argument("--data", type=Path, required=True, metavar="FOLDER")
    telegram.add_argument("--token-file", type=Path, metavar="FILE", help="readable by you alone")
    telegram.add_argument("--webhook-url", metavar="URL", help="be called instead of asking")
    telegram.add_argument("--listen", default="127.0.0.1", metavar="ADDRESS")
    telegram.add_argument("--port", type=int, default=8443)
    telegram.add_argument("--secret-file", type=Path, metavar="FILE", help="for the webhook")
    telegram.add_argument("--bot-api", metavar="URL", help="a Bot API server of your own")

    given_up = verbs.add_parser("dead", help="list messages that could not be dealt with")
    given_up.set_defaults(verb=_dead)
    given_up.add_argument("--data", type=Path, required=True, metavar="FOLDER")
    given_up.add_argument("--revive", type=int, metavar="NUMBER", help="try this one again")
    return parser


def _moment(text: str) -> datetime:
    moment = datetime.fromisoformat(text)
    if moment.tzinfo is not None:
        raise argparse.ArgumentTypeError("a local time without a zone, such as 2027-03-01 08:00")
    return moment


def _refuse(sentence: str) -> int:
    print(sentence, file=sys.stderr)
    return 2


def _write(text: str) -> None:
    print(text, flush=True)


async def _with_signals(verb: Coroutine[Any, Any, int]) -> int:
    """Run a verb; SIGTERM ends it as the end of input would: what is in hand is rolled back or
    finished, never half done."""
    task = asyncio.create_task(verb)
    loop = asyncio.get_running_loop()
    if os.name == "posix":
        loop.add_signal_handler(signal.SIGTERM, task.cancel)
    try:
        return await task
    except asyncio.CancelledError:
        return 0


async def _chat(options: argparse.Namespace, house: House) -> int:
    interactive = sys.stdin.isatty()
    with tempfile.TemporaryDirectory(prefix="demo-shop-") as temporary:
        folder = options.data or Path(temporary)
        lines = None if interactive else sys.stdin
        await wiring.chat(folder, house, _write, lines=lines, now=options.now, demo=options.demo)
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
    await wiring.telegram(
        options.data,
        house,
        token,
        _write,
        webhook=hook,
        bot_api=options.bot_api,
    )
    return 0


async def _dead(options: argparse.Namespace, _: House) -> int:
    if options.revive is not None:
        if await wiring.revive(options.data, options.revive):
            _write("It is tried again the next time the assistant runs.")
            return 0
        return _refuse(f"There is no message {options.revive} that was given up.")
    for line in await wiring.dead(options.data):
        _write(line)
    return 0
