"""Options that several session commands share."""

from __future__ import annotations

import ipaddress
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from callout.app.listening.engines import ENGINES
from callout.app.running.glancing import NETWORK_WARNING
from callout.app.running.state_source import NETWORK_WARNING as STATE_WARNING
from callout.app.running.wishes import (
    PORT,
    STATE_PORT,
    GlanceWish,
    HearingKind,
    StateWish,
    Wishes,
)
from callout.cli._report_options import journal_dir_option
from callout.core.conversation.pacing import STAGES, FlowMode
from callout.core.conversation.withholding import Reveal
from callout.core.debrief.shown import shown_text
from callout.core.sentences.commands import option_help as sentences

_OPTIONS = (
    click.option(
        "--hearing",
        type=click.Choice([kind.value for kind in HearingKind]),
        default=HearingKind.AUTO.value,
        show_default=True,
        help=sentences.HEARING,
    ),
    click.option("--microphone", metavar="NAME", default="", help=sentences.MICROPHONE),
    click.option("--engine", type=click.Choice(ENGINES), default="auto", help=sentences.ENGINE),
    click.option(
        "--replies",
        metavar="WAV",
        multiple=True,
        type=click.Path(path_type=Path),
        help=sentences.REPLIES,
    ),
    click.option("--keep-sound/--no-keep-sound", default=None, help=sentences.KEEP_SOUND),
    click.option(
        "--voice/--silent",
        default=None,
        help=sentences.VOICE,
    ),
    click.option(
        "--reveal",
        type=click.Choice([when.value for when in Reveal]),
        help=(sentences.REVEAL),
    ),
    click.option("--plain", is_flag=True, help=sentences.PLAIN),
    journal_dir_option,
)

_OF_LISTS = (
    click.option(
        "--crew-challenges",
        is_flag=True,
        help=sentences.CREW_CHALLENGES,
    ),
    click.option(
        "--flow",
        type=click.Choice([mode.value for mode in FlowMode]),
        help=sentences.FLOW,
    ),
    click.option(
        "--stage",
        type=click.Choice([*map(str, range(1, len(STAGES) + 1)), FlowMode.NEXT.value]),
        help=(sentences.STAGE),
    ),
)


def _checked_address(text: str) -> str:
    """Return an address as written (RFC 791); names are refused."""
    try:
        return str(ipaddress.IPv4Address(text)) if text else ""
    except ValueError as error:
        said = f'"{text}" is not an address such as 192.168.1.20.'
        raise click.BadParameter(said) from error


_GLANCE = (
    click.option("--glance", is_flag=True, help=sentences.GLANCE),
    click.option(
        "--glance-network",
        is_flag=True,
        help=f"The same page, open to your home network. {NETWORK_WARNING}",
    ),
    click.option(
        "--glance-address",
        type=_checked_address,
        default="",
        help=sentences.GLANCE_ADDRESS,
    ),
    click.option(
        "--glance-port",
        type=click.IntRange(1024, 65535),
        default=PORT,
        show_default=True,
        help=sentences.GLANCE_PORT,
    ),
)


recorded_state_option = click.option(
    "--state",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help=(sentences.STATE),
)

_STATE = (
    recorded_state_option,
    click.option(
        "--bridge",
        is_flag=True,
        help=sentences.BRIDGE,
    ),
    click.option(
        "--bridge-network",
        is_flag=True,
        help=f"The same, from a bridge on your home network, with a token. {STATE_WARNING}",
    ),
    click.option(
        "--watch",
        is_flag=True,
        help=sentences.WATCH,
    ),
    click.option(
        "--state-port",
        type=click.IntRange(1024, 65534),
        default=STATE_PORT,
        show_default=True,
        help=sentences.STATE_PORT,
    ),
)


def state_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add the options for the aircraft's own state."""
    for option in reversed(_STATE):
        command = option(command)
    return command


def state_wish(
    state: Path | None, bridge: bool, bridge_network: bool, state_port: int
) -> StateWish | None:
    """Return what these options ask for."""
    if bridge_network:
        click.echo(STATE_WARNING, err=True)
    if state is None and not bridge and not bridge_network:
        return None
    return StateWish(state, state_port, bridge_network, lambda line: click.echo(line, err=True))


def warn_about(problem: str) -> None:
    """Print a problem that does not stop the session."""
    click.echo(f"callout: {shown_text(problem)}", err=True)


def glance_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add the options of the glance page to a command."""
    for option in reversed(_GLANCE):
        command = option(command)
    return command


def glance_wish(
    glance: bool, glance_network: bool, glance_port: int, glance_address: str = ""
) -> GlanceWish | None:
    """Return what these options ask for; warns about the consequences of opening to the network."""
    far = bool(glance_address) and not ipaddress.ip_address(glance_address).is_loopback
    if glance_network or far:
        click.echo(NETWORK_WARNING, err=True)
    wished = glance or glance_network or glance_address
    return GlanceWish(glance_network or far, glance_port, glance_address) if wished else None


def common_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add the options shared by everything that speaks and listens."""
    for option in reversed(_OPTIONS):
        command = option(command)
    return command


def session_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add the session options to a command."""
    for option in reversed(_OF_LISTS):
        command = option(command)
    return glance_options(state_options(common_options(command)))


def session_wishes(
    hearing: str,
    flow: str | None = None,
    stage: str | None = None,
    reveal: str | None = None,
    glance: bool = False,
    glance_network: bool = False,
    glance_port: int = PORT,
    glance_address: str = "",
    state: Path | None = None,
    bridge: bool = False,
    bridge_network: bool = False,
    state_port: int = STATE_PORT,
    **chosen: Any,
) -> Wishes:
    """Return what the session options ask for."""
    mode = FlowMode(flow) if flow else None
    if stage:
        mode = STAGES[int(stage) - 1] if stage.isdecimal() else FlowMode.NEXT
    when = Reveal(reveal) if reveal else None
    page = glance_wish(glance, glance_network, glance_port, glance_address)
    told = state_wish(state, bridge, bridge_network, state_port)
    kind = HearingKind(hearing)
    return Wishes(hearing=kind, flow=mode, reveal=when, glance=page, state=told, **chosen)
