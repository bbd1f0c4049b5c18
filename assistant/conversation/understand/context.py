"""What a sentence is understood against."""

from dataclasses import dataclass
from datetime import date

from assistant.planning.model import Shop, Talk


@dataclass(frozen=True, slots=True)
class Context:
    """The shop, what the chat was last about, and the shop's local day."""

    shop: Shop
    talk: Talk
    today: date

    @property
    def month(self) -> str:
        """The id of this month's box."""
        return f"{self.today:%Y-%m}"
