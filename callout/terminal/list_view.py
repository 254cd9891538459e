"""Draws a checklist: a table on a terminal, plain lines in a pipe or a narrow window."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import TYPE_CHECKING

from callout.core.model.checklist import Origin
from callout.core.printing.shown_list import (
    ShownAction,
    ShownItem,
    ShownList,
    ShownPanel,
    ShownSection,
)
from callout.outlet import harmless_text

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

Part = ShownItem | ShownSection | ShownPanel | ShownAction
NARROW = 60
"""Columns below which a table does not help."""


def draw_list(shown: ShownList, safety: str, plain: bool = False, origins: bool = False) -> str:
    """Return ``shown`` as text for this terminal; ``origins`` adds file and line of each item."""
    from callout.terminal.console import make_console as on_screen

    console = on_screen()
    if plain or not console.is_terminal or console.width < NARROW:
        width = console.width if console.is_terminal else None
        return harmless_text("\n".join(plain_lines(shown, safety, origins, width)))
    with console.capture() as capture:
        _draw_list(console, shown, safety, origins)
    return capture.get().rstrip("\n")


def plain_lines(
    shown: ShownList, safety: str, origins: bool, width: int | None = None
) -> Iterator[str]:
    """Yield one fact per line; ``width`` None never wraps."""
    for line in _unwrapped_lines(shown, safety, origins):
        if width is None or len(line) <= width:
            yield line
            continue
        indent = " " * (len(line) - len(line.lstrip()) + 4)
        yield from textwrap.wrap(line, max(width, 20), subsequent_indent=indent)


def _unwrapped_lines(shown: ShownList, safety: str, origins: bool) -> Iterator[str]:
    yield shown.title
    yield from (f"  {name}: {value}" for name, value in shown.facts)
    for panel in shown.flow:
        yield from _panel_lines(panel, origins)
    for section in shown.sections:
        yield ""
        if section.title:
            yield section.title
            if origins and section.changes:
                yield from (f"     {how} {origin}" for how, origin in _part_origins(section)[1:])
        for item in section.items:
            yield from _item_lines(item, origins)
    yield ""
    yield f"Completion call: {shown.completion_call}"
    yield safety


def _panel_lines(panel: ShownPanel, origins: bool) -> Iterator[str]:
    if not origins:
        yield f"  Flow, {panel.panel}: {'; '.join(panel.actions)}"
        return
    yield f"  Flow, {panel.panel}: {', '.join(f'{how} {at}' for how, at in _part_origins(panel))}"
    for step in panel.steps:
        yield f"     {step.text}: {', '.join(f'{how} {at}' for how, at in _part_origins(step))}"


def _item_lines(item: ShownItem, origins: bool) -> Iterator[str]:
    mark = " [critical]" if item.critical else ""
    yield f"{item.number:3}. {item.challenge}: {item.response}{mark}"
    yield from (f"     {detail}" for detail in _item_details(item))
    if origins:
        yield from (f"     {how} {origin}" for how, origin in _part_origins(item))


def _item_details(item: ShownItem) -> list[str]:
    details = [", ".join(item.remarks)] if item.remarks else []
    if item.wrong:
        details.append(f"wrong: {', '.join(item.wrong)}")
    details += [f"caution: {caution}" for caution in item.cautions]
    details += [f"note: {note}" for note in item.notes]
    return details


def _part_origins(part: Part) -> list[tuple[str, Origin]]:
    changes = [(change.kind.value, change.origin) for change in part.changes]
    return [("from", part.origin), *changes]


def _draw_list(console: Console, shown: ShownList, safety: str, origins: bool) -> None:
    from rich.text import Text

    console.print(Text(shown.title, style="bold"))
    for name, value in shown.facts:
        console.print(Text.assemble((f"  {name}  ", "dim"), value))
    for number, file in enumerate(shown.files if origins else (), start=1):
        console.print(Text.assemble((f"  File {number}  ", "dim"), file))
    for panel in shown.flow:
        said = _flow_steps(panel, shown.files if origins else ())
        console.print(Text.assemble((f"  Flow, {panel.panel}  ", "dim"), said))
    for section in shown.sections:
        console.print(_section_table(section, shown.files if origins else ()))
    console.print(Text(f"Completion call: {shown.completion_call}", style="bold"))
    console.print(Text(safety, style="dim"))


def _short_origin(origin: Origin, files: tuple[str, ...]) -> str:
    return f"file {files.index(origin.file) + 1}, line {origin.line}"


def _flow_steps(panel: ShownPanel, files: tuple[str, ...]) -> str:
    if not files:
        return "; ".join(panel.actions)
    places = [f"{how} {_short_origin(origin, files)}" for how, origin in _part_origins(panel)]
    lines = [", ".join(places)]
    for step in panel.steps:
        places = [f"{how} {_short_origin(origin, files)}" for how, origin in _part_origins(step)]
        lines.append(f"    {step.text} ({', '.join(places)})")
    return "\n".join(lines)


def _section_table(section: ShownSection, files: tuple[str, ...]) -> Table:
    from rich import box
    from rich.table import Table
    from rich.text import Text

    title = Text(section.title, style="bold")
    if files and section.changes:
        places = [
            f"{how} {_short_origin(origin, files)}" for how, origin in _part_origins(section)[1:]
        ]
        title.append(f"  {', '.join(places)}", style="dim not bold")
    table = Table(
        title=title if section.title else None,
        title_justify="left",
        box=box.SIMPLE,
        expand=True,
        pad_edge=False,
    )
    table.add_column("", justify="right", width=3)
    for heading, ratio in (("Challenge", 3), ("Response", 3), ("Remarks", 4)):
        table.add_column(heading, ratio=ratio, overflow="fold")
    for item in section.items:
        style = "bold" if item.critical else ""
        response = Text(item.response, style=style)
        if item.critical:
            response.append("  critical", style="bold reverse")
        origins = _part_origins(item) if files else []
        below = [f"{how} {_short_origin(origin, files)}" for how, origin in origins]
        details = Text("\n".join([*_item_details(item), *below]), style="dim")
        table.add_row(str(item.number), Text(item.challenge, style=style), response, details)
    return table
