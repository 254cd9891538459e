"""``callout settings``: what can be set, what is set, and where."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import click

from callout.core.sentences.commands import answers as sentences
from callout.core.sentences.commands import command_help, option_help

if TYPE_CHECKING:
    from callout.app.shared.settings import Settings


@click.command("settings", short_help=command_help.COMMAND_SETTINGS)
@click.argument("key", required=False, metavar="[KEY]")
@click.argument("value", required=False, metavar="[VALUE]")
@click.option("--json", "as_json", is_flag=True, help=option_help.JSON)
def command(key: str | None, value: str | None, as_json: bool) -> None:
    """Show every setting, its value and what it does; or change one.

    \b
    callout settings                      all of them, and the file they are in
    callout settings pacing.silence       one of them
    callout settings pacing.silence 12    change it
    """
    from callout.app.shared.setting_keys import KEYS
    from callout.app.shared.settings import load_settings, settings_path
    from callout.app.shared.settings_file import save_setting, value_of

    if key is not None and value is not None:
        click.echo(sentences.setting_changed(key, save_setting(key, value_of(key, value))))
        return
    if key is not None:
        value_of(key, "")  # says what is meant if there is no such key
    settings = load_settings()
    shown = [key] if key else list(KEYS)
    if as_json:
        rows = {name: KEYS[name].of(settings) for name in shown}
        click.echo(json.dumps({"file": str(settings_path()), "settings": rows}, indent=2))
        return
    there = "" if settings_path().exists() else " (no file yet: all defaults)"
    click.echo("\n".join([f"{settings_path()}{there}", "", *_setting_lines(shown, settings)]))


def _setting_lines(shown: list[str], settings: Settings) -> list[str]:
    from callout.app.shared.setting_keys import KEYS
    from callout.app.shared.settings import Settings

    shipped = Settings()
    lines: list[str] = []
    for name in shown:
        key = KEYS[name]
        value, usual = key.of(settings), key.of(shipped)
        own = "" if value == usual else f"  (yours; default: {_shown_value(usual)})"
        lines += [
            f"{name} = {_shown_value(value)}{own}",
            f"    {key.about} Allowed: {key.allowed}.",
        ]
    return lines


def _shown_value(value: object) -> str:
    return "not set" if value is None else json.dumps(value, ensure_ascii=False)
