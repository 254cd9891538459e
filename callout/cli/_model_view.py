"""What ``callout model`` prints."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from callout.core.sentences.commands import answers as sentences

if TYPE_CHECKING:
    from callout.app.models.installed_models import InstalledModel
    from callout.app.models.model_install import Installed
    from callout.app.models.model_trial import Verification


def report_installed(done: Installed) -> None:
    """Print what was installed, its checksums and whether it is used from now on."""
    from callout.app.models.installed_models import preferred_model

    if done.found_at:
        click.echo(sentences.model_was_inside(done.found_at))
    click.echo(f"Installed  {model_summary(done.model)}\nin         {done.model.path}")
    if done.archive_sha256:
        click.echo(f"Zip file   SHA-256 {done.archive_sha256}")
    click.echo(f"Content    SHA-256 {done.content_sha256}")
    click.echo(f"Loads      {_load_result(done.trial is not None, done.model)}")
    preferred = preferred_model()
    if preferred is not None and preferred.path == done.model.path:
        click.echo(sentences.ENGLISH_USES_MODEL)
    elif not done.model.speaks("en"):
        click.echo(sentences.ENGLISH_DOES_NOT_USE_MODEL)


def report_verified(found: Verification) -> None:
    """Print each part of a check on a line of its own."""
    from callout.hearing.vosk_files import listed_names

    model = found.model
    click.echo(f"{model_summary(model)}\n    {model.path}")
    if found.missing:
        click.echo(f"Files      {listed_names(found.missing)} missing or empty")
    else:
        click.echo(f"Files      {found.files}, all present")
    if found.changed:
        click.echo(f"Checksums  {listed_names(found.changed)} not as installed")
    elif found.recorded:
        click.echo("Checksums  as recorded when it was installed")
    else:
        click.echo("Checksums  none recorded: it was not installed by callout model install")
    if found.added:
        click.echo(f"Added      {listed_names(found.added)} not part of the model")
    click.echo(f"Content    SHA-256 {found.content_sha256}")
    if found.trial is None or found.trial.loads:
        click.echo(f"Loads      {_load_result(found.trial is not None, model)}")
    else:
        click.echo(f"Loads      no. {found.trial.message}")


def _load_result(tried: bool, model: InstalledModel) -> str:
    if not tried:
        return "not tried"
    return "yes" + (
        "; it listens for the phrases of each item"
        if model.takes_grammar
        else "; its vocabulary is fixed, so it hears phrases without help"
    )


def model_summary(model: InstalledModel) -> str:
    """Return name, language, size and state on one line."""
    from callout.app.models.model_place import readable_size

    language = model.language or "language unknown"
    return f"{model.name}  {language}  {readable_size(model.size)}  {model.state.value}"


def model_trouble(model: InstalledModel) -> str:
    """Return what is wrong with a model, for the list."""
    from callout.app.models.installed_models import ModelState
    from callout.hearing.vosk_files import listed_names

    what = "missing" if model.state is ModelState.INCOMPLETE else "not as installed"
    return f"{listed_names(model.missing)} {what}; for details: callout model verify {model.name}"


def print_footer(models: tuple[InstalledModel, ...], preferred: InstalledModel | None) -> None:
    """Print what is used for English and where models go."""
    from callout.app.models.model_place import models_dir

    if not models:
        click.echo(sentences.NO_VOSK_MODEL)
    if preferred is None:
        click.echo(sentences.BUILT_IN_IS_USED)
    click.echo(f"Model folder: {models_dir()}")


def as_json(model: InstalledModel, preferred: InstalledModel | None) -> str:
    """Return a model as one line of JSON."""
    import json

    return json.dumps(
        {
            "name": model.name,
            "path": str(model.path),
            "language": model.language,
            "bytes": model.size,
            "state": model.state.value,
            "origin": model.origin.value,
            "takes_grammar": model.takes_grammar,
            "missing": list(model.missing),
            "preferred": preferred is not None and model.path == preferred.path,
        },
        ensure_ascii=False,
    )
