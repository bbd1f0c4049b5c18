"""Country names and codes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.scheduling.countries import country_code, country_name, known_countries
from assistant.scheduling.daysoff import public_holidays
from assistant.scheduling.workdays import Problem


@pytest.mark.parametrize(
    ("name", "code"),
    [
        ("Germany", "DE"),
        ("germany ", "DE"),
        ("China", "CN"),
        ("Japan", "JP"),
        ("UK", "GB/ENG"),
        ("U.K.", "GB/ENG"),
        ("GB", "GB/ENG"),
        ("Great Britain", "GB/ENG"),
        ("england", "GB/ENG"),
        ("Scotland", "GB/SCT"),
        ("Wales", "GB/WLS"),
        ("Northern Ireland", "GB/NIR"),
        ("USA", "US"),
        ("the U.S.A.", "US"),
        ("Holland", "NL"),
        ("the Netherlands", "NL"),
        ("Côte d’Ivoire", "CI"),
        ("Türkiye", "TR"),
        ("St Lucia", "LC"),
        ("Bosnia & Herzegovina", "BA"),
        ("Guinea-Bissau", "GW"),
        ("DE", "DE"),
        ("GB/SCT", "GB/SCT"),
    ],
)
def test_names_and_aliases(name: str, code: str) -> None:
    # Codes: ISO 3166-1 and 3166-2.
    assert country_code(name) == code


@pytest.mark.parametrize("word", ["in", "it", "no", "at", "de", "", "Atlantis", "united", "🇩🇪"])
def test_words_that_are_no_country_get_a_sentence(word: str) -> None:
    found = country_code(word)
    assert isinstance(found, Problem)
    assert country_code(found.example) == "DE"


def test_names_lead_back_to_their_codes() -> None:
    for name, code in known_countries():
        assert country_code(name) == ("GB/ENG" if code == "GB" else code)
        assert country_name(code) == name
    assert country_name("ZZ") is None


def test_holidays_are_known_for_every_country() -> None:
    for name, code in known_countries():
        country, _, subdivision = code.partition("/")
        assert not isinstance(public_holidays(country, subdivision, 2027), Problem), name


@given(st.text())
def test_reading_a_country_never_raises(text: str) -> None:
    assert isinstance(country_code(text), str | Problem)
