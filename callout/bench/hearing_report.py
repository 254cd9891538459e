"""Figures of a hearing run: shares with counts and Wilson intervals, and the trade-off curve."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from itertools import product
from pathlib import Path
from typing import Any

import numpy as np

from callout.bench.corpora import BOTH, OPPOSITE, CorpusKind
from callout.bench.hearing_trials import HearingTrial
from callout.bench.levels import UNTOUCHED, level_changes
from callout.bench.own_voice import LEVELS, challenge_condition, condition_name, contrary_condition
from callout.bench.own_voice_scenes import Way
from callout.core.model.intervals import wilson_interval
from callout.core.model.verdict import Verdict

HUMAN = ("clean", "20 dB", "10 dB", "5 dB")
Test = Callable[[HearingTrial], bool]


def hearing_figures(trials: list[HearingTrial]) -> dict[str, Any]:
    """Return every measure as ``{"hits", "of", "share", "low", "high"}`` by name."""
    rows: dict[str, Any] = {}
    for name in HUMAN:
        _words(rows, name, [t for t in trials if t.condition == name])
    _more(rows, trials)
    _digits(rows, trials)
    _levels(rows, trials)
    _own_voice(rows, trials)
    if (classes := twelve_classes(trials))["of"]:
        rows["12 classes, clean"] = classes
    rows["times"] = decision_times(trials)
    return rows


def _words(rows: dict[str, Any], name: str, some: list[HearingTrial]) -> None:
    replies = [t for t in some if t.kind is CorpusKind.REPLY]
    _add(rows, f"{name}: right reply accepted first time", replies, lambda t: t.right)
    _add(rows, f"{name}: contrary reply would be accepted", replies, _as_opposite)
    _add(rows, f"{name}: taken for any wrong reply", replies, _as_any_wrong)
    unrelated = [t for t in some if t.kind is CorpusKind.UNRELATED]
    _add(rows, f"{name}: unrelated speech accepted", unrelated, _accepted)
    _add(rows, f"{name}: unrelated taken for any reply", unrelated, lambda t: bool(t.taken_for))


def _levels(rows: dict[str, Any], trials: list[HearingTrial]) -> None:
    """Add what bad levels do, each recording compared with itself untouched."""
    by_name = {c.name: [t for t in trials if t.condition == c.name] for c in level_changes()}
    before = {t.name: t.right for t in by_name[UNTOUCHED]}
    compared: dict[str, int] = {}
    for name, some in by_name.items():
        _words(rows, name, some)
        if some and name != UNTOUCHED:
            compared[f"{name}: right only untouched"] = sum(
                before[t.name] and not t.right for t in some
            )
            compared[f"{name}: right only so"] = sum(t.right and not before[t.name] for t in some)
    if compared:
        rows["against the untouched"] = compared


def _own_voice(rows: dict[str, Any], trials: list[HearingTrial]) -> None:
    """Add replies with the tool's own voice over them, and that voice without a reply."""
    for way, level in product(Way, LEVELS):
        name = condition_name(way, level)
        some, others, nobody = (
            [t for t in trials if t.condition == c]
            for c in (name, contrary_condition(name), challenge_condition(name))
        )
        _add(rows, f"{name}: right reply accepted first time", some, lambda t: t.right)
        _add(rows, f"{name}: contrary reply accepted", others, _accepted)
        _add(rows, f"{name}: taken for any wrong reply", some, _as_any_wrong)
        _add(rows, f"{name}: own voice alone taken for anything", nobody, lambda t: t.sure)
        if way is Way.HEADSET:
            _add(rows, f"{name}: tool fell silent for a reply", some, lambda t: t.spoke_up)
            _add(rows, f"{name}: tool fell silent for itself", nobody, lambda t: t.spoke_up)


def _more(rows: dict[str, Any], trials: list[HearingTrial]) -> None:
    def of(condition: str) -> list[HearingTrial]:
        return [t for t in trials if t.condition == condition]

    _add(rows, "right within two tries", of("two tries"), lambda t: t.right)
    silence = [t for t in of("clean") if t.kind is CorpusKind.NOISE]
    _add(rows, "recorded background accepted", silence, lambda t: bool(t.taken_for))
    _add(rows, "made noises accepted", of("made noises"), lambda t: bool(t.taken_for))
    _add(rows, "own challenge voice accepted", of("own voice"), lambda t: bool(t.taken_for))
    _add(rows, "synthetic replies accepted first time", of("synthetic right"), _accepted)
    _add(rows, "synthetic wrong replies accepted", of("synthetic wrong"), _accepted)


def _digits(rows: dict[str, Any], trials: list[HearingTrial]) -> None:
    clean = [t for t in trials if t.condition == "clean" and t.kind is CorpusKind.REPLY]
    some = [t for t in clean if set(t.among) <= set(BOTH[10:])]
    _add(rows, "isolated digits accepted first time", some, lambda t: t.right)


def _accepted(trial: HearingTrial) -> bool:
    return trial.verdict == Verdict.MATCH.value


def _as_opposite(trial: HearingTrial) -> bool:
    return trial.taken_for == OPPOSITE[trial.said]


def _as_any_wrong(trial: HearingTrial) -> bool:
    return trial.taken_for not in ("", trial.said)


def _add(rows: dict[str, Any], name: str, trials: Iterable[HearingTrial], test: Test) -> None:
    kept = list(trials)
    if kept:
        rows[name] = share_interval(sum(test(t) for t in kept), len(kept))


def share_interval(hits: int, total: int) -> dict[str, float]:
    """Return a share with its 95 % Wilson interval."""
    low, high = wilson_interval(hits, total)
    return {
        "hits": hits,
        "of": total,
        "share": round(hits / total, 5) if total else 0.0,
        "low": round(low, 5),
        "high": round(high, 5),
    }


def twelve_classes(trials: list[HearingTrial]) -> dict[str, float]:
    """Return the accuracy over ten words, unknown and silence, as the data set's paper counts it.

    Warden, "Speech Commands", arXiv:1804.03209, section 7; refusing counts as "unknown", and
    silence as right when nothing is taken for a word.
    """
    some = [t for t in trials if t.condition == "clean" and len(t.among) == 10]
    some = [
        t for t in some if ("yes" in t.among and "_nohash_" in t.name) or t.kind is CorpusKind.NOISE
    ]
    right = sum(t.taken_for == (t.said if t.kind is CorpusKind.REPLY else "") for t in some)
    return share_interval(right, len(some))


def decision_times(trials: list[HearingTrial]) -> dict[str, float]:
    """Return medians and 95th percentiles in milliseconds, end-of-speech wait included."""
    replies = [t for t in trials if t.kind is CorpusKind.REPLY and t.waited_ms and t.heard]
    if not replies:
        return {}
    compute = [t.compute_ms for t in replies]
    whole = [t.compute_ms + t.waited_ms for t in replies]
    return {
        "decision compute, median ms": round(float(np.median(compute)), 1),
        "decision compute, 95th percentile ms": round(float(np.percentile(compute, 95)), 1),
        "end of speech to verdict, median ms": round(float(np.median(whole)), 1),
        "end of speech to verdict, 95th percentile ms": round(float(np.percentile(whole, 95)), 1),
    }


def figure_lines(rows: dict[str, Any]) -> list[str]:
    """Return the figures as a table for a terminal."""
    out = []
    for name, value in rows.items():
        if isinstance(value, dict) and "of" in value:
            interval = f"{value['low']:.2%} to {value['high']:.2%}"
            count = f"{value['hits']}/{value['of']}"
            out.append(f"{name:62} {count:>10}  {value['share']:8.2%}  ({interval})")
        elif isinstance(value, dict):
            out += [f"{key:62} {number:>10}" for key, number in value.items()]
        else:
            out.append(f"{name:62} {value}")
    return out


def draw_trade_off(trials: list[HearingTrial], path: Path) -> None:
    """Draw misses against false accepts at every threshold, both axes through the inverse normal.

    Martin et al., "The DET curve in assessment of detection task performance", Eurospeech 1997.
    """
    import matplotlib

    matplotlib.use("svg" if path.suffix == ".svg" else "agg")
    from statistics import NormalDist

    from matplotlib import pyplot

    probit = NormalDist().inv_cdf
    figure, axes = pyplot.subplots(figsize=(6, 5))
    for condition, style in zip(HUMAN, ("-", "--", "-.", ":"), strict=True):
        points = _curve([t for t in trials if t.condition == condition])
        if points:
            x, y = zip(*points, strict=True)
            axes.plot([probit(v) for v in x], [probit(v) for v in y], style, label=condition)
    ticks = (0.001, 0.005, 0.02, 0.05, 0.1, 0.2, 0.4)
    axes.set_xticks([probit(t) for t in ticks], [f"{t:.1%}" for t in ticks])
    axes.set_yticks([probit(t) for t in ticks], [f"{t:.1%}" for t in ticks])
    axes.set_xlabel("wrong or unrelated speech taken for a reply")
    axes.set_ylabel("right replies not accepted first time")
    axes.legend()
    axes.grid(alpha=0.3)
    _mark(axes, [t for t in trials if t.condition == "clean"], probit)
    figure.savefig(path, bbox_inches="tight")
    pyplot.close(figure)


def _curve(trials: list[HearingTrial]) -> list[tuple[float, float]]:
    replies = [t for t in trials if t.kind is CorpusKind.REPLY]
    unrelated = [t for t in trials if t.kind is CorpusKind.UNRELATED]
    points = []
    for threshold in np.linspace(0.02, 0.999, 120):
        rates = _rates(replies, unrelated, _at_least(float(threshold)))
        if rates and all(0.0005 < r < 0.6 for r in rates):
            points.append(rates)
    return points


def _at_least(threshold: float) -> Test:
    return lambda t: t.confidence >= threshold


def _rates(
    replies: list[HearingTrial], unrelated: list[HearingTrial], sure: Test
) -> tuple[float, float] | None:
    if not replies or not unrelated:
        return None
    missed = sum(not (sure(t) and t.heard == t.said) for t in replies)
    wrong = sum(sure(t) and t.heard in t.among and t.heard != t.said for t in replies)
    wrong += sum(sure(t) and t.heard in t.among for t in unrelated)
    return wrong / (len(replies) + len(unrelated)), missed / len(replies)


def _mark(axes: Any, trials: list[HearingTrial], probit: Callable[[float], float]) -> None:
    """Mark the chosen threshold on the clean curve."""
    replies = [t for t in trials if t.kind is CorpusKind.REPLY]
    rates = _rates(replies, [t for t in trials if t.kind is CorpusKind.UNRELATED], lambda t: t.sure)
    if rates and all(r > 0 for r in rates):
        axes.plot(probit(rates[0]), probit(rates[1]), "o", color="black")
        axes.annotate("chosen", (probit(rates[0]), probit(rates[1])), textcoords="offset points",
                      xytext=(6, 6))  # fmt: skip
