"""Ideas: kept, changed by editing their message, listed, put to use, let go, brought back.

Knows: the idea inbox; leaves what an item or a theme means to handle/plan. Must not know: how the
words were said. Invariants: an idea's id is that of the message that brought it, so that an edit
of the message finds it; an idea is never removed by anything but an undo or an edit that takes
its line away.
"""

from collections.abc import Iterable
from itertools import takewhile

from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.handle import plan, sitting
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.outcomes import about, answer, changed, in_rows
from assistant.conversation.messages import Button, Outcome, Reply
from assistant.conversation.replies import ideas as say
from assistant.conversation.replies.plain import MONTHS, box_name, short
from assistant.conversation.requests import (
    AddItem,
    BringIdeaBack,
    ItemFacts,
    KeepIdea,
    LetIdeaGo,
    ListIdeas,
    SetTheme,
    ShowIdea,
    UseIdea,
)
from assistant.planning.changes import find
from assistant.planning.deadlines import coming_box
from assistant.planning.model import Change, Idea, Put, Remove, Shop

SHOWN = 8  # ideas in one list
NAME = 60  # characters of an idea that become the name of an item


def keep(shop: Shop, request: KeepIdea, asked: Asked) -> Outcome:
    """Catch a thought, with the picture and the source of the message that brought it."""
    heard, message = asked.heard, asked.heard.message or asked.moment.ref
    # New records go last, so the ideas of this very message are the last ones.
    before = len(tuple(takewhile(lambda one: _is_of(one, message), reversed(shop.ideas))))
    idea = Idea(
        id=f"{message}#{before + 1}" if before else message,
        text=say.unwritten(request.text),
        at=asked.moment.now,
        by=asked.person.id,
        months=request.months,
        photo="" if before else heard.photo,
        link=request.link,
        source=request.source or heard.forwarded_from,
        votes=request.votes,
    )
    buttons = _instead(shop, idea, asked) if request.taken_for_one else ()
    return changed(shop, asked, (Put(idea),), (say.kept(idea),), buttons)


def _instead(shop: Shop, idea: Idea, asked: Asked) -> tuple[Button, ...]:
    """What words may have been that were taken for an idea: the theme that the sitting asked for,
    or something to be said otherwise."""
    help_too = Button("What you can say", sentences.help_on())
    box = asked.talk.sitting
    known = find(shop.boxes, box) if box else None
    if not box or (known and known.theme):
        return (help_too,)
    label = f"Theme of {box_name(box, asked.today)}"
    return (Button(label, sentences.use_idea(idea.id, box, as_theme=True)), help_too)


def _is_of(idea: Idea, message: str) -> bool:
    """Whether a message brought this idea; its second one has the id `<message>#2` and so on."""
    return idea.id == message or idea.id.startswith(f"{message}#")


def ideas_of(shop: Shop, message: str) -> tuple[Idea, ...]:
    """Return the ideas that one chat message brought, in the order of its lines."""
    if not message:
        return ()
    return tuple(idea for idea in shop.ideas if _is_of(idea, message))


def edit(
    olds: tuple[Idea, ...], news: tuple[KeepIdea, ...], photo: str
) -> tuple[tuple[Change, ...], tuple[str, ...]]:
    """Return the changes and lines that make the ideas of a message what it says now.

    `photo` is the picture that the message has now, "" where none came with the edit. Lines are
    paired in order; a new line is a new idea, and an idea whose line is gone is removed unless it
    was put to use.
    """
    changes: list[Change] = []
    lines: list[str] = []
    for old, new in zip(olds, news, strict=False):
        picture = photo if photo and old == olds[0] else old.photo
        idea = replace(old, text=say.unwritten(new.text), months=new.months)
        idea = replace(idea, link=new.link, photo=picture)
        idea = replace(idea, source=new.source or old.source, votes=max(new.votes, old.votes))
        if idea != old:
            changes.append(Put(idea))
            lines.append(say.changed(idea))
    gone = (old for old in olds[len(news) :] if old.state != "used")
    for old in gone:
        changes.append(Remove("ideas", old.id))
        lines.append(say.let_go(old))
    for number, new in enumerate(news[len(olds) :], len(olds) + 1):
        idea = replace(olds[0], id=f"{olds[0].id}#{number}", text=new.text, photo="")
        idea = replace(idea, months=new.months, link=new.link, state="waiting", box="")
        idea = replace(idea, source=new.source, votes=new.votes)
        changes.append(Put(idea))
        lines.append(say.kept(idea))
    return tuple(changes), tuple(lines)


# --- lists ----------------------------------------------------------------------------------


def show_list(shop: Shop, request: ListIdeas, asked: Asked) -> Outcome:
    """List ideas, newest first, by state, months and a word, a screen at a time; the numbers of
    all that were listed so far can be used afterwards."""
    found = _found(shop, request)
    title = say.heading(request.state, request.months, request.word)
    if not found:
        waiting = sum(idea.state == "waiting" for idea in shop.ideas)
        return answer(asked, (say.none(title, waiting),))
    first = min(request.start, len(found))
    last = min(first - 1 + SHOWN, len(found))
    numbered = list(enumerate(found[:last], 1))
    lines = [say.line(n, one, asked.today, request.months) for n, one in numbered[first - 1 :]]
    buttons = [*_first_buttons(first, found[first - 1], request, shop, asked)]
    options = [sentences.show_idea(idea.id) for _, idea in numbered]
    if last < len(found):
        lines.append(say.more(len(found) - last))
        same = sentences.list_ideas(request.months, request.word, request.state)
        options.append(sentences.further(last + 1, same))
        buttons.append(Button("More ideas", options[-1]))
    talk = replace(
        about(asked),
        ideas=tuple(idea.id for _, idea in numbered),
        options=tuple(options),
    )
    return answer(asked, lines, buttons, title=title, talk=talk)


def _found(shop: Shop, request: ListIdeas) -> list[Idea]:
    """The ideas that were asked for, newest first: one cheap pass for each thing asked."""
    found = [idea for idea in reversed(shop.ideas) if idea.state == request.state]
    if request.months:
        wanted = set(request.months)
        found = [idea for idea in found if not wanted.isdisjoint(idea.months)]
    if request.word:
        word = request.word.casefold()
        found = [one for one in found if word in f"{one.text} {one.link} {one.source}".casefold()]
    return found


def _first_buttons(
    number: int, first: Idea, request: ListIdeas, shop: Shop, asked: Asked
) -> Iterable[Button]:
    """Touches for the first of a list: use it where its month is known, let it go, or bring it
    back."""
    if first.state != "waiting":
        return (Button(f"Bring {number} back", sentences.bring_back(first.id)),)
    months = request.months or first.months
    go = Button(f"Let {number} go", sentences.let_go(first.id))
    if len(months) != 1:
        return (Button(f"Show {number}", sentences.show_idea(first.id)), go)
    return (_use_button(f"Use {number}", first, months[0], shop, asked), go)


def _use_button(label: str, idea: Idea, month: int, shop: Shop, asked: Asked) -> Button:
    box = coming_box(shop, month, asked.today)
    return Button(f"{label} in {MONTHS[month - 1]}", sentences.use_idea(idea.id, box))


def show(shop: Shop, request: ShowIdea, asked: Asked) -> Outcome:
    """Show one idea whole: "it" means this one, the numbers of the last list stay."""
    idea = find(shop.ideas, request.idea)
    if idea is None:
        return answer(asked, (say.gone(),))
    by = find(shop.people, idea.by)
    lines = say.whole(idea, by.name if by else "", idea.at.date(), asked.today)
    text = "\n".join(line for line in lines if line)
    reply = Reply(text=text, photo=idea.photo, buttons=in_rows(_what_next(idea, shop, asked)))
    talk = about(asked, item=idea.id)
    if idea.id in talk.ideas:
        options = tuple(sentences.show_idea(one) for one in talk.ideas)
        talk = replace(talk, options=options)
    else:
        talk = replace(talk, ideas=(idea.id,))
    return Outcome(replies=(reply,), notes=(Put(talk),) if talk != asked.talk else ())


def _what_next(idea: Idea, shop: Shop, asked: Asked) -> Iterable[Button]:
    if idea.state != "waiting":
        yield Button("Bring it back", sentences.bring_back(idea.id))
        return
    for month in idea.months[:2]:
        yield _use_button("Use", idea, month, shop, asked)
    yield Button("Let it go", sentences.let_go(idea.id))


# --- put to use, let go, brought back -------------------------------------------------------


def use(shop: Shop, request: UseIdea, asked: Asked) -> Outcome:
    """Put an idea to use: as an item of its name unless it is to be the theme. Where the plan
    refuses the item or the theme, the idea waits on."""
    idea = find(shop.ideas, request.idea)
    if idea is None:
        return answer(asked, (say.gone(),))
    if idea.state == "used":
        back = Button("Bring it back", sentences.bring_back(idea.id))
        stands = request.as_theme and idea.box == request.box
        return answer(asked, (say.used_already(idea, asked.today),), (back,), stands=stands)
    if request.as_theme:
        planned = sitting.set_theme(shop, SetTheme(request.box, short(idea.text, NAME)), asked)
    else:
        facts = ItemFacts(name=short(idea.text, NAME).rstrip("."))
        planned = plan.add_item(shop, AddItem(request.box, facts), asked)
    if not planned.changes:
        return planned
    used = replace(idea, state="used", box=request.box)
    first, *others = planned.replies
    first = replace(first, text=f"{first.text}\n{say.put_to_use(idea)}")
    return replace(planned, replies=(first, *others), changes=(*planned.changes, Put(used)))


def let_go(shop: Shop, request: LetIdeaGo, asked: Asked) -> Outcome:
    """Let an idea go."""
    idea = find(shop.ideas, request.idea)
    if idea is None:
        return answer(asked, (say.gone(),))
    if idea.state != "waiting":
        back = Button("Bring it back", sentences.bring_back(idea.id))
        stands = idea.state == "let go"
        return answer(asked, (say.stands(idea),), (back,), stands=stands)
    change = Put(replace(idea, state="let go"))
    return changed(shop, asked, (change,), (say.let_go(idea),))


def bring_back(shop: Shop, request: BringIdeaBack, asked: Asked) -> Outcome:
    """Let an idea wait again, whether it was used or let go."""
    idea = find(shop.ideas, request.idea)
    if idea is None:
        return answer(asked, (say.gone(),))
    if idea.state == "waiting":
        return answer(asked, (say.stands(idea),), stands=True)
    change = Put(replace(idea, state="waiting", box=""))
    was_in = idea.box if idea.state == "used" else ""
    return changed(shop, asked, (change,), (say.brought_back(idea, was_in, asked.today),))


HANDLERS: dict[type, Handler] = {
    KeepIdea: keep,
    ListIdeas: show_list,
    ShowIdea: show,
    UseIdea: use,
    LetIdeaGo: let_go,
    BringIdeaBack: bring_back,
}
