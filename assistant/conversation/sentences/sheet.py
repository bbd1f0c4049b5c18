"""What the buttons of the year sheet say; invariants as in the package."""

from typing import Literal

Form = Literal["picture", "page", "words"]

_FORMS: dict[Form, str] = {"picture": "", "page": " to print", "words": " in words"}


def year_sheet(
    year: int | None = None,
    quarter: int | None = None,
    form: Form = "picture",
) -> str:
    """Ask for the year sheet, or for one quarter (1..4) of it, as a picture, to print or in
    words."""
    said = "year sheet" if year is None else f"year sheet {year:04}"
    return f"{said}{f' quarter {quarter}' if quarter else ''}{_FORMS[form]}"
