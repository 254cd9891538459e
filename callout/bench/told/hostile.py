"""A stream that loses, reorders, dies, skews and lies, compared with the truth."""

from __future__ import annotations

import json
import random
from dataclasses import dataclass, field

from callout.core.model.state_quantity import StateQuantity
from callout.core.state.stream import QUIET_S, Stream, take_line, without_peer

DECLARED = {
    "beacon": StateQuantity("beacon"),
    "flap": StateQuantity("flap", positions=("up", "10", "20")),
    "fuel": StateQuantity("fuel", positions=(), unit="L"),
}
LOST = 0.3
RUN = 400
"""Messages of the true bridge before it dies and starts again."""
_SPREAD = 6.0
"""Places by which a message may come too late."""


@dataclass
class TrueBridge:
    """What is really set, and the messages that report it, in order."""

    lot: random.Random
    run: str = ""
    skew: float = 0.0
    truth: list[dict[str, str | int]] = field(default_factory=list)

    def begin(self, number: int) -> list[tuple[int, str]]:
        """Return the messages of one run, each with its number."""
        self.run, self.skew = f"true-{number}", self.lot.uniform(-1e6, 1e6)
        state: dict[str, str | int] = {"beacon": "off", "flap": "up", "fuel": 40}
        self.truth = []
        sent = []
        for seq in range(RUN):
            name = self.lot.choice(list(DECLARED))
            ways: tuple[str | int, ...] = DECLARED[name].positions or tuple(range(40))
            state = {**state, name: self.lot.choice(ways)}
            self.truth.append(state)
            whole = seq % 20 == 0
            told = state if whole else {name: state[name]}
            kind = "snapshot" if whole else "change"
            message = {"kind": kind, "run": self.run, "seq": seq, "values": told}
            time = seq * 0.1 * self.lot.choice((0.99, 1.0, 1.01)) + self.skew
            sent.append((seq, json.dumps({**message, "time": time})))
        return sent


def believed(seed: int, hostile: int) -> tuple[int, int, int]:
    """Return false readings that were believed, all readings believed, and lines fed.

    hostile: lines that mean harm, from other peers and, garbled, from the bridge's own. A reading
    is true when it is what was set at the newest message that came through.
    """
    lot = random.Random(seed)
    bridge, stream = TrueBridge(lot), Stream(DECLARED)
    at, untrue, known, lines, harm, number = 0.0, 0, 0, 0, 0, 0
    while harm < hostile:
        number += 1
        peer = f"bridge-{number}"
        sent = bridge.begin(number)
        kept = [sent[0], *(m for m in sent[1:] if lot.random() >= LOST)]
        order = sorted(kept, key=lambda m: m[0] and m[0] + lot.uniform(0, _SPREAD))
        at += QUIET_S
        hello = json.dumps({"kind": "hello", "version": 1, "run": bridge.run})
        stream, _ = take_line(stream, hello, peer, at)
        newest = 0
        for seq, line in order:
            at += 0.01
            stream, _ = take_line(stream, line, peer, at)
            newest, lines = max(newest, seq), lines + 1
            for _ in range(lot.randint(0, 4)):
                enemy = peer if lot.random() < 0.05 else f"enemy-{lot.randint(0, 5)}"
                stream, _ = take_line(stream, _harm(lot, bridge.run, enemy == peer), enemy, at)
                harm, lines = harm + 1, lines + 1
            values = stream.board.values
            known += len(values)
            truth = bridge.truth[newest]
            untrue += sum(str(truth[name]) != str(value) for name, value in values.items())
        stream = without_peer(stream, peer)
        untrue += len(stream.board.values)
    return untrue, known, lines


def _harm(lot: random.Random, run: str, own: bool) -> str:
    """Return a hostile line; from the bridge's own peer only an unreadable one."""
    lie = {"kind": "snapshot", "run": run, "seq": lot.randint(0, 2**32), "values": {"beacon": "on"}}
    garbled = [
        "", "{", "[" * 3_000, "\x00" * 50, json.dumps(lie)[:-4], "9" * 4_999, "x" * 70_000,
        '{"kind":"change","run":"a","seq":1,"values":{"beacon":NaN}}',
        json.dumps({**lie, "seq": -1}), json.dumps({**lie, "values": {"beacon": "on"}, "do": "x"}),
    ]  # fmt: skip
    if own:
        return lot.choice(garbled)
    stranger = {**lie, "run": f"other-{lot.randint(0, 9)}"}
    hello = {"kind": "hello", "version": 1, "run": stranger["run"]}
    return lot.choice([*garbled, json.dumps(lie), json.dumps(stranger), json.dumps(hello)])
