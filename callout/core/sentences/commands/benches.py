"""What the measurements for maintainers say and ask for."""

from __future__ import annotations

BENCH_CARDS = "Items and replies read from printed and photographed cards."
ONLY_CARDS_WHOSE_NAMES = "Only cards whose names begin with this, such as pdf or photo-03."
KEEP_CARDS_FOLDER = "Keep the cards in this folder."
SHOW_WHAT_MISREAD = "Show what was misread."
BENCH_CHECK = "Precision and recall of the check on seeded defects."

FOLDER_LISTS_WHICH_NOTHING = (
    "A folder of lists in which nothing is wrong; may repeat [default: checklists/]."
)

SHOW_LINE_EACH_RULE = "Show a line for each rule."
SEED_OF_YEARS = "Seed of the first invented year."
HOW_MANY_YEARS = "Number of years; their seeds count up from the first."
SESSIONS_YEAR_ALL_PERSONS = "Sessions in a year, all persons together."


def comparison_names(count: object, right: object, planted: object) -> str:
    return (
        f"The instructor's comparison names {count} items, {right} of them planted, of "
        f"{planted} that it could see."
    )


def persons_planted(persons: object, items: object, planted: object) -> str:
    return f"{persons} persons, {items} items each, {planted} planted weaknesses."


def slots_of_a_drill(slots: object) -> str:
    return f"A drill of ten minutes has {slots} slots."


EACH_SPEAKER_HAS_THEIR = (
    "Each speaker has their own microphone and room, which helps to tell them apart."
)


def has_no_speaker_enough(speech: object) -> str:
    return f"{speech} has no speaker with enough words said twice."


def speakers_named(count: object, least: float) -> str:
    return f"{count} speakers; named at {least:.0%} or more."


def pairs_of_speakers(count: object) -> str:
    return f"{count} pairs of speakers."


BENCH_ENROLMENT = "What enrolling a voice changes; counts and intervals."
FOLDER_COMMANDS12_WORDS_DIGITS = "Folder with commands12/, words/, digits/ and other/."
USE_EVERY_NTH_SPEAKER = "Use every Nth speaker, with all takes, and every Nth unrelated recording."
WRITE_FIGURES_HERE = "Write the figures here."
BENCH_FIT = "Train the phone reading and fit the decision again."
USE_EVERY_NTH_RECORDING = "Use every Nth recording."
TEXTS_EACH_KIND_VOICE = "Texts for each kind of voice."
OTHER_TAKES_HUMAN_RECORDING = "Other takes of a human recording."
NUMBER_GROUPS_SPEAKERS_EACH = "Number of groups of speakers, each held out in turn."
LEAST_PROBABILITY_COUNTS_AS = "Least probability that counts as sure."
REPLACE_SHIPPED_WEIGHTS_DECISION = "Replace the shipped weights and decision."


def voice_weights_not_installed(package: object) -> str:
    return f"The voice weights of {package} are not installed."


NO_CHROMIUM_INSTALLED = "No Chromium is installed."
LIBRARY_DRIVES_BROWSER_NOT = "The library that drives the browser is not installed."
BENCH_HEARING = "How well callout hears; prints counts and intervals."
DRAW_TRADE_OFF_CURVE = "Draw the trade-off curve (SVG/PNG)."
WRITE_EVERY_TRIAL_AS = "Write every trial as JSON lines."
HUMAN_RECORDINGS_NOISES_ONLY = "Human recordings and noises only."

ONLY_THIS_PART = (
    "This part only; may repeat. levels: offset, faint, clipped, other rates, echo. "
    "own-voice: replies with the tool's own voice over them."
)

BENCH_FUZZ = "Damaged and hostile inputs: no crash, no hang, no full memory."
KIND_OF_INPUT = "Kind of input; may repeat [usually all]."
ALSO_QUERIES_WORKBOOKS_WHICH = "Also queries and workbooks, which run in their own process."
FIRST_SEED = "First seed."
FOLDER_INPUTS_FAIL = "Folder for inputs that fail."
SYSTEM_CANNOT_START_PROCESSES = "This system cannot start processes quickly enough."
BENCH_KILLS = "Sessions killed at random moments: nothing acknowledged is lost."
FOLDER_LEAVE_ALL_FILES = "Folder to leave all files in."


def holds_no_labelled_pairs(path: object) -> str:
    return f"{path} holds no labelled pairs."


GIVE_FILE_PAIRS = "Give a file with --pairs."
BENCH_JUDGING = "Right and wrong replies accepted by the judge."
LABELLED_PAIRS_AS_JSON = "Labelled pairs as JSON lines."
PERCENTAGE_RIGHT_REPLIES_MUST = "Percentage of right replies that must be accepted."
PRINT_COUNTS_AS_ONE = "Print the counts as one JSON object."
BENCH_LISTS = "Whole lists answered by synthetic voices."
TAKE_ONLY_EVERY_NTH = "Take only every Nth reply."
LABELLED_REPLIES_INSTEAD_LISTS = "Labelled replies instead of lists."
LEAVE_OUT_NAMED_WRONG = "Leave out the named wrong replies."
WRITE_EVERY_OUTCOME_HERE = "Write every outcome here."
NO_FOLDER_CALLED = "There is no folder called checklists here."
NAME_LISTS_FOLDERS = "Name lists or folders."
BENCH_LOAD = "Loading and checking many lists."
NO_SYNTHETIC_VOICE_INSTALLED = "No synthetic voice is installed to say the challenges."
BENCH_PICTURES = "Draw the pictures of the README again."


def persons_items_slots(persons: object, items: object, critical: object, slots: object) -> str:
    return f"{persons} persons, {items} items, {critical} critical, {slots} slots a day."


INVENTED_PERSONS_EACH_CELL = "Invented persons in each cell."
PICTURES_NEED_CHROMIUM = "The pictures need Chromium."
BENCH_REPORTS = "Make the reports and their pictures again."
FOLDER_PAGES = "Folder for the pages."


def browser_could_not_open(browser: object, page: object) -> str:
    return f"{browser} could not open {page}."


def command_ended_with(command: object, code: object) -> str:
    return f"{command} ended with {code}."


SEVERAL_WORKERS_PRINTED_SOMETHING = "Several workers printed something besides the report."
BENCH_SCALE = "The standard report on millions of rows."
ALSO_MANY_WORKERS = "Also with this many workers."
DRAW_FIGURES_FILE = "Draw the figures to this file."
BENCH_SESSION = "Start-up, time to verdict and memory of a session."
ONLY_ONE_JSON_OBJECT = "Print one JSON object only."
BENCH_SOUNDS = "Damaged recordings and wild streams: no crash, bounded memory."


def synthetic_voice_not_installed(voice: object) -> str:
    return f"The synthetic voice {voice} is not installed."


BENCH_STATE = "What is said against what is set, and the state port under strain."
SECONDS_WHICH_PORT_FED = "Seconds for which the port is fed."
UPDATES_PER_SECOND = "Updates per second."
HOSTILE_MESSAGES_SEND = "Hostile messages to send."


def persons_a_cell(people: object, sessions: object, items: object) -> str:
    return f"{people} persons in each cell, {sessions} sessions of {items} items each."


NUMBER_PERSONS_EACH_CELL = "Number of persons in each cell."
SESSIONS_EACH_PERSON_YEAR = "Sessions of each person in a year."
BENCH_PLATFORMS = "What pip finds for each platform; asks the package index."
OPTIONAL_GROUP_MAY_REPEAT = "With this optional group; may repeat."


def not_installed_as_package(root: object) -> str:
    return f"{root} is not installed as a package, so its libraries are not known."


RUN_PIP_INSTALL = "Run: pip install ."
WEIGHTS_PART_PACKAGE_CODE = "Its weights are part of this package; its code is not."
BENCH_SBOM = "What this installation consists of (CycloneDX)."
BENCH_CALLS = "Lists called for by name, and names of other lists."
ONLY_FOLDER_SHIPPED_LISTS = "Only this folder of the shipped lists."
BENCH_VOICES = "The built-in voice: understood, mistaken for a reply, cancelled."
ONE_PART_ONLY = "One part only."
MOST_CHALLENGES_TRY = "Most challenges to try."
FOLDER_HUMAN_WORDS_LAST = "Folder of human words for the last part, as for `callout bench hearing`."
EVERY_NTH_REPLY = "Use every Nth reply in it, from half the speakers."


def not_empty(keep: object) -> str:
    return f"{keep} is not empty."


BENCH_YEAR = "An invented year of practice with known weaknesses."
PLANT_NOTHING_WHATEVER_FOUND = "Plant nothing: whatever is found is false."
LEAVE_JOURNALS_NEW_FOLDER = "Leave the journals in this new folder."
