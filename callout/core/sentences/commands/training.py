"""What the training and fitting of what hears says and asks for."""

from __future__ import annotations

FIT_OPINIONS = "Fit how the opinions are weighed together."
FOLDER_OF_FOLDS = "Folder with fold0.npz ... fold4.npz of callout bench acoustic."
KEEP_WHAT_WAS_HEARD = "Read or write what was heard."
LEAST_PROBABILITY = "Least probability to be sure."
LEAST_AMONG_OTHERS = "The same where more words were heard."
LEAST_AGREEING = "The same beside a sure network."
REPLACE_DECISION = "Replace the shipped decision."
WITHOUT_ACOUSTIC_MODEL = "Without the acoustic model:"
WITH_ACOUSTIC_MODEL = "With it, speakers held out:"
FIT_SECOND_OPINION = "Fit how the second opinion counts."
KEPT_BY_FUSE = "What callout bench fuse --keep has written."
ASK_SECOND_FROM = "Least probability at which the second is asked."
FIRST_ALONE = "The first alone, speakers held out:"
WITH_SECOND = "With the second where that is in doubt, speakers held out:"
TRAIN_ACOUSTIC_MODEL = "Train the acoustic model."
TEXTS_BY_MADE_VOICES = "Number of texts for made voices to say."
STEPS_ON_MADE_VOICES = "Steps on made voices alone."
STEPS_WITH_HUMAN_VOICES = "Steps with human voices."
WEIGHTS_TO_BEGIN_WITH = "Weights to start from."
MATERIAL_KEPT = "Read the speech from here, or write it here."
WITHOUT_THIS_FIFTH = "Leave out only this fifth of the speakers; -1 leaves none out."
FOLDER_FOR_RESULTS = "Folder for results."


def how_often_asked(replies: int, of_replies: int, others: int, of_others: int) -> str:
    return (
        f"The second was asked about {replies} of {of_replies} replies and {others} of "
        f"{of_others} others."
    )
