"""Model folders with every expected file and nothing in them, for checks that load nothing."""

from __future__ import annotations

from pathlib import Path

AT_RUN_TIME = ("graph/HCLr.fst", "graph/Gr.fst", "graph/disambig_tid.int")
FIXED = ("graph/HCLG.fst", "graph/words.txt")
ALWAYS = (
    "am/final.mdl",
    "conf/mfcc.conf",
    "conf/model.conf",
    "graph/phones/word_boundary.int",
    "ivector/final.dubm",
    "ivector/final.ie",
    "ivector/final.mat",
    "ivector/global_cmvn.stats",
    "ivector/online_cmvn.conf",
    "ivector/splice.conf",
)
OLD = (
    "final.mdl",
    "mfcc.conf",
    "word_boundary.int",
    "HCLr.fst",
    "Gr.fst",
    "disambig_tid.int",
)


def make_model(folder: Path, files: tuple[str, ...] = (*ALWAYS, *AT_RUN_TIME)) -> Path:
    """Write ``files`` below ``folder``, each with its own name as content."""
    for name in files:
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(f"{name}\n", encoding="utf-8")
    return folder
