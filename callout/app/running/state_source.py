"""Where a session learns the positions of the controls: from a bridge or a recorded stream."""

from __future__ import annotations

import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from callout.app.running.wishes import Wishes
from callout.app.shared.checklist_files import FLIGHT_FILE, load_flight
from callout.app.shared.naming import state_recording
from callout.core.model.state_quantity import StateQuantity
from callout.core.sentences import session as sentences
from callout.errors import CalloutError

NETWORK_WARNING = sentences.STATE_NETWORK_WARNING


@contextmanager
def open_state_source(wishes: Wishes, declared: Mapping[str, StateQuantity]) -> Iterator[Wishes]:
    """Open the source of the aircraft's state, if it is wanted; raises CalloutError.

    declared: what the flight says its aircraft can report.
    """
    wish = wishes.state
    if wish is None or wishes.state_source is not None:
        yield wishes
        return
    if not declared:
        said = sentences.NO_STATE_DECLARED
        raise CalloutError(said, sentences.ADD_STATE)
    if wish.file is not None:
        from callout.state.recording import RecordedState, read_recording

        entries = read_recording(state_recording(wish.file))
        played = RecordedState(entries, declared, time.monotonic, wish.file.name)
        yield replace(wishes, state_source=played)
        return
    from callout.state.feed import Feed
    from callout.state.listening import LOOPBACK, StatePort, draw_token

    token = draw_token() if wish.network else ""
    address = "0.0.0.0" if wish.network else LOOPBACK
    port = StatePort(Feed(declared, time.monotonic), address, wish.port, token)
    port.open()
    wish.tell(bridge_address(port.port, token))
    try:
        yield replace(wishes, state_source=port)
    finally:
        port.close()


def declared_in(about: Mapping[str, str]) -> Mapping[str, StateQuantity]:
    """Return what the flight of a journal declares; nothing if its file has changed."""
    beside = Path(about.get("folder", "")) / FLIGHT_FILE if about.get("folder") else None
    file = about.get("flight") or beside
    try:
        return load_flight(file).state if file else {}
    except CalloutError:
        return {}


def bridge_address(port: int, token: str) -> str:
    """Return one line that says where a bridge must send."""
    if token:
        return f"State port: TCP {port}, WebSocket {port + 1}, open to this network; token {token}"
    return f"State port: 127.0.0.1, TCP and UDP {port}, WebSocket {port + 1}"
