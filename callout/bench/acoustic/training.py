"""Trains the acoustic model on an accelerator (or, slowly, on the processor)."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from callout.bench.acoustic import torch_network
from callout.bench.acoustic.listening_rooms import Pool, Spoiler
from callout.bench.acoustic.rivals import Rivals
from callout.bench.acoustic.spoken_material import Spoken
from callout.hearing.embedded.lexicon import Lexicon, Phones
from callout.hearing.embedded.weights import Floats

BATCH, WINDOW = 128, 8
RIVALS_KEPT, RIVALS_USED, WAYS_USED = 24, 9, 3
KEPT_MEAN = 0.998


@dataclass(frozen=True, slots=True)
class Plan:
    """Number of steps, learning rate, and how often each group is drawn."""

    steps: int
    rate: float
    shares: dict[str, float]
    aims: torch_network.Aims
    seed: int = 0


RATES = {1: 3e-4, 2: 2e-4}
SHARES = {
    1: {"made": 0.94, "silence": 0.06},
    2: {"made": 0.28, "words": 0.45, "digits": 0.07, "rows": 0.13, "noise": 0.05, "silence": 0.02},
}
AIMS = {1: torch_network.Aims(0.5, 0.0), 2: torch_network.Aims(1.0, 0.3)}
"""First synthetic voices alone, then human voices too."""


def plan(part: int, steps: int, fold: int = 0) -> Plan:
    """Return the plan of the first or the second part of the training."""
    return Plan(steps, RATES[part], SHARES[part], AIMS[part], 10 * part + fold)


class Material:
    """Utterances with their places in the pool, their pronunciations and their rivals."""

    def __init__(self, spoken: Sequence[Spoken], lexicon: Lexicon, rivals: Rivals) -> None:
        self.spoken = [s for s in spoken if not s.words or lexicon.phrase(s.words)]
        lengths = [len(s.samples) for s in self.spoken]
        self.lengths = np.array(lengths, np.int64)
        self.starts = np.concatenate([[0], np.cumsum(lengths)[:-1]]).astype(np.int64)
        self.ways: list[list[Phones]] = []
        self.rivals: list[list[Phones]] = []
        chance, known = random.Random(6), dict[str, tuple[list[Phones], list[Phones]]]()
        for one in self.spoken:
            if one.words not in known:
                ways: list[Phones] = [*lexicon.phrase(one.words)[:WAYS_USED]] if one.words else [()]
                known[one.words] = ways, rivals.of(one.words, chance, RIVALS_KEPT)
            ways, others = known[one.words]
            self.ways.append(ways)
            self.rivals.append(others)

    def joined(self) -> Any:
        """Return all samples end to end."""
        return np.concatenate([s.samples for s in self.spoken])


def trained(
    pool: Pool, material: Material, keep: Sequence[int], plan: Plan, start: dict[str, Any]
) -> Any:
    """Return a network trained on the utterances numbered ``keep``, from ``start``; seeded."""
    import torch

    torch.manual_seed(plan.seed)
    torch.backends.cuda.matmul.allow_tf32 = True
    device = pool.voices.device
    net = torch_network.network().to(device)
    net.load_state_dict(start, strict=False)
    mean = {k: v.detach().clone() for k, v in net.state_dict().items()}
    head = [p for n, p in net.named_parameters() if n.startswith("head")]
    rest = [p for n, p in net.named_parameters() if not n.startswith("head")]
    fresh = "head.weight" not in start
    groups = [
        {"params": rest, "lr": plan.rate},
        {"params": head, "lr": plan.rate * (4 if fresh else 1)},
    ]
    bound = torch.tensor([0.3, 3.0], device=device, requires_grad=True)
    groups.append({"params": [bound], "lr": 10 * plan.rate, "weight_decay": 0.0})
    optimiser = torch.optim.AdamW(groups, weight_decay=0.02, betas=(0.9, 0.98))
    rates = [g["lr"] for g in groups]
    schedule = torch.optim.lr_scheduler.OneCycleLR(
        optimiser, rates, total_steps=plan.steps, pct_start=0.1
    )
    spoiler, chance = Spoiler(pool, plan.seed), random.Random(plan.seed)
    drawn = _drawn(material, keep, plan, chance)
    net.train()
    for step in range(plan.steps):
        batch = next(drawn)
        loss = _loss(net, spoiler, material, batch, chance, plan, bound)
        optimiser.zero_grad(set_to_none=True)
        loss.backward()
        torch.nn.utils.clip_grad_norm_(net.parameters(), 1.0)
        optimiser.step()
        schedule.step()
        _follow(mean, net, min(KEPT_MEAN, step / (step + 10)))
        if step % 200 == 0 or step == plan.steps - 1:
            print(f"step {step} of {plan.steps}: {loss.item():.3f}", flush=True)
    net.load_state_dict(mean)
    net.eval()
    return net


def _loss(
    net: Any,
    spoiler: Spoiler,
    material: Material,
    batch: Any,
    chance: random.Random,
    plan: Plan,
    bound: Any,
) -> Any:
    import torch

    device = next(net.parameters()).device
    starts = torch.from_numpy(material.starts[batch]).to(device)
    lengths = torch.from_numpy(material.lengths[batch]).to(device)
    with torch.no_grad():
        bands, count = spoiler.batch(starts, lengths)
    with torch.autocast(device.type, torch.bfloat16):
        log_probs, frames = net(bands, count)
    ways = [material.ways[i] for i in batch]
    used = [material.rivals[i] for i in batch]
    rivals = [chance.sample(r, min(RIVALS_USED, len(r))) for r in used]
    return torch_network.loss(log_probs.float(), frames, ways, rivals, plan.aims, bound)


def _drawn(material: Material, keep: Sequence[int], plan: Plan, chance: random.Random) -> Any:
    """Yield batches of similar length forever, drawing each group as often as the plan says."""
    by_group: dict[str, list[int]] = {}
    for i in keep:
        by_group.setdefault(material.spoken[i].group, []).append(i)
    names = [n for n in plan.shares if by_group.get(n)]
    weights = [plan.shares[n] for n in names]
    while True:
        picked = chance.choices(names, weights, k=BATCH * WINDOW)
        drawn = sorted(
            (chance.choice(by_group[n]) for n in picked), key=lambda i: material.lengths[i]
        )
        batches = [np.array(drawn[at : at + BATCH]) for at in range(0, len(drawn), BATCH)]
        chance.shuffle(batches)
        yield from batches


def _follow(mean: dict[str, Any], net: Any, kept: float) -> None:
    import torch

    now = net.state_dict()
    with torch.no_grad():
        torch._foreach_lerp_([mean[k] for k in mean], [now[k] for k in mean], 1.0 - kept)


def as_weights(net: Any) -> dict[str, Floats]:
    """Return the network's weights in the package's form, not yet rounded."""
    return {k: v.float().cpu().numpy() for k, v in net.state_dict().items()}


def as_state(weights: dict[str, Floats]) -> dict[str, Any]:
    """Return weights in the package's form as a state of the network."""
    import torch

    return {name: torch.from_numpy(values) for name, values in weights.items()}
