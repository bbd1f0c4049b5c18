"""Why a piece of a sentence could not be taken as it stands."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Unclear:
    """`why` ends the sentence "I read ..., but <why>". Each of `offers` is (label, what to say in
    place of the unclear piece); `whole` says that it replaces the whole sentence."""

    why: str
    offers: tuple[tuple[str, str], ...] = ()
    whole: bool = False
