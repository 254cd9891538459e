"""``callout model``: recogniser models on this machine."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from callout.core.sentences import desktop
from callout.core.sentences.commands import answers, report_options
from callout.core.sentences.commands import option_help as sentences

if TYPE_CHECKING:
    from callout.app.models.model_install import InstallOptions

_NAME = click.option("--name", default="", help=sentences.MODEL_NAME)
_LANGUAGE = click.option("--language", default="", help=sentences.MODEL_LANGUAGE)
_REPLACE = click.option("--replace", is_flag=True, help=sentences.MODEL_REPLACE)
_TRIAL = click.option(
    "--trial/--no-trial",
    default=True,
    help=sentences.MODEL_TRIAL,
)


@click.group(name="model", context_settings={"help_option_names": ["-h", "--help"]})
def command() -> None:
    """List, check, install and remove Vosk models.

    A Vosk model is optional: an English one, once installed, is used for listening. Nothing is
    downloaded unless you give "download" an address.
    """


@command.command("list")
@click.option("--json", "as_json", is_flag=True, help=sentences.MODEL_LIST_JSON)
def list_(as_json: bool) -> None:
    """Show the models on this machine, where they are and whether they can be used."""
    from callout.app.models.installed_models import installed_models, preferred_model
    from callout.cli._model_view import as_json as json_line
    from callout.cli._model_view import model_summary, model_trouble, print_footer

    models, preferred = installed_models(), preferred_model()
    if as_json:
        for model in models:
            click.echo(json_line(model, preferred))
        return
    for model in models:
        used = "  used for English" if preferred and model.path == preferred.path else ""
        click.echo(f"{model_summary(model)}{used}\n    {model.path}")
        if model.missing:
            click.echo(f"    {model_trouble(model)}")
    print_footer(models, preferred)


@command.command()
@click.argument("name_or_path")
@_TRIAL
def verify(name_or_path: str, trial: bool) -> None:
    """Check a model's files and checksums, and load it in a separate process."""
    from callout.app.models.installed_models import find_model
    from callout.app.models.model_trial import verify_model
    from callout.cli._model_view import report_verified
    from callout.cli._progress import progress_bar
    from callout.errors import ModelNotFound

    with progress_bar("Reading") as progress:
        found = verify_model(find_model(name_or_path), trial=trial, progress=progress)
    report_verified(found)
    if not found.good:
        raise ModelNotFound(
            answers.model_cannot_be_used(found.model.name),
            "Install it again: callout model install ZIP --replace",
        )


@command.command()
@click.argument("zip_or_folder", type=click.Path(path_type=Path))
@_NAME
@_LANGUAGE
@_REPLACE
@_TRIAL
def install(zip_or_folder: Path, name: str, language: str, replace: bool, trial: bool) -> None:
    """Install a model from the zip file it comes in, or from a folder."""
    from callout.app.models.model_install import InstallOptions

    _install_model(zip_or_folder, InstallOptions(name, language, replace, trial))


@command.command()
@click.argument("url")
@click.option("--sha256", default="", help=sentences.MODEL_DOWNLOAD_SHA256)
@_NAME
@_LANGUAGE
@_REPLACE
@_TRIAL
def download(url: str, sha256: str, name: str, language: str, replace: bool, trial: bool) -> None:
    """Download a model's zip file and install it.

    If the connection breaks, give the same command again; it continues where it stopped.
    """
    from callout.app.models.model_archive import ArchiveRefused
    from callout.app.models.model_download import drop_archive, fetch_archive
    from callout.app.models.model_http import shown_address
    from callout.app.models.model_install import InstallOptions
    from callout.cli._progress import progress_bar

    if url.startswith("http:") and not sha256:
        click.echo(answers.UNENCRYPTED_ADDRESS)
    with progress_bar("Downloading") as progress:
        fetched = fetch_archive(url, sha256=sha256, progress=progress)
    try:
        _install_model(fetched, InstallOptions(name, language, replace, trial, shown_address(url)))
    except ArchiveRefused:
        drop_archive(url)
        raise
    drop_archive(url)


@command.command()
@click.argument("name")
@click.option("--yes", is_flag=True, help=report_options.YES)
def remove(name: str, yes: bool) -> None:
    """Delete an installed model."""
    from callout.app.models.installed_models import find_model, remove_model

    model = find_model(name)
    if not yes:
        click.confirm(f"Delete {model.path}?", abort=True)
    remove_model(name)
    click.echo(desktop.removed(name))


def _install_model(source: Path, options: InstallOptions) -> None:
    from callout.app.models.model_install import install_model
    from callout.cli._model_view import report_installed
    from callout.cli._progress import progress_bar

    with progress_bar("Unpacking") as progress:
        done = install_model(source, options, progress, _say_trial)
    report_installed(done)


def _say_trial() -> None:
    click.echo(answers.TRYING_MODEL)
