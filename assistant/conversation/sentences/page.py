"""What the buttons about the web page of the year say; invariants as in the package."""


def year_page(year: int | None = None) -> str:
    """Ask for the year as a web page; None is the running one."""
    return "year as a web page" if year is None else f"year {year:04} as a web page"
