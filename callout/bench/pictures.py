"""Pictures for the documents: screens of a real session, in the terminal and on the glance page."""

from __future__ import annotations

import io
import re
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import click
from rich.console import Console
from rich.terminal_theme import TerminalTheme
from rich.theme import Theme

from callout.bench.glance_pictures import GlanceShot, photograph
from callout.core.conversation.summary import CommonSummary
from callout.core.conversation.view_model import Doing, Status, ViewModel
from callout.core.model.verdict import Verdict
from callout.core.sentences.commands import benches as sentences
from callout.errors import CalloutError
from callout.terminal.screen import draw_screen
from callout.terminal.theme import PALETTES, Colours

FOLDER = Path(__file__).parent / "pictures"


@dataclass(frozen=True, slots=True)
class Picture:
    """One moment of the demonstration to draw."""

    name: str
    title: str
    width: int
    height: int
    colours: Colours
    when: Callable[[ViewModel], bool]


def _at(item_id: str, verdict: Verdict) -> Callable[[ViewModel], bool]:
    return lambda view: view.verdict is verdict and _asked(view) == item_id


def _asked(view: ViewModel) -> str:
    """Return the item that is listened for, once the challenge has been spoken."""
    listening = view.current is not None and view.doing is Doing.LISTENING
    return view.rows[view.current].item_id if listening and view.current is not None else ""


def _brought_back(view: ViewModel) -> bool:
    later = any(row.status is Status.ANSWERED and row.item_id == "beacon" for row in view.rows)
    return later and _asked(view) == "cowl-flaps"


PICTURES = (
    Picture(
        "wrong-setting",
        "A wrong altimeter setting, caught digit by digit",
        100,
        30,
        Colours.DARK,
        _at("altimeters", Verdict.MISMATCH),
    ),
    Picture(
        "deferred",
        "A deferred item, brought back before the completion call",
        80,
        24,
        Colours.LIGHT,
        _brought_back,
    ),
)

GROUNDS = {
    Colours.DARK: TerminalTheme((16, 20, 24), (230, 230, 230), [(16, 20, 24)] * 8),
    Colours.LIGHT: TerminalTheme((255, 255, 255), (26, 26, 26), [(255, 255, 255)] * 8),
}


@dataclass
class Moments:
    """A view that keeps the screens of a session instead of showing them."""

    seen: list[ViewModel] = field(default_factory=list)
    safety: str = ""

    def open(self, safety: str) -> None:
        """Keep the safety note."""
        self.safety = safety

    def show(self, view: ViewModel, news: Sequence[str]) -> None:
        """Keep a screen."""
        self.seen.append(view)

    def typing(self, text: str) -> None:
        """Nobody types."""

    def redraw(self) -> None:
        """Nothing is shown."""

    def notice(self, message: str, hint: str = "") -> None:
        """Nothing is shown."""

    def finish(self, summary: CommonSummary, journal: str, safety: str) -> None:
        """Nothing is shown."""

    def close(self) -> None:
        """Nothing is shown."""


@click.command("pictures", short_help=sentences.BENCH_PICTURES)
@click.option("--into", type=click.Path(path_type=Path), default=FOLDER, show_default=True)
def command(into: Path) -> None:
    """Run the demonstration; draw its screens as SVG, and photograph its page in a browser."""
    moments = record_screens()
    into.mkdir(parents=True, exist_ok=True)
    for picture in PICTURES:
        view = next(v for v in moments.seen if picture.when(v))
        path = into / f"{picture.name}.svg"
        path.write_text(screen_svg(picture, view, moments.safety), encoding="utf-8")
        click.echo(path)
    shots = [
        GlanceShot(f"glance-{p.colours.value}", p.colours.value, next(filter(p.when, moments.seen)))
        for p in PICTURES
    ]
    try:
        for path in photograph(shots, moments.safety, into):
            click.echo(path)
    except CalloutError as error:
        click.echo(f"The glance page was left out. {error.message} {error.hint}", err=True)


def record_screens() -> Moments:
    """Return every screen of the demonstration."""
    from callout.app.running.demo import load_demo, run_demo
    from callout.app.running.wishes import Wishes
    from callout.app.shared.safety import SAFETY
    from callout.app.shared.settings import Settings

    moments = Moments()
    wishes = Wishes(voice=False, view=moments, engine="embedded")
    with tempfile.TemporaryDirectory() as folder:
        run_demo(
            load_demo(),
            Path(folder),
            Settings(),
            wishes,
            fast=True,
            tell=lambda line: None,
            safety=SAFETY,
        )
    return moments


def screen_svg(picture: Picture, view: ViewModel, safety: str) -> str:
    """Return the screen at ``view`` as a picture that loads nothing from elsewhere.

    The window buttons that the library draws are left out.
    """
    console = Console(
        record=True,
        file=io.StringIO(),
        width=picture.width,
        height=picture.height,
        force_terminal=True,
        color_system="truecolor",
        highlight=False,
        theme=Theme(PALETTES[picture.colours]),
    )
    console.print(draw_screen(view, "", "", safety, console.size, "utf-8"), end="")
    drawn = console.export_svg(
        title=picture.title,
        theme=GROUNDS[picture.colours],
        code_format=_FORMAT,
        unique_id=picture.name,
    )
    plain = re.sub(r'<g transform="translate\(26,22\)">.*?</g>', "", drawn, flags=re.DOTALL)
    return "\n".join(line.rstrip() for line in plain.splitlines() if line.strip()) + "\n"


_FORMAT = """\
<svg viewBox="0 0 {width} {height}" xmlns="http://www.w3.org/2000/svg" role="img">
<style>
.{unique_id}-matrix {{
  font-family: ui-monospace, Menlo, Consolas, "DejaVu Sans Mono", monospace;
  font-size: {char_height}px; line-height: {line_height}px;
}}
.{unique_id}-title {{ font: 16px sans-serif; }}
{styles}
</style>
<defs>
<clipPath id="{unique_id}-clip-terminal">
<rect x="0" y="0" width="{terminal_width}" height="{terminal_height}"/>
</clipPath>
{lines}
</defs>
{chrome}
<g transform="translate({terminal_x}, {terminal_y})" clip-path="url(#{unique_id}-clip-terminal)">
{backgrounds}
<g class="{unique_id}-matrix">
{matrix}
</g>
</g>
</svg>
"""
