"""What the measurements for maintainers say and ask for."""

from __future__ import annotations

from pathlib import PurePath

BENCH_CARDS = "Items and replies read from printed and photographed cards."
BENCH_CONVENTIONS = "Pages set by conventions drawn at random, and what is read from them."
CONVENTIONS_USUAL = "Read each page in the usual way only."
CARDS_ONLY = "Only cards whose names begin with this, such as pdf or photo-03."
CARDS_KEEP = "Keep the cards in this folder."
CARDS_WRONG = "Show what was misread."
BENCH_CHECK = "Precision and recall of the check on seeded defects."

CHECK_ALSO = "A folder of lists in which nothing is wrong; may repeat [default: checklists/]."

CHECK_PER_RULE = "Show a line for each rule."
DRILLS_SEED = "Seed of the first invented year."
DRILLS_YEARS = "Number of years; their seeds count up from the first."
DRILLS_SESSIONS = "Sessions in a year, for everybody together."


def comparison_names(count: str, right: str, planted: str) -> str:
    return (
        f"The instructor's comparison names {count} items; {right} of them were planted, "
        f"out of {planted} that it could see."
    )


def persons_planted(persons: int, items: int, planted: int) -> str:
    return f"{persons} persons, {items} items each, {planted} planted weaknesses."


def slots_of_a_drill(slots: int) -> str:
    return f"A drill of ten minutes has {slots} slots."


SPEAKERS_TOO_EASY = (
    "Each speaker has their own microphone and room, which helps to tell them apart."
)


def too_few_repeated_words(speech: PurePath) -> str:
    return f"{speech} has no speaker with enough words said twice."


def speakers_named(count: int, least: float) -> str:
    return f"{count} speakers; named at {least:.0%} or more."


def pairs_of_speakers(count: int) -> str:
    return f"{count} pairs of speakers."


BENCH_ENROLMENT = "What enrolling a voice changes; counts and intervals."
SPEECH = "Folder with commands12/, words/, digits/ and other/."
ENROLMENT_ACOUSTIC = (
    "Folder with fold0.npz ... fold4.npz of callout bench acoustic: hear each speaker with the "
    "model that did not learn from them, also in a crowd and in an echo."
)
ENROLMENT_EVERY = "Use every Nth speaker, with all takes, and every Nth unrelated recording."
JSON_FILE = "Write the figures here."
BENCH_FIT = "Train the phone reading and fit the decision again."
EVERY = "Use every Nth recording."
FIT_SYNTHETIC = "Texts for each kind of voice."
FIT_TAKES = "Other takes of a human recording."
FIT_FOLDS = "Number of groups of speakers, each held out in turn."
FIT_THRESHOLD = "Lowest probability that counts as sure."
FIT_WRITE = "Replace the shipped weights and decision."


def voice_weights_not_installed(package: str) -> str:
    return f"The voice weights of {package} are not installed."


NO_CHROMIUM = "No Chromium is installed."
NO_BROWSER_LIBRARY = "The library that controls the browser is not installed."
BENCH_HEARING = "How well callout hears; prints counts and intervals."
HEARING_PLOT = "Draw the trade-off curve (SVG/PNG)."
HEARING_TRIALS = "Write every trial as JSON lines."
HEARING_SKIP_SYNTHETIC = "Human recordings and noises only."

HEARING_ONLY = (
    "This part only; may repeat. levels: offset, faint, clipped, other rates, echo. "
    "own-voice: replies with the tool's own voice over them."
)

BENCH_FUZZ = "Damaged and hostile inputs: no crash, no hang, bounded memory."
FUZZ_KIND = "Kind of input; may repeat [usually all]."
FUZZ_WHOLE = "Also queries and workbooks, which run in their own process."
FIRST_SEED = "First seed."
KEEP = "Folder for inputs that fail."
PROCESSES_TOO_SLOW = "This system cannot start processes quickly enough."
BENCH_KILLS = "Sessions killed at random moments: nothing acknowledged is lost."
KILLS_KEEP = "Folder to leave all files in."


def no_labelled_pairs(path: PurePath) -> str:
    return f"{path} holds no labelled pairs."


NO_PAIRS_HINT = "Give a file with --pairs."
BENCH_JUDGING = "Right and wrong replies accepted by the judge."
JUDGING_PAIRS = "Labelled pairs as JSON lines."
JUDGING_LEAST = "Percentage of right replies that must be accepted."
JUDGING_JSON = "Print the counts as one JSON object."
BENCH_LISTS = "Whole lists answered by synthetic voices."
LISTS_EVERY = "Take only every Nth reply."
LISTS_PAIRS = "Labelled replies instead of lists."
LISTS_RIGHT_ONLY = "Leave out the named wrong replies."
LISTS_REVERSED = "Say the states that a syllable reverses instead, such as unarmed for armed."
LISTS_IN_TIME = "Let silences last as long as they do live, and tell the times to the verdict."
LISTS_JSON_FILE = "Write every outcome here."
NO_CHECKLISTS_HERE = "There is no folder named checklists here."
NO_CHECKLISTS_HINT = "Name lists or folders."
BENCH_LOAD = "Loading and checking many lists."
NO_SYNTHETIC_VOICE = "No synthetic voice is installed to say the challenges."
BENCH_PICTURES = "Draw the pictures of the README again."


def persons_items_slots(persons: int, items: int, critical: int, slots: int) -> str:
    return f"{persons} persons, {items} items, {critical} critical, {slots} slots a day."


PRACTICE_FIRST = "Seed of the first person."

PRACTICE_PICKER = "Only this way to pick; may be given several times."

PRACTICE_PEOPLE = "Invented persons in each cell."
PICTURES_NEED_CHROMIUM = "The pictures need Chromium."
BENCH_REPORTS = "Make the reports and their pictures again."
REPORTS_INTO = "Folder for the pages."


def browser_could_not_open(browser: str, page: PurePath) -> str:
    return f"{browser} could not open {page}."


def command_ended_with(command: str, code: int) -> str:
    return f"{command} ended with {code}."


WORKERS_PRINTED_MORE = "Several workers printed something besides the report."
BENCH_SCALE = "The standard report on millions of rows."
SCALE_WORKERS = "Also with this many workers."
SCALE_PLOT = "Draw the figures to this file."
BENCH_SESSION = "Start-up, time to verdict and memory of a session."
SESSION_JSON = "Print one JSON object only."
BENCH_SOUNDS = "Damaged recordings and wild streams: no crash, bounded memory."


def synthetic_voice_not_installed(voice: str) -> str:
    return f"The synthetic voice {voice} is not installed."


BENCH_STATE = "Replies compared with the aircraft's state, and the state port under load."
STATE_SECONDS = "How long to feed the port, in seconds."
STATE_RATE = "Updates per second."
STATE_HOSTILE = "Number of hostile messages to send."


def persons_a_cell(people: int, sessions: int, items: int) -> str:
    return f"{people} persons in each cell, {sessions} sessions of {items} items each."


TRUTHS_PEOPLE = "Number of persons in each cell."
TRUTHS_SESSIONS = "Sessions of each person in a year."
LIKELY_FIRST = "Number of the first person; others are other people."
LIKELY_CLASSES = "Number of classes in each cell; 0: none."
LIKELY_USUAL = "Log odds of a slip at a usual item; -3 is 1 in 20."
LIKELY_APART = "Spread of the items, in log odds."


def worst_item(holds: float, truth: float, likely: float, counted: float) -> str:
    return (
        f"; the weakest item of each: intervals hold {holds:.1f} %, truth {truth:.1f} %, likely "
        f"{likely:.1f} %, counted {counted:.1f} %"
    )


BENCH_PLATFORMS = "What pip finds for each platform; asks the package index."
PLATFORMS_EXTRA = "With this optional group; may repeat."


def not_installed_as_package(root: str) -> str:
    return f"{root} is not installed as a package, so its libraries are not known."


INSTALL_HINT = "Run: pip install ."
WEIGHTS_WITHOUT_CODE = "Its weights are part of this package; its code is not."
BENCH_SBOM = "What this installation consists of (CycloneDX)."
BENCH_CALLS = "Lists called for by name, and names of other lists."
CALLS_ONLY = "Only this folder of the shipped lists."
CALLS_EVERY = "Only every N-th name and sentence."
BENCH_VOICES = "The built-in voice: understood, mistaken for a reply, cancelled."
VOICES_ONLY = "One part only."
VOICES_MOST = "Maximum number of challenges to try."
VOICES_CORPUS = "Folder of human words for the last part, as for `callout bench hearing`."
VOICES_SHARE = "Use every Nth reply in it, from half the speakers."


def not_empty(keep: PurePath) -> str:
    return f"{keep} is not empty."


BENCH_YEAR = "An invented year of practice with known weaknesses."
YEAR_NO_WEAKNESS = "Plant nothing, so that every finding is false."
SCALE_NAMES = "Also collect this many tiny journals of one folder, and a tenth of them."
YEAR_KEEP = "Leave the journals in this new folder."
