"""The acoustic model in torch, to be trained; the same layers as callout.hearing.embedded.acoustic.

It is trained to name phones (connectionist temporal classification, Graves et al., ICML 2006) and,
at the same time, to rank the spoken words above similar ones: replies are decided on the latter
(maximum mutual information over a short list; Povey, "Discriminative training for large vocabulary
speech recognition", 2005).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from callout.hearing.embedded.acoustic import BANDS, HEADS, WIDTH, position_codes
from callout.hearing.embedded.lexicon import PHONES, Phones
from callout.hearing.embedded.weights import Floats

LAYERS = 4
"""Number of attention blocks."""
DROP = 0.1
MARGIN = 1.0
"""Log-odds by which the spoken words should lead over each rival."""


@dataclass(frozen=True, slots=True)
class Aims:
    """Weights of the two objectives beside naming the phones."""

    told: float = 0.5
    """The spoken words lead over each rival."""
    known: float = 0.0
    """The spoken words are above one common bound, and the rivals below it."""


def network() -> Any:
    """Return an untrained network; its input is (batch, frames, 80) with lengths in frames."""
    from torch import nn
    from torch.nn import functional as f

    class Block(nn.Module):  # type: ignore[misc, unused-ignore]
        def __init__(self) -> None:
            super().__init__()
            self.norm1, self.norm2 = nn.LayerNorm(WIDTH), nn.LayerNorm(WIDTH)
            self.qkv, self.out = nn.Linear(WIDTH, 3 * WIDTH), nn.Linear(WIDTH, WIDTH)
            self.up, self.down = nn.Linear(WIDTH, 4 * WIDTH), nn.Linear(4 * WIDTH, WIDTH)
            self.drop = nn.Dropout(DROP)

        def forward(self, x: Any, seen: Any) -> Any:
            batch, count, _ = x.shape
            parts = self.qkv(self.norm1(x)).view(batch, count, 3, HEADS, WIDTH // HEADS)
            query, key, value = parts.permute(2, 0, 3, 1, 4)
            mixed = f.scaled_dot_product_attention(query, key, value, attn_mask=seen)
            x = x + self.drop(self.out(mixed.transpose(1, 2).reshape(batch, count, WIDTH)))
            wide = f.gelu(self.up(self.norm2(x)), approximate="tanh")
            return x + self.drop(self.down(wide))

    class Reader(nn.Module):  # type: ignore[misc, unused-ignore]
        def __init__(self) -> None:
            super().__init__()
            self.conv1 = nn.Conv1d(BANDS, WIDTH, 3, padding=1)
            self.conv2 = nn.Conv1d(WIDTH, WIDTH, 3, padding=1, stride=2)
            self.blocks = nn.ModuleList(Block() for _ in range(LAYERS))
            self.norm = nn.LayerNorm(WIDTH)
            self.head = nn.Linear(WIDTH, len(PHONES) + 1)

        def forward(self, bands: Any, lengths: Any) -> tuple[Any, Any]:
            import torch

            inside = _inside(lengths, bands.shape[1])
            x = (bands * inside[:, :, None]).transpose(1, 2)
            x = f.gelu(self.conv1(x), approximate="tanh") * inside[:, None, :]
            x = f.gelu(self.conv2(x), approximate="tanh").transpose(1, 2)
            after = (lengths - 1) // 2 + 1
            x = x + torch.from_numpy(position_codes(x.shape[1])).to(x)
            seen = _inside(after, x.shape[1])[:, None, None, :].bool()
            for block in self.blocks:
                x = block(x, seen)
            return self.head(self.norm(x)).float().log_softmax(-1), after

    return Reader()


def _inside(lengths: Any, count: int) -> Any:
    import torch

    return (torch.arange(count, device=lengths.device)[None] < lengths[:, None]).float()


def begun(published: Mapping[str, Floats]) -> dict[str, Any]:
    """Return an initial state from the published encoder, without the last layer.

    published: arrays as ``callout.hearing.second_opinion.published`` reads them.
    """
    import torch

    names = {"conv1": "conv1", "conv2": "conv2", "layer_norm": "norm"}
    inside = {
        "self_attention/layer_norm": "norm1", "ffn/layer_norm": "norm2",
        "self_attention/linear_0": "qkv", "self_attention/linear_1": "out",
        "ffn/linear_0": "up", "ffn/linear_1": "down",
    }  # fmt: skip
    for layer in range(LAYERS):
        names |= {f"layer_{layer}/{a}": f"blocks.{layer}.{b}" for a, b in inside.items()}
    kinds = {"weight": "weight", "gamma": "weight", "bias": "bias", "beta": "bias"}
    state = {}
    for theirs, ours in names.items():
        for kind, mine in kinds.items():
            if (found := published.get(f"encoder/{theirs}/{kind}")) is not None:
                state[f"{ours}.{mine}"] = torch.from_numpy(np.array(found, np.float32))
    return state


def loss(
    log_probs: Any,
    lengths: Any,
    ways: Sequence[Any],
    rivals: Sequence[Any],
    aims: Aims,
    bound: Any,
) -> Any:
    """Return the mean loss of a batch.

    log_probs: (batch, frames, phones + 1). ways: for each utterance the pronunciations of what was
    said, one of them empty for noise. rivals: pronunciations of other phrases. bound: two trained
    numbers, the slope and the height of the bound for all.
    """
    import torch

    rows = [(i, p) for i, w in enumerate(ways) for p in w]
    first = len(rows)
    rows += [(i, p) for i, r in enumerate(rivals) for p in r]
    scores = likelihoods(log_probs, lengths, rows)
    who = torch.tensor([i for i, _ in rows], device=scores.device)
    said = _summed(scores[:first], who[:first], len(ways))
    against = _summed(scores[first:] + MARGIN, who[first:], len(ways))
    size = torch.tensor([max(len(w[0]), 1) for w in ways], device=scores.device)
    spelled = (-said / size).clamp(max=50.0)
    told = torch.nn.functional.softplus((against - said).clamp(max=30.0))
    heard = said > -1e8
    total = spelled + aims.told * told
    if aims.known:
        mine, theirs = (bound[0] * x.clamp(min=-60.0) + bound[1] for x in (said, against - MARGIN))
        softplus = torch.nn.functional.softplus
        total = total + aims.known * (softplus(-mine) + softplus(theirs))
    return (total * heard).sum() / heard.sum().clamp(min=1)


def likelihoods(log_probs: Any, lengths: Any, rows: Sequence[tuple[int, Phones]]) -> Any:
    """Return the log-likelihood of each (utterance, pronunciation)."""
    import torch

    which = torch.tensor([i for i, _ in rows], device=log_probs.device)
    result = torch.nn.functional.ctc_loss(
        log_probs[which].transpose(0, 1),
        torch.tensor([p for _, phones in rows for p in phones], device=log_probs.device),
        lengths[which],
        torch.tensor([len(phones) for _, phones in rows], device=log_probs.device),
        reduction="none",
    )
    return torch.where(result.isfinite(), -result, torch.full_like(result, -1e9))


def _summed(scores: Any, who: Any, count: int) -> Any:
    """Return the log of the summed likelihoods of each utterance's rows."""
    import torch

    top = torch.full((count,), -1e9, device=scores.device).scatter_reduce(
        0, who, scores.detach(), "amax"
    )
    parts = torch.zeros(count, device=scores.device).scatter_add(0, who, (scores - top[who]).exp())
    return top + parts.clamp(min=1e-30).log()
