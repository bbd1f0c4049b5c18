"""Ways to talk of ideas, files, history, people, help.

Knows: the requests of these. Must not know: how a line is matched. Invariant: an idea is kept in
its own words.
"""

from assistant.conversation.requests import (
    BringIdeaBack,
    BringIn,
    Hello,
    Help,
    LeaveOut,
    LetIdeaGo,
    LetIn,
    ListIdeas,
    SendAway,
    ShowIdea,
    ShowPeople,
    Undo,
    UseIdea,
)
from assistant.conversation.sentences import use_idea
from assistant.conversation.understand.boxes import next_boxes
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.reading import Build, Built, Phrasing
from assistant.conversation.understand.thoughts import idea_of
from assistant.conversation.understand.unclear import Unclear
from assistant.planning.model import IdeaState, Role


def _idea(_c: Context, text: str, months: tuple[int, ...] = ()) -> Built:
    return idea_of(text, months)


def _list(_c: Context, months: tuple[int, ...] = (), word: str = "") -> Built:
    return ListIdeas(months=months, word=word)


def _used(state: IdeaState) -> Build:
    return lambda _c, months=(), word="": ListIdeas(months=months, word=word, state=state)


def _use(_c: Context, idea: str, box: str) -> Built:
    return UseIdea(idea, box)


def _use_theme(_c: Context, idea: str, box: str) -> Built:
    return UseIdea(idea, box, as_theme=True)


def _use_where(c: Context, idea: str) -> Built:
    offers = tuple((label, use_idea(idea, id)) for label, id in next_boxes(c))
    return Unclear("I do not know in which month", offers, whole=True)


def _undo(_c: Context, n: int | None = None) -> Built:
    return Undo(n)


def _let_in(role: Role, group: bool = False) -> Build:
    return lambda _c: LetIn(role, group)


def _help(_c: Context, topic: str = "") -> Built:
    return Help(topic.strip()[:40])


def _row(name: str, pattern: str, build: Build, gist: str, example: str, **more: bool) -> Phrasing:
    return Phrasing(name, pattern, build, gist, example, **more)


_IDEA, _LIST, _USE = "an idea", "a list of ideas", "an idea to use"

TABLE: tuple[Phrasing, ...] = (
    _row(
        "ideas",
        """
        (ideas|list ideas|show ideas|show the ideas|show me the ideas|my ideas|all ideas)
        (what ideas do i have|the ideas|list the ideas|idea inbox|inbox|which ideas are there)
        [list |show |show me |any |all |what |my ][the ]ideas (for|in|of) {months:months}
        [list |show |any |all ][the ]{months:months} ideas
        [list |show |any ][the ]ideas (for|in|of) {months:months} (about|with|on) {word:text}
        """,
        _list,
        _LIST,
        "ideas",
        asks=True,
    ),
    _row(
        "used",
        """
        [list |show ][the ](used ideas|ideas used|ideas in use)
        [list |show ][the ]used ideas (for|in) {months:months}
        """,
        _used("used"),
        _LIST,
        "used ideas",
        asks=True,
    ),
    _row(
        "let go",
        """
        [list |show ][the ](ideas let go|let go ideas|ideas i let go)
        """,
        _used("let go"),
        _LIST,
        "ideas let go",
        asks=True,
    ),
    _row(
        "ideas",
        """
        [list |show |show me |find |search |any ][the ][my ]ideas (about|with|like) {word:text}
        [list |show |show me |find |search |any ][the ][my ]ideas (on|containing) {word:text}
        [list |show |show me |find |search |any ][the ][my ]ideas matching {word:text}
        """,
        _list,
        _LIST,
        "ideas about lantern",
        asks=True,
    ),
    _row(
        "show idea",
        """
        (show|show me|see|open|read) (idea|number) {idea:idea}
        idea {idea:idea}
        show {idea:idea}
        """,
        lambda _c, idea: ShowIdea(idea),
        "an idea to show",
        "show idea 1",
        asks=True,
    ),
    _row(
        "idea",
        """
        (idea|an idea|new idea|another idea) for {months:months}(:| -|,) {text:words}
        (idea|new idea) for {months:months} {text:words}
        (idea|an idea|new idea)(:| -|,) {text:words}
        {months:months} idea[:] {text:words}
        """,
        _idea,
        _IDEA,
        "idea for November: lantern walk",
    ),
    _row(
        "use theme",
        """
        use {idea:idea} (as|for) [the |a ]theme (of|for|in) {box:box}
        use {idea:idea} (in|for) {box:month} as [the |a |its ]theme
        """,
        _use_theme,
        _USE,
        "use 1 as the theme of November",
    ),
    _row(
        "use",
        """
        (use|put) {idea:idea} (in|for|into|to) {box:box}
        """,
        _use,
        _USE,
        "use 1 in November",
    ),
    _row(
        "let go",
        """
        let [go of ]{idea:idea}[ go]
        (forget|drop|delete|remove|let go of) idea {idea:idea}
        """,
        lambda _c, idea: LetIdeaGo(idea),
        "an idea to let go",
        "let 2 go",
    ),
    _row(
        "bring back",
        """
        (bring back|bring) {idea:idea}[ back]
        """,
        lambda _c, idea: BringIdeaBack(idea),
        "an idea to bring back",
        "bring back 2",
    ),
    _row(
        "bring in",
        """
        (bring it in|bring in|bring them in|import it)
        (import|take it in|bring in the file|bring the file in)
        """,
        lambda _c: BringIn(),
        "a file to bring in",
        "bring it in",
    ),
    _row(
        "leave out",
        """
        (leave it|leave it out|leave out|don't bring it in)
        (do not bring it in|leave the file|leave them)
        """,
        lambda _c: LeaveOut(),
        "a file to leave",
        "leave it",
    ),
    _row(
        "undo",
        """
        undo[ that| it| the last| the last one| last| this]
        (take that back|take it back|undo the last change)
        undo [change |number |no ]{n:count}
        """,
        _undo,
        "an undo",
        "undo",
    ),
    _row(
        "put back",
        """
        (put it back|put that back|redo|redo that|undo the undo)[ again]
        """,
        lambda _c: Undo(again=True),
        "an undo to put back",
        "put it back",
    ),
    _row(
        "let in",
        """
        (let|invite|add) [in ](a helper|helper|someone|somebody|a person|a colleague)[ in]
        """,
        _let_in("helper"),
        "someone to let in",
        "let a helper in",
    ),
    _row(
        "let in",
        """
        (let|invite) [in ](an owner|another owner|a second owner)[ in]
        """,
        _let_in("owner"),
        "someone to let in",
        "let another owner in",
    ),
    _row(
        "let in",
        """
        (let|add) [in ](this group|the group|this chat|us all)[ in]
        """,
        _let_in("helper", True),
        "a group to let in",
        "let this group in",
    ),
    _row(
        "let in",
        """
        (a code for a helper|code for a helper|new code|helper code)
        """,
        _let_in("helper"),
        "someone to let in",
        "a code for a helper",
    ),
    _row(
        "people",
        """
        (who is in|who's in|whos in|who is here|who was let in|people)
        (show people|who has access|who can see this|helpers|list people)
        """,
        lambda _c: ShowPeople(),
        "who is in",
        "who is in",
        asks=True,
    ),
    _row(
        "send away",
        """
        send {person:person} away
        (send away|lock out|remove helper|remove person) {person:person}
        """,
        lambda _c, person: SendAway(person),
        "someone to send away",
        "send Anna away",
    ),
    _row(
        "hello",
        """
        (hello|hi|hey|good morning|good evening|good afternoon)[ twelvefold]
        (morning|hiya|hello there|start|/start)[ twelvefold]
        """,
        lambda _c: Hello(),
        "a greeting",
        "hello",
        asks=True,
    ),
    _row(
        "help",
        """
        (help|/help|what can i say|what can you do|commands|how does this work|what can i do)
        (how do i use this|how do you work|what do you do|help me|menu|instructions)
        (help|/help)[ on| with| about][:] {topic:text}
        """,
        _help,
        "a call for help",
        "help",
        asks=True,
    ),
)

HALVES: tuple[Phrasing, ...] = (
    _row(
        "use",
        """
        use {idea:idea}
        """,
        _use_where,
        _USE,
        "use 1 in November",
        half=True,
    ),
)
