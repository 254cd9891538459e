"""The options that were given on the command line."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING

from callout.app.running.shared_view import NotShared, Sharing
from callout.app.shared.settings import Settings
from callout.core.conversation.pacing import Challenger, FlowMode
from callout.core.conversation.withholding import Reveal
from callout.ports.keys import Keys
from callout.ports.listening import Listener
from callout.ports.state import StateSource
from callout.ports.view import View
from callout.speaking.played_log import PlayedLog

if TYPE_CHECKING:
    from callout.web.panel import PanelHub

PORT = 8760
"""Always the same, so that a page left open finds the next session."""
STATE_PORT = 8770
"""Always the same, so that a bridge finds the next session."""


@dataclass(frozen=True, slots=True)
class GlanceWish:
    """How the glance page is to be opened."""

    network: bool = False
    """Open to the home network, not only to this machine."""
    port: int = PORT
    """TCP port of the page; 0: any free one."""
    address: str = ""
    """The single address of this machine at which to open it; empty: loopback, or all."""
    panel: PanelHub | None = None
    """The panel of a simulated aircraft, shown at /panel."""


@dataclass(frozen=True, slots=True)
class StateWish:
    """Where the positions of the aircraft's controls come from."""

    file: Path | None = None
    """A recorded stream; None: listen for a bridge."""
    port: int = STATE_PORT
    """Port on which a bridge is expected."""
    network: bool = False
    """Open to the home network, with a token."""
    tell: Callable[[str], None] = lambda line: None
    """Is given one line that says where a bridge must send."""


class HearingKind(Enum):
    """Where replies come from, apart from the keyboard."""

    AUTO = "auto"
    """The microphone, unless replies come from a pipe."""
    MICROPHONE = "microphone"
    KEYBOARD = "keyboard"


@dataclass(frozen=True, slots=True)
class Wishes:
    """The options of a session."""

    hearing: HearingKind = HearingKind.AUTO
    voice: bool | None = None
    """None: the setting, but silent if replies come from a pipe."""
    plain: bool = False
    microphone: str = ""
    """Name of the device; empty: the setting, else the platform's default."""
    engine: str = "auto"
    flow: FlowMode | None = None
    """None: the setting."""
    reveal: Reveal | None = None
    """When to reveal the right reply; None: the setting."""
    crew_challenges: bool = False
    """Two people: one challenges, the other responds."""
    replies: tuple[Path, ...] = ()
    """Recordings, or folders of them, instead of the microphone."""
    played: PlayedLog | None = None
    """Keeps what the voice plays, if the ear removes it from what it hears."""
    listener: Listener | None = None
    """Listener to use instead of all these."""
    keys: Keys | None = None
    """Keys to use instead of the keyboard."""
    view: View | None = None
    """View to use instead of the terminal."""
    on_page: bool = False
    """A person answers on a page, whatever standard input is."""
    glance: GlanceWish | None = None
    """Also show the session on a page."""
    shared: Sharing | NotShared | None = None
    """The page, once it is open, or why it is not."""
    state: StateWish | None = None
    """Compare replies with the state of the aircraft."""
    state_source: StateSource | None = None
    """Its source, once it is open."""
    watch: bool = False
    """Keep watching after a list."""
    keep_sound: bool | None = None
    """Keep the sound of replies; None: the setting."""


def with_wishes(settings: Settings, wishes: Wishes) -> Settings:
    """Return the settings with the command line's options applied."""
    pacing = replace(
        settings.pacing,
        flow=wishes.flow or settings.pacing.flow,
        reveal=wishes.reveal or settings.pacing.reveal,
        barge_in=settings.pacing.barge_in or wishes.played is not None,
    )
    if wishes.crew_challenges:
        pacing = replace(pacing, challenger=Challenger.PERSON)
    keeps = settings.keep_sound if wishes.keep_sound is None else wishes.keep_sound
    return replace(settings, pacing=pacing, keep_sound=keeps)
