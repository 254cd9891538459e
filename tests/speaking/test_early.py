"""The voice that is loaded while the rest of the program is."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

from callout.speaking.early import load_voice, shared_renderer


def test_all_threads_get_the_same_voice() -> None:
    load_voice()
    with ThreadPoolExecutor(4) as pool:
        renderers = list(pool.map(lambda _: shared_renderer(), range(4)))
    assert len({id(renderer) for renderer in renderers}) == 1
    assert sum(len(part) for part in renderers[0].sentences("Doors.", 180)) > 1_000
