"""What is said of the year as a web page, and what it means: every sentence is invented."""

from assistant.conversation.file_requests import SendPage
from assistant.conversation.requests import Request

PAGE: list[tuple[str, Request]] = [
    ("year as a web page", SendPage()),
    ("year 2027 as a web page", SendPage(2027)),
    ("send me the year as a page", SendPage()),
    ("Send me the year as a web page please", SendPage()),
    ("snd me the year as a webpage", SendPage()),
    ("the year as html", SendPage()),
    ("year as html file", SendPage()),
    ("can I have the year as one page?", SendPage()),
    ("web page of the year", SendPage()),
    ("webpage of the year pls", SendPage()),
    ("html of the year", SendPage()),
    ("html for 2027", SendPage(2027)),
    ("web page", SendPage()),
    ("make me a web page", SendPage()),
    ("make me a web page of the plan", SendPage()),
    ("page of the year", SendPage()),
    ("a page of the year 2028", SendPage(2028)),
    ("web page for next year", SendPage(2027)),
    ("2027 as a web page", SendPage(2027)),
    ("export the plan as html", SendPage()),
    ("the plan as a web page", SendPage()),
    ("year page", SendPage()),
    ("show me the year in my browser", SendPage()),
    ("the year as a page for my phone", SendPage()),
    ("yaer as a web page", SendPage()),
]
