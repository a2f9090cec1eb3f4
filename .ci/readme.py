"""Print the block of README.md that stands under a marker, `<!-- ci:NAME -->`."""

import re
import sys
from pathlib import Path


def block(name: str, text: str) -> str:
    """The block of code under a marker."""
    found = re.findall(rf"<!-- ci:{name} -->\n```\w*\n(.*?)```", text, flags=re.DOTALL)
    if len(found) != 1:
        raise SystemExit(f"README.md has {len(found)} blocks under ci:{name}, not one")
    return str(found[0])


if __name__ == "__main__":
    readme = Path(__file__).resolve().parent.parent / "README.md"
    sys.stdout.write(block(sys.argv[1], readme.read_text(encoding="utf-8")))
