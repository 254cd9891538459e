"""What was asked for on the command line."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING

from callout.app.running.beside import NotShared, Sharing
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
    """What was asked for on the command line."""

    network: bool = False
    """Open to the home network, not only to this machine."""
    port: int = PORT
    """TCP port of the page; 0: any free one."""
    address: str = ""
    """The one address of this machine at which it is opened; empty: loopback, or all."""
    panel: PanelHub | None = None
    """The panel of a simulated aircraft, shown at /panel."""


@dataclass(frozen=True, slots=True)
class StateWish:
    """Where the positions of the aircraft's controls come from."""

    file: Path | None = None
    """A recorded stream; None: a bridge is listened for."""
    port: int = STATE_PORT
    """Port on which a bridge is awaited."""
    network: bool = False
    """Open to the home network, with a token."""
    tell: Callable[[str], None] = lambda line: None
    """Takes one line that says where a bridge must send."""


class HearingKind(Enum):
    """Where replies come from, apart from the keyboard."""

    AUTO = "auto"
    """The microphone, unless replies come from a pipe."""
    MICROPHONE = "microphone"
    KEYBOARD = "keyboard"


@dataclass(frozen=True, slots=True)
class Wishes:
    """What was asked for on the command line."""

    hearing: HearingKind = HearingKind.AUTO
    voice: bool | None = None
    """None: as set, but silent when replies come from a pipe."""
    plain: bool = False
    microphone: str = ""
    """Name of the device; empty: as set, else the platform's default."""
    engine: str = "auto"
    flow: FlowMode | None = None
    """None: as set."""
    reveal: Reveal | None = None
    """When the right reply is told; None: as set."""
    crew_challenges: bool = False
    """Two people: one challenges, the other responds."""
    replies: tuple[Path, ...] = ()
    """Recordings, or folders of them, in place of the microphone."""
    played: PlayedLog | None = None
    """Keeps what the voice plays, where the ear takes it out of what it hears."""
    listener: Listener | None = None
    """Hears instead of all these."""
    keys: Keys | None = None
    """Replies instead of the keyboard."""
    view: View | None = None
    """Shows instead of the terminal."""
    on_page: bool = False
    """A person answers on a page, whatever standard input is."""
    glance: GlanceWish | None = None
    """Show it on a page too."""
    shared: Sharing | NotShared | None = None
    """The page, once it is there, or why it is not."""
    state: StateWish | None = None
    """Hold what is said against the state of the aircraft."""
    state_source: StateSource | None = None
    """What tells it, once it is there."""
    watch: bool = False
    """Go on watching what was right after a list."""


def with_wishes(settings: Settings, wishes: Wishes) -> Settings:
    """Return the settings with what the command line asks for instead."""
    pacing = replace(
        settings.pacing,
        flow=wishes.flow or settings.pacing.flow,
        reveal=wishes.reveal or settings.pacing.reveal,
        barge_in=settings.pacing.barge_in or wishes.played is not None,
    )
    if wishes.crew_challenges:
        pacing = replace(pacing, challenger=Challenger.PERSON)
    return replace(settings, pacing=pacing)
