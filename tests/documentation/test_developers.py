"""The contributor's guide: its worked examples work, its map is the house as it stands."""

import re
from dataclasses import replace
from datetime import date
from pathlib import Path

from assistant.conversation.understand.kinds import SHORTHAND
from assistant.conversation.understand.phrasings import KINDS, SPOKEN
from assistant.conversation.understand.reading import Table
from assistant.edges.settings import config_file, load_house
from assistant.planning.deadlines import deadlines
from assistant.planning.model import House
from tests.trade import shop

ROOT = Path(__file__).parents[2]
TEXT = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
MAP = re.search(r"## The map\n\n```\n(.*?)```", TEXT, re.DOTALL)


def test_a_new_stage_needs_nothing_but_its_table(tmp_path: Path) -> None:
    (stage,) = re.findall(r"```toml\n(.*?)```", TEXT, re.DOTALL)
    file = tmp_path / "defaults.toml"
    file.write_text(config_file("defaults.toml").read_text(encoding="utf-8") + "\n" + stage)
    house = load_house(file)
    assert isinstance(house, House)
    found = deadlines(shop("2027-03: pin", house=house), date(2027, 1, 4))
    assert [one.todo for one in found if one.stage == "proof"] == ["proofread the labels"]


def test_the_pattern_of_the_new_phrasing_compiles() -> None:
    (pattern,) = re.findall(r"^ +(\{what:words\}.*turned up.*)$", TEXT, re.MULTILINE)
    received = next(row for row in SPOKEN if row.name == "received")
    table = Table.of([replace(received, says=pattern)], KINDS, SHORTHAND)
    assert "turned" in table.vocabulary


def test_the_map_names_every_room() -> None:
    assert MAP
    named = set(re.findall(r"\w+", MAP[1]))
    rooms = {
        path.name.removesuffix(".py")
        for top in ("scheduling", "planning", "flow", "edges", "conversation")
        for path in (ROOT / "assistant" / top).iterdir()
        if not path.name.startswith("__")
    } | {
        path.stem
        for path in (ROOT / "assistant" / "planning").glob("*/*.py")
        if path.stem != "__init__" and path.parent.name != "spread"
    }
    assert rooms - named == set()
