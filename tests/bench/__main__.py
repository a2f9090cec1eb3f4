"""`python -m tests.bench NAME`: what is too long for a test."""

from __future__ import annotations

import sys
from importlib import import_module

BENCHES = {
    "book": "a planted week of 1,000 visits put into the book, loaded and saved, with its profile",
    "cluster": "a cluster of two workers: one large week, and twenty kitchens at once",
    "demo": "the demo week: first plan, quality after a while, memory",
    "engines": "insertion against the model, where insertion need not be exact",
    "kitchen": "planted weeks of 250 to 2,500 visits, beside plain CP-SAT and a rule by hand",
    "reshuffle": "plans broken in the middle: how soon a proposal, how good, what it moves",
    "small": "a thousand small planted weeks: all complete, none called impossible",
    "screens": "the chart in a browser: first, again, a click, also while it plans",
    "published": "published instances beside plain CP-SAT: proved, how far off, contradicted",
}
"""Each is a module of this folder with `main(arguments) -> exit code`."""


def main(arguments: list[str]) -> int:
    """Run one of them."""
    if not arguments or arguments[0] not in BENCHES:
        for name, what in BENCHES.items():
            print(f"python -m tests.bench {name:12} {what}")
        return 0 if not arguments or arguments[0] in ("-h", "--help") else 2
    module = import_module(f"tests.bench.{arguments[0]}")
    return int(module.main(arguments[1:]))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
