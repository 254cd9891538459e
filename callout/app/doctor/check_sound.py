"""Checks of everything that hears and speaks; each is given its name and returns a finding."""

from __future__ import annotations

import importlib.metadata

from callout.app.shared.findings import FindingState, MachineFinding
from callout.core.sentences import doctor as sentences
from callout.errors import EngineUnavailable


def check_portaudio(name: str) -> MachineFinding:
    """Whether the audio library loads."""
    from callout import portaudio

    version = str(portaudio.load_library().get_portaudio_version()[1])
    return MachineFinding(name, FindingState.READY, version.partition(",")[0])


def check_microphone(name: str) -> MachineFinding:
    """The default input, and the number of others."""
    return _check_device(name, output=False)


def check_speaker(name: str) -> MachineFinding:
    """The default output, and the number of others."""
    return _check_device(name, output=True)


def _check_device(name: str, *, output: bool) -> MachineFinding:
    from callout import portaudio

    library = portaudio.load_library()
    device = portaudio.find_device(library, None, output=output)
    found = [d.name for d in portaudio.list_devices(library) if (d.outputs if output else d.inputs)]
    others = len(set(found)) - 1
    more = f" and {others} more, see `callout devices`" if others else ""
    return MachineFinding(name, FindingState.READY, f"{device.name} at {device.rate} Hz{more}")


def check_voice(name: str) -> MachineFinding:
    """Whether the embedded voice can be heard."""
    from callout.errors import DeviceNotFound
    from callout.speaking.embedded.rendering import Renderer
    from callout.speaking.outlets import found_outlet

    list(Renderer.shipped().sentences("Ready.", 180))
    try:
        outlet = found_outlet()
    except (DeviceNotFound, EngineUnavailable) as error:
        message = sentences.voice_without_output(error.message)
        return MachineFinding(name, FindingState.MISSING, message, error.hint)
    outlet.close()
    return MachineFinding(name, FindingState.READY, sentences.voice_through_output(outlet.name))


def check_platform_voice(name: str) -> MachineFinding:
    """Whether one of the platform's voices can be heard, tried in a process of its own."""
    from callout.speaking.voice import voice_available

    able, message, fix = voice_available()
    state = FindingState.READY if able else FindingState.OPTIONAL
    return MachineFinding(name, state, message, fix)


def check_embedded(name: str) -> MachineFinding:
    """The embedded recogniser's weights and its runtime library."""
    from callout.hearing.embedded.weights import Weights

    size = sum(a.nbytes for a in Weights.shipped().arrays.values()) / 1e6
    message = f"English weights, {size:.0f} MB, numpy {_package_version('numpy')}"
    return MachineFinding(name, FindingState.READY, message)


def check_second_opinion(name: str) -> MachineFinding:
    """Whether a second recogniser is available for doubtful replies."""
    from callout.hearing.second_opinion.published import (
        INSTALL,
        MODEL,
        TOKENS,
        package_file,
        published_file,
    )

    if package_file(MODEL) is None:
        message = sentences.SECOND_NOT_INSTALLED
        return MachineFinding(name, FindingState.OPTIONAL, message, INSTALL)
    try:
        size = sum(len(published_file(file)) for file in (MODEL, TOKENS)) / 1e6
    except EngineUnavailable as error:
        message = sentences.second_not_usable(error.message)
        return MachineFinding(name, FindingState.CHECK, message, f"{INSTALL} --force-reinstall")
    return MachineFinding(name, FindingState.READY, f"English weights, {size:.0f} MB")


def check_voice_activity(name: str) -> MachineFinding:
    """Whether the voice activity detector starts."""
    from callout.hearing.voice_activity import VoiceActivity

    VoiceActivity()
    return MachineFinding(name, FindingState.READY, "computed with numpy")


def check_vosk(name: str) -> MachineFinding:
    """Whether Vosk's library loads."""
    try:
        import vosk
    except (ImportError, OSError) as error:
        message = sentences.vosk_not_loaded(error)
        return MachineFinding(name, FindingState.OPTIONAL, message, "pip install vosk")
    return MachineFinding(name, FindingState.READY, f"vosk {_package_version(vosk.__name__)}")


def check_vosk_models(name: str) -> MachineFinding:
    """Which Vosk model a session would use."""
    from callout.app.models.installed_models import installed_models, preferred_model

    english = preferred_model()
    others = [f"{m.name} ({m.state.value})" for m in installed_models() if m != english]
    listed = sentences.also_there(", ".join(others)) if others else ""
    if english is None:
        message = sentences.no_english_model(listed)
        return MachineFinding(
            name, FindingState.OPTIONAL, message, "optional: callout model --help"
        )
    return MachineFinding(name, FindingState.READY, sentences.model_used(english.name, listed))


def _package_version(package: str) -> str:
    try:
        return importlib.metadata.version(package)
    except importlib.metadata.PackageNotFoundError:
        return "of unknown version"
