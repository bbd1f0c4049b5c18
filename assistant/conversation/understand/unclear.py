"""Why a piece of a sentence could not be taken as it stands. Knows nothing but the words for it."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Unclear:
    """`why` ends the sentence "I read ..., but <why>". Each of `offers` is (label, what to say in
    place of the unclear piece); `whole` says that it replaces the whole sentence. `stray` says that
    the words may be about something else altogether."""

    why: str
    offers: tuple[tuple[str, str], ...] = ()
    whole: bool = False
    stray: bool = False

    def said(self, before: str) -> "Unclear":
        """The same with offers that are whole sentences: each after the words that go before."""
        offers = tuple((label, f"{before}{says}") for label, says in self.offers)
        return Unclear(self.why, offers, whole=True, stray=self.stray)


def in_a_sentence(sentence: str) -> str:
    """A sentence as it stands behind "I read ..., but"."""
    keeps = sentence.startswith(("I ", "I'"))
    return (sentence if keeps else sentence[:1].lower() + sentence[1:]).rstrip(".")
