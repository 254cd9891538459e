"""Voices changed by rooms, crowds, engines and microphones: simulated on the accelerator, in
batches.

Speed perturbation as in Ko et al., Interspeech 2015; masks over time and bands as in Park et al.
(SpecAugment), Interspeech 2019; the rest is common practice. Everything is drawn at random.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from callout.bench.acoustic.made_noises import crowd_of, noises, room
from callout.hearing.embedded.acoustic import HOP, WINDOW, mel_bands
from callout.hearing.embedded.weights import Floats
from callout.ports.hearing import SAMPLE_RATE

LEAD_S, TAIL_S = (0.02, 0.45), (0.02, 0.6)
SPEEDS = (0.84, 1.2)
ROOMS = 640
CROWDS = (1, 1, 2, 3, 4, 5, 6, 6, 8, 12, 20, 30, 30)
"""People in each crowd."""


@dataclass(frozen=True, slots=True)
class Pool:
    """All voices end to end on the device, and the disturbances for them."""

    voices: Any
    """int16, (samples)."""
    noises: Any
    """float32, (kinds, NOISE_S seconds), root mean square 1."""
    crowds: Any
    """float32, (sizes, NOISE_S seconds)."""
    rooms: Any
    """float32, (ROOMS, samples): impulse responses, the direct sound first and of size 1."""


def pool(voices: Floats, crowd: Sequence[Floats], device: str, seed: int = 3) -> Pool:
    """Return the pool. voices: int16 samples end to end; crowd: voices used only as disturbance."""
    import torch

    rng = np.random.default_rng(seed)

    def there(values: Any, kind: Any) -> Any:
        return torch.from_numpy(np.asarray(values, kind)).to(device)

    return Pool(
        there(voices, np.int16),
        there(np.stack(list(noises(rng))), np.float32),
        there(np.stack([crowd_of(crowd, n, rng) for n in CROWDS]), np.float32),
        there(np.stack([room(rng) for _ in range(ROOMS)]), np.float32),
    )


class Spoiler:
    """Draws batches out of a pool: places, speeds, rooms, noises, microphones."""

    def __init__(self, pool: Pool, seed: int = 0) -> None:
        import torch

        self._pool = pool
        self._device = pool.voices.device
        self._chance = torch.Generator(self._device).manual_seed(seed)
        self._mel = torch.from_numpy(mel_bands().T.copy()).to(self._device)
        self._window = torch.hann_window(WINDOW, device=self._device)

    def batch(self, starts: Any, lengths: Any) -> tuple[Any, Any]:
        """Return log-mel spectrograms (batch, frames, 80) and their lengths in frames."""
        sound, count = self._placed(starts, lengths)
        sound = self._through(sound, self._pool.rooms, 0.55)
        sound = self._noisy(sound)
        sound = self._at_microphone(sound)
        bands = self._bands(sound, count)
        return self._masked(bands), count // HOP

    def _u(self, low: float, high: float, *shape: int) -> Any:
        import torch

        return low + (high - low) * torch.rand(shape, generator=self._chance, device=self._device)

    def _pick(self, share: float, count: int) -> Any:
        return self._u(0.0, 1.0, count) < share

    def _placed(self, starts: Any, lengths: Any) -> tuple[Any, Any]:
        import torch

        n = len(starts)
        speed = torch.where(self._pick(0.7, n), self._u(*SPEEDS, n), torch.ones_like(starts * 1.0))
        lead = self._u(*LEAD_S, n) * SAMPLE_RATE
        after = self._u(*TAIL_S, n) * SAMPLE_RATE
        count = (lead + lengths / speed + after).long()
        t = torch.arange(int(count.max()), device=self._device)[None]
        where = (t - lead[:, None]) * speed[:, None]
        inside = (where >= 0) & (where < lengths[:, None] - 1)
        below = where.clamp(min=0).floor().long().clamp(max=10**7)
        below = torch.minimum(below, (lengths - 2).clamp(min=0)[:, None])
        share = (where - below).clamp(0, 1)
        at = below + starts[:, None]
        voices = self._pool.voices
        sound = voices[at].float() * (1 - share) + voices[at + 1].float() * share
        sound = sound * inside
        return sound / sound.abs().amax(1, keepdim=True).clamp(min=1.0), count

    def _through(self, sound: Any, responses: Any, share: float) -> Any:
        """Return the sound with random rooms applied to a share of it; all of it is filtered
        too.
        """
        import torch

        n, count = sound.shape
        size = 1 << int(count + responses.shape[1] - 1).bit_length()
        which = torch.randint(len(responses), (n,), generator=self._chance, device=self._device)
        kernel = responses[which]
        alone = torch.zeros_like(kernel)
        alone[:, 0] = 1.0
        kernel = torch.where(self._pick(share, n)[:, None], kernel, alone)
        spectrum = torch.fft.rfft(sound, size) * torch.fft.rfft(kernel, size)
        spectrum = spectrum * self._colour(n, spectrum.shape[1])
        return torch.fft.irfft(spectrum, size)[:, :count]

    def _colour(self, n: int, bins: int) -> Any:
        """Return a microphone's gain at each frequency: a tilt, bumps, and a roll-off at both
        ends.
        """
        import torch

        knots = self._u(-5.0, 5.0, n, 1, 9)
        curve = torch.nn.functional.interpolate(knots, bins, mode="linear", align_corners=True)[
            :, 0
        ]
        curve = curve + self._u(-9.0, 9.0, n, 1) * torch.linspace(0, 1, bins, device=self._device)
        hertz = torch.linspace(0, SAMPLE_RATE / 2, bins, device=self._device)[None]
        high = torch.where(
            self._pick(0.25, n),
            self._u(3200.0, 7000.0, n),
            torch.full((n,), 9e3, device=self._device),
        )
        low = torch.where(
            self._pick(0.4, n), self._u(60.0, 350.0, n), torch.ones(n, device=self._device)
        )
        curve = curve - 24.0 * (hertz / high[:, None] - 1).clamp(min=0) * 8
        curve = curve - 12.0 * torch.log2((low[:, None] / hertz.clamp(min=20.0)).clamp(min=1.0))
        return 10 ** (curve.clamp(-60, 20) / 20)

    def _noisy(self, sound: Any) -> Any:
        import torch

        n, count = sound.shape
        loud = sound.abs() > 0.05 * sound.abs().amax(1, keepdim=True)
        power = (sound**2 * loud).sum(1) / loud.sum(1).clamp(min=1)
        level = power.sqrt().clamp(min=1e-3)
        steady = self._drawn(self._pool.noises, n, count)
        people = self._drawn(self._pool.crowds, n, count)
        ratio = torch.where(self._pick(0.6, n), self._u(-3.0, 26.0, n), self._u(26.0, 55.0, n))
        out = sound + steady * (level * 10 ** (-ratio / 20))[:, None]
        ratio = torch.where(
            self._pick(0.33, n), self._u(3.0, 22.0, n), torch.full((n,), 99.0, device=self._device)
        )
        return out + people * (level * 10 ** (-ratio / 20))[:, None]

    def _drawn(self, kinds: Any, n: int, count: int) -> Any:
        import torch

        which = torch.randint(len(kinds), (n,), generator=self._chance, device=self._device)
        latest = max(kinds.shape[1] - count, 1)
        start = torch.randint(latest, (n,), generator=self._chance, device=self._device)
        at = start[:, None] + torch.arange(count, device=self._device)[None]
        return kinds[which[:, None], at.clamp(max=kinds.shape[1] - 1)]

    def _at_microphone(self, sound: Any) -> Any:
        """Return the sound at full scale or far below it, sometimes clipped, in 16 bits."""
        import torch

        n = len(sound)
        peak = sound.abs().amax(1, keepdim=True).clamp(min=1e-6)
        top = torch.where(
            self._pick(0.1, n), self._u(0.2, 0.8, n), torch.ones(n, device=self._device)
        )
        sound = torch.clamp(sound / peak, -top[:, None], top[:, None]) / top[:, None]
        scale = torch.where(self._pick(0.2, n), self._u(60.0, 1500.0, n), self._u(3e3, 3e4, n))
        return (sound * scale[:, None]).round() / 32768.0

    def _bands(self, sound: Any, count: Any) -> Any:
        import torch

        t = torch.arange(sound.shape[1], device=self._device)[None]
        sound = sound * (t < count[:, None])
        padded = torch.nn.functional.pad(sound[:, None], (WINDOW // 2, WINDOW // 2), "reflect")[
            :, 0
        ]
        frames = padded.unfold(1, WINDOW, HOP)[:, : sound.shape[1] // HOP]
        power = torch.fft.rfft(frames * self._window).abs() ** 2
        bands = torch.log10((power @ self._mel).clamp(min=1e-10))
        inside = torch.arange(bands.shape[1], device=self._device)[None] < (count // HOP)[:, None]
        top = bands.masked_fill(~inside[:, :, None], -20.0).amax((1, 2), keepdim=True)
        return (torch.maximum(bands, top - 8.0) + 4.0) / 4.0

    def _masked(self, bands: Any) -> Any:
        import torch

        n, count, width = bands.shape
        for size, most, axis in ((count, 7, 1), (width, 14, 2), (width, 8, 2)):
            wide = self._u(0.0, float(most), n) * self._pick(0.5, n)
            at = self._u(0.0, 1.0, n) * size
            t = torch.arange(size, device=self._device)[None]
            hidden = (t >= at[:, None]) & (t < (at + wide)[:, None])
            hidden = hidden[:, :, None] if axis == 1 else hidden[:, None, :]
            bands = torch.where(hidden, bands.mean((1, 2), keepdim=True), bands)
        return bands
