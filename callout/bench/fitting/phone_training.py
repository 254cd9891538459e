"""Train the phone reading (callout.hearing.embedded.phone_probe) on encoder frames."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from callout.hearing.embedded.lexicon import PHONES, Lexicon
from callout.hearing.embedded.phone_probe import Floats, PhoneProbe

HIDDEN = 160
BATCH = 32
DROP = 0.2


@dataclass(frozen=True, slots=True)
class Example:
    """Encoder frames (frames, 288) of one utterance and the words said; no words for noise."""

    frames: Floats
    words: str


def untrained_network() -> Any:
    """Return an untrained torch network with the probe's layers."""
    from torch import nn

    class Probe(nn.Module):  # type: ignore[misc, unused-ignore]
        def __init__(self) -> None:
            super().__init__()
            self.ln = nn.LayerNorm(288)
            self.c = nn.Conv1d(288, HIDDEN, 3, padding=1)
            self.c2 = nn.Conv1d(HIDDEN, HIDDEN, 3, padding=1)
            self.o = nn.Linear(HIDDEN, len(PHONES) + 1)
            self.drop = nn.Dropout(DROP)

        def forward(self, x: Any) -> Any:
            x = self.drop(self.ln(x)).transpose(1, 2)
            x = self.drop(self.c(x).relu())
            x = self.drop(self.c2(x).relu())
            return self.o(x.transpose(1, 2)).log_softmax(-1)

    return Probe()


def train_network(
    examples: Sequence[Example], lexicon: Lexicon, *, start: Any = None, epochs: int, rate: float
) -> Any:
    """Return a network trained with the CTC loss, from ``start`` or from nothing; seeded."""
    import torch

    torch.manual_seed(0)
    chance = random.Random(0)
    net = untrained_network()
    if start is not None:
        net.load_state_dict(start.state_dict())
    usable = [e for e in examples if not e.words or lexicon.phrase(e.words)]
    steps = epochs * -(-len(usable) // BATCH)
    optimiser = torch.optim.AdamW(net.parameters(), lr=rate, weight_decay=0.02)
    schedule = torch.optim.lr_scheduler.OneCycleLR(optimiser, rate, total_steps=steps)
    for _ in range(epochs):
        net.train()
        for batch in _batches(usable, chance):
            loss = _loss(net, batch, lexicon, chance)
            optimiser.zero_grad()
            loss.backward()
            torch.nn.utils.clip_grad_norm_(net.parameters(), 5.0)
            optimiser.step()
            schedule.step()
    net.eval()
    return net


def as_probe(net: Any) -> PhoneProbe:
    """Return the network as the package runs it, rounded to the 16 bits kept on disk."""
    kept = {k: v.numpy().astype(np.float16) for k, v in net.state_dict().items()}
    return PhoneProbe({k: v.astype(np.float32) for k, v in kept.items()})


def _batches(examples: Sequence[Example], chance: random.Random) -> list[list[Example]]:
    """Return shuffled batches of examples of similar length."""
    order = list(examples)
    chance.shuffle(order)
    window = BATCH * 20
    pools = [order[i : i + window] for i in range(0, len(order), window)]
    lined = [e for pool in pools for e in sorted(pool, key=lambda e: len(e.frames))]
    batches = [lined[i : i + BATCH] for i in range(0, len(lined), BATCH)]
    chance.shuffle(batches)
    return batches


def _loss(net: Any, batch: list[Example], lexicon: Lexicon, chance: random.Random) -> Any:
    import torch

    frames = [torch.from_numpy(e.frames.astype(np.float32)) for e in batch]
    said = [chance.choice(lexicon.phrase(e.words)) if e.words else () for e in batch]
    padded = torch.nn.utils.rnn.pad_sequence(frames, batch_first=True)
    return torch.nn.functional.ctc_loss(
        net(padded).transpose(0, 1),
        torch.tensor([p for phones in said for p in phones], dtype=torch.long),
        torch.tensor([len(f) for f in frames]),
        torch.tensor([len(p) for p in said]),
        zero_infinity=True,
    )
