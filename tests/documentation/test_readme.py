"""README is run: each conversation in it, word for word, and its two commands by .ci/run."""

import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

README = Path(__file__).parents[2] / "README.md"
TEXT = README.read_text(encoding="utf-8")
CONVERSATIONS = re.findall(r"<!-- conversation: (.+?) -->\n```text\n(.*?)```", TEXT, re.DOTALL)


def played(command: str, script: str, folder: Path) -> str:
    """Play the lines of a conversation that begin with "> "; return all that was printed."""
    lines = "".join(f"{line[2:]}\n" for line in script.splitlines() if line.startswith("> "))
    verb = [*shlex.split(command), "--data", str(folder)]
    done = subprocess.run(
        [sys.executable, "-m", "assistant", *verb],
        input=lines,
        capture_output=True,
        text=True,
        encoding="utf-8",
        cwd=README.parent,
        check=True,
    )
    assert done.stderr == ""
    return done.stdout


@pytest.mark.parametrize(("command", "script"), CONVERSATIONS, ids=[c for c, _ in CONVERSATIONS])
def test_a_conversation_goes_as_it_is_shown(command: str, script: str, tmp_path: Path) -> None:
    assert played(command, script, tmp_path / "shop").strip() == script.strip()


def test_readme_shows_conversations() -> None:
    assert len(CONVERSATIONS) >= 2


@pytest.mark.parametrize("name", ["run", "test"])
def test_each_of_the_two_commands_is_one_line(name: str) -> None:
    found = re.findall(rf"<!-- command: {name} -->\n```bash\n(.*?)\n```", TEXT, re.DOTALL)
    assert len(found) == 1
    assert "\n" not in found[0]


def test_every_verb_and_option_that_readme_names_exists() -> None:
    told = "".join(
        subprocess.run(
            [sys.executable, "-m", "assistant", *verb, "--help"],
            capture_output=True,
            text=True,
            cwd=README.parent,
            check=True,
        ).stdout
        for verb in ([], ["chat"], ["demo"], ["telegram"])
    )
    options = set(re.findall(r"(?<![\w-])--[a-z-]+", TEXT)) - {"--quiet"}
    verbs = set(re.findall(r"-m assistant (\w+)", TEXT))
    missing = {word for word in options | verbs if word not in told}
    assert not missing
