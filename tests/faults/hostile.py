"""Messages that nobody should send: a corpus, and random ones made of it. All invented."""

from typing import Any

from hypothesis import strategies as st

NUMBERS = (
    "0", "-1", "-3.10", "1e9", "10000000000", str(10**30), "NaN", "Infinity", "-Infinity", "1/0",
    "٣", "½", "1,2,3", "0x10", "3.1.0", "999999999999", "1_000", "£", "£-5", "9" * 5000, "²",
)  # fmt: skip
DATES = (
    "31 February", "30 Feb 2027", "2027-02-30", "1 January 1", "31 December 9999", "0000-00-00",
    "29 February 2027", "year 1", "year 9999", "1-1-1", "9999-12-31", "0001-01-01", "32 March",
    "the 0th", "the 32nd", "the fifth Friday", "every 0 weeks", "every 100000 weeks", "Smarch",
    "13/13/2027", "tomorrow", "yesterday", "next next year", "2027-13", "20000-01", "25:00",
)  # fmt: skip
TEXTS = (
    "🌱", "👩‍👩‍👧‍👦" * 20, "مرحبا", "שלום March", "\u202egnp.exe", "\u200f", "\u2066x",
    "a\u0301" * 200, "\x00", "\x1b[2J", "\x07\x08", "\u2028\u2029", "\ufeff", "\ufffd",
    "ﷺ", "ß", "İ", "ı", "ſ",
    "<b>bold</b>", "<script>alert(1)</script>", "*_`[]()~>#+-=|{}.!", "&lt;&amp;", "%s %n {0} {}",
    '=HYPERLINK("http://x","y")', "=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "'; DROP TABLE ideas; --",
    "$(reboot)", "`id`", "../../etc/passwd", "C:\\x", "a" * 100_000, "March " * 20_000,
    "\n" * 1000, " ", "\u3000", ".", ",,,", ":::", "???", '"', "'", "''", '""""', "\\", "/", "//",
    "1", "2", "yes", "no", "all", "none", "it", "that", "a",
)  # fmt: skip
HALVES = (
    "add to", "add to March", "add to March:", "add to March: ,,,", "March theme", "theme", "move",
    "move the", "move the notebook to", "swap", "swap March and", "swap March and March", "done",
    "done:", "done 0", "done -1", "put off", "put off days", "put off 3 days:", "not needed:",
    "undo", "undo 0", "undo -1", "redo", "use", "use 1 in", "let go", "bring back", "Idea:",
    "ideas for", "ship day", "ship day the", "ships", "March ships on", "closed",
    "Aldermoor closed",
    "Aldermoor closed 20-2 August", "Aldermoor closed from", "price", "we are", "we are -5",
    "boxes cost", "when", "why", "why not", "how is", "how is it", "what", "rehearse", "bring in",
    "leave it", "let in", "let a helper in", "send away", "send away me", "who is in", "history",
    "help", "help help", "/start", "/help", "/", "hello", "rename", "drop", "drop the notebook",
)  # fmt: skip
COMMANDS = (
    "done {n}", "put off {n} days", "put off {n} days: order notebook for 2027-03", "undo {n}",
    "use {n} in {d}", "let {n} go", "ideas for {d}", "how is {d}", "{d} theme {t}", "why {d}",
    "add to {d}: {t} from {t}, {n}, {n} working days, made in {t}", "move {t} to {d}",
    "add to March: tea from Brackenfold, {n}, {n} weeks", "swap {d} and {d}", "we are {n}",
    "the notebook costs {n}", "{n} of the notebook", "Aldermoor closed {d}", "ships {d}",
    "Aldermoor closed {d} to {d}", "March ships on {d}", "ship day {d}", "ship day {n}",
    "Aldermoor takes {n} days", "transit from Aldermoor {n} days", "lead time of the notebook {n}",
    "wake me at {d}", "price {n}", "our price is {n}", "pack {n} boxes an hour", "crew of {n}",
    "currency {t}", "we are in {t}", "time zone {t}", "call us {t}", "done: {t} for {d}",
    "Idea: {t} for {d}", "add {t} to {d}", "why {t} {d}", "when {t}", "when order {t} for {d}",
    "rehearse from {d} to {d}", "rehearse {n} days", "what is due in {n} days", "due by {d}",
    "Aldermoor deposit {n}%", "Aldermoor net {n} days", "Aldermoor works {t}", "we work {t}",
    "festival closure, {n} days either side of the lunar new year", "make {t} of {d}", "{t}: {t}",
    "{t}", "{d}", "{n}", "{t} {d} {n}", "{d}: {t}, {n}", "{h} {t}", "{h} {n}", "{h} {d}", "{h}",
)  # fmt: skip

HOLES = {"n": NUMBERS, "d": DATES, "t": TEXTS, "h": HALVES}


@st.composite
def texts(draw: st.DrawFn) -> str:
    """A message: a command whose holes are filled with what does not fit, or anything at all."""
    if draw(st.integers(0, 9)) == 0:
        return draw(st.text(max_size=300))
    said = draw(st.sampled_from(COMMANDS))
    for hole, fillings in HOLES.items():
        while f"{{{hole}}}" in said:
            filling = draw(st.sampled_from(fillings) | _sane(hole))
            said = said.replace(f"{{{hole}}}", filling, 1)
    return said.replace("\n", " ", 3) if draw(st.booleans()) else said


def _sane(hole: str) -> st.SearchStrategy[str]:
    """What does fit: so that one thing at a time is wrong, and changes are made too."""
    if hole == "n":
        return st.integers(1, 400).map(str) | st.decimals(0, 50, places=2).map(str)
    if hole == "d":
        return st.sampled_from(("March", "May", "2027-04", "15 March", "November", "this month"))
    names = ("the notebook", "Aldermoor", "tea", "Brackenfold", "Germany", "rain and roots", "it")
    return st.sampled_from(names if hole == "t" else HALVES)


EXTRAS: tuple[dict[str, Any], ...] = (
    {},
    {},
    {},
    {},
    {"pressed": True},
    {"edited": True},
    {"photo": "p1"},
    {"lost": True},
    {"forwarded_from": "Somebody"},
    {"document": "d1", "document_name": "year.csv", "content": b"month,theme\nMay,Rain\n"},
    {"document": "d1", "document_name": "\x00.xlsx", "content": b"PK\x03\x04 no workbook"},
    {"document": "d1", "document_name": "=1.csv", "content": b"\xff\xfe\x00=1,=2\r\n"},
)
