"""Every figure: `python -m tests.bench`; those of one table: `python -m tests.bench chat`."""

import sys
from importlib import import_module
from pathlib import Path

NAMES = sorted(
    path.stem.removeprefix("bench_") for path in Path(__file__).parent.glob("bench_*.py")
)


def main(wanted: list[str]) -> int:
    """Print the tables of these names, or all."""
    unknown = set(wanted) - set(NAMES)
    if unknown:
        print(f"There is no table {', '.join(sorted(unknown))}. There are: {', '.join(NAMES)}")
        return 2
    for name in wanted or NAMES:
        print(f"\n== {name} ==")
        import_module(f"tests.bench.bench_{name}").main()
    return 0


sys.exit(main(sys.argv[1:]))
