"""What is said of who does what, who sees what, who is away.

Knows: people, deadlines and deeds, and how they are read on a phone. Must not know: who may do what
(handle/crew). Invariants: a refusal about money names what can be asked instead; a helper is never
told that there is something to be seen, only whose it is to see.
"""


# --- money ----------------------------------------------------------------------------------


def no_money(what: str) -> tuple[str, ...]:
    """Refuse to tell a helper of money."""
    return (
        f"I read a question about {what}. Money is for the owners to see, unless they let you.",
        "You can ask for the rest, for example: how is March",
    )


def no_money_here(what: str) -> tuple[str, ...]:
    """Refuse to tell an owner of money where others read along."""
    return (
        f"I read a question about {what}. I tell no money in a group, where others read along.",
        "Ask me in our own chat; here, for example: how is March",
    )
