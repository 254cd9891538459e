"""Builds natural_replies.jsonl and fuller_replies.jsonl from the texts beside them.

Run ``python -m tests.data.make_natural_replies``.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
NAMES = ("natural_replies", "fuller_replies")
Pair = dict[str, Any]


def pairs_of(name: str) -> Iterator[Pair]:
    """Yield the labelled pairs of one text file in its order."""
    family, item = "", Pair()
    for line in (HERE / f"{name}.txt").read_text(encoding="utf-8").splitlines():
        if line.startswith("## "):
            family = line[3:]
        elif not line or line.startswith("#"):
            continue
        elif line[0] in "+-":
            label = "match" if line[0] == "+" else "refuse"
            for reply in line[1:].split(" ; "):
                yield {"family": family, **item, "reply": reply.strip(), "label": label}
        else:
            item = _item(line)


def _item(line: str) -> Pair:
    challenge, expect, wrong, options = (part.strip() for part in (f"{line} |||").split("|")[:4])
    accepted = [text.partition("~")[0].strip() for text in expect.split(" / ")]
    tolerance = expect.partition("~")[2].strip()
    item: Pair = {"expect": accepted if len(accepted) > 1 else accepted[0]}
    item |= {"challenge": challenge} if challenge else {}
    item |= {"wrong": [text.strip() for text in wrong.split(";")]} if wrong else {}
    item |= {"tolerance": tolerance} if tolerance else {}
    item |= {"actual_status": True} if "critical" in options else {}
    return item | ({"as_required": True} if "as required" in options else {})


def main() -> None:
    """Write both tables."""
    for name in NAMES:
        lines = [json.dumps(pair, ensure_ascii=False) for pair in pairs_of(name)]
        (HERE / f"{name}.jsonl").write_text("\n".join(lines) + "\n", encoding="utf-8")
        print(len(lines), "pairs in", name)


if __name__ == "__main__":
    main()
