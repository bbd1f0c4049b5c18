"""Countries by the names people type: plain English name or alias to code.

Knows names and codes: ISO 3166-1 alpha-2, where need be with "/" and the last part of an ISO 3166-2
subdivision ("GB/ENG"); Kosovo has the user-assigned XK. Must not know holidays or anything dated.

Invariants: each name and alias leads to one code; `country_code(country_name(code))` leads back to
every code of the table but GB, whose name means England's calendar, the one most of it keeps.
Two-letter codes are read in capitals only: "in", "it" and "no" are words.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache

from assistant.scheduling.weeks import Problem

# One place a line: code, name, aliases. Places without inhabitants are left out.
_TABLE = """
GB/ENG England; UK; GB; United Kingdom; Great Britain; Britain; England and Wales
GB/SCT Scotland
GB/WLS Wales
GB/NIR Northern Ireland
AD Andorra
AE United Arab Emirates; UAE; Emirates; Dubai; Abu Dhabi
AF Afghanistan
AG Antigua and Barbuda; Antigua
AI Anguilla
AL Albania
AM Armenia
AO Angola
AR Argentina
AS American Samoa
AT Austria
AU Australia
AW Aruba
AX Aland Islands; Aland
AZ Azerbaijan
BA Bosnia and Herzegovina; Bosnia
BB Barbados
BD Bangladesh
BE Belgium
BF Burkina Faso
BG Bulgaria
BH Bahrain
BI Burundi
BJ Benin
BL Saint Barthelemy
BM Bermuda
BN Brunei; Brunei Darussalam
BO Bolivia
BQ Bonaire, Sint Eustatius and Saba; Bonaire; Caribbean Netherlands
BR Brazil; Brasil
BS Bahamas
BT Bhutan
BW Botswana
BY Belarus
BZ Belize
CA Canada
CC Cocos Islands; Keeling Islands
CD Democratic Republic of the Congo; DR Congo; DRC
CF Central African Republic
CG Congo; Republic of the Congo
CH Switzerland; Swiss; Schweiz
CI Ivory Coast; Cote d'Ivoire
CK Cook Islands
CL Chile
CM Cameroon
CN China; PRC; People's Republic of China; Mainland China
CO Colombia
CR Costa Rica
CU Cuba
CV Cape Verde; Cabo Verde
CW Curacao
CX Christmas Island
CY Cyprus
CZ Czechia; Czech Republic
DE Germany; Deutschland
DJ Djibouti
DK Denmark; Danmark
DM Dominica
DO Dominican Republic
DZ Algeria
EC Ecuador
EE Estonia
EG Egypt
EH Western Sahara
ER Eritrea
ES Spain; Espana
ET Ethiopia
FI Finland; Suomi
FJ Fiji
FK Falkland Islands; Falklands
FM Micronesia; Federated States of Micronesia
FO Faroe Islands; Faroes
FR France
GA Gabon
GD Grenada
GE Georgia
GF French Guiana
GG Guernsey
GH Ghana
GI Gibraltar
GL Greenland
GM Gambia
GN Guinea
GP Guadeloupe
GQ Equatorial Guinea
GR Greece
GT Guatemala
GU Guam
GW Guinea-Bissau
GY Guyana
HK Hong Kong; Hongkong; Hong Kong SAR
HN Honduras
HR Croatia; Hrvatska
HT Haiti
HU Hungary
ID Indonesia
IE Ireland; Republic of Ireland; Eire
IL Israel
IM Isle of Man
IN India
IQ Iraq
IR Iran
IS Iceland
IT Italy; Italia
JE Jersey
JM Jamaica
JO Jordan
JP Japan
KE Kenya
KG Kyrgyzstan
KH Cambodia
KI Kiribati
KM Comoros
KN Saint Kitts and Nevis
KP North Korea
KR South Korea; Korea; Republic of Korea
KW Kuwait
KY Cayman Islands
KZ Kazakhstan
LA Laos
LB Lebanon
LC Saint Lucia
LI Liechtenstein
LK Sri Lanka
LR Liberia
LS Lesotho
LT Lithuania
LU Luxembourg
LV Latvia
LY Libya
MA Morocco
MC Monaco
MD Moldova
ME Montenegro
MF Saint Martin
MG Madagascar
MH Marshall Islands
MK North Macedonia; Macedonia
ML Mali
MM Myanmar; Burma
MN Mongolia
MO Macau; Macao
MP Northern Mariana Islands
MQ Martinique
MR Mauritania
MS Montserrat
MT Malta
MU Mauritius
MV Maldives
MW Malawi
MX Mexico
MY Malaysia
MZ Mozambique
NA Namibia
NC New Caledonia
NE Niger
NF Norfolk Island
NG Nigeria
NI Nicaragua
NL Netherlands; Holland
NO Norway; Norge
NP Nepal
NR Nauru
NU Niue
NZ New Zealand; Aotearoa
OM Oman
PA Panama
PE Peru
PF French Polynesia; Tahiti
PG Papua New Guinea
PH Philippines
PK Pakistan
PL Poland; Polska
PM Saint Pierre and Miquelon
PN Pitcairn Islands
PR Puerto Rico
PS Palestine
PT Portugal
PW Palau
PY Paraguay
QA Qatar
RE Reunion
RO Romania
RS Serbia
RU Russia; Russian Federation
RW Rwanda
SA Saudi Arabia
SB Solomon Islands
SC Seychelles
SD Sudan
SE Sweden; Sverige
SG Singapore
SH Saint Helena, Ascension and Tristan da Cunha; Saint Helena
SI Slovenia
SJ Svalbard and Jan Mayen; Svalbard
SK Slovakia; Slovak Republic
SL Sierra Leone
SM San Marino
SN Senegal
SO Somalia
SR Suriname
SS South Sudan
ST Sao Tome and Principe
SV El Salvador
SX Sint Maarten
SY Syria; Syrian Arab Republic
SZ Eswatini; Swaziland
TC Turks and Caicos Islands
TD Chad
TG Togo
TH Thailand
TJ Tajikistan
TK Tokelau
TL Timor-Leste; East Timor
TM Turkmenistan
TN Tunisia
TO Tonga
TR Turkey; Turkiye
TT Trinidad and Tobago; Trinidad
TV Tuvalu
TW Taiwan
TZ Tanzania
UA Ukraine
UG Uganda
US United States; USA; United States of America; America; the States
UY Uruguay
UZ Uzbekistan
VA Vatican City; Vatican; Holy See
VC Saint Vincent and the Grenadines; Saint Vincent
VE Venezuela
VG British Virgin Islands
VI United States Virgin Islands; US Virgin Islands
VN Vietnam; Viet Nam
VU Vanuatu
WF Wallis and Futuna
WS Samoa
XK Kosovo
YE Yemen
YT Mayotte
ZA South Africa
ZM Zambia
ZW Zimbabwe
GB United Kingdom
"""


def country_code(text: str) -> str | Problem:
    """The code of the country that `text` names: "Germany" is "DE", "England" is "GB/ENG".

    Case, accents, full stops and a leading "the" do not matter. A code in capitals is taken as it
    is; "GB" and "UK" are read as England.
    """
    found = _codes().get(_plain(text))
    if found is None and text.strip() in _names():
        found = text.strip()
    if found is None:
        return Problem(f'I know no country called "{text.strip()[:40]}".', "Germany")
    return found


def country_name(code: str) -> str | None:
    """The plain English name of a code such as "DE" or "GB/SCT"; None if there is none."""
    return _names().get(code)


def known_countries() -> tuple[tuple[str, str], ...]:
    """Every (name, code), for those who match names that are typed loosely."""
    return tuple((name, code) for code, name in _names().items())


@cache
def _rows() -> tuple[tuple[str, tuple[str, ...]], ...]:
    cut = (line.split(" ", 1) for line in _TABLE.strip().splitlines())
    return tuple((code, tuple(names.split("; "))) for code, names in cut)


@cache
def _names() -> dict[str, str]:
    return {code: names[0] for code, names in _rows()}


@cache
def _codes() -> dict[str, str]:
    found: dict[str, str] = {}
    for code, names in _rows():
        for name in names:
            found.setdefault(_plain(name), code)
    return found


def _plain(text: str) -> str:
    """Lower case without accents, marks, a leading "the", "St" for "Saint" or "&" for "and"."""
    letters = unicodedata.normalize("NFKD", text.casefold().replace("&", " and "))
    words = re.sub(r"[^a-z ]", "", re.sub(r"[-/,_]", " ", letters)).split()
    if words[:1] == ["the"]:
        del words[0]
    return " ".join("saint" if word == "st" else word for word in words)
