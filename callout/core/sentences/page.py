"""What the page for everything says, apart from what stands fixed on it."""

from __future__ import annotations

LIST_GONE = "This list is no longer there."
CHOOSE_ANOTHER = "Choose another one."
NOT_A_LIST = "This is not a checklist."
YOUR_LISTS = "Your lists"
NOT_UNDERSTOOD = "This page does not match this version of callout."
RELOAD = "Load the page again."
INTERNAL_ERROR = "Something went wrong inside callout."
NOTHING_LOST = "Nothing that was saved is lost. Try again."
SESSION_RUNS = "A session is running."
END_IT_FIRST = "End it first, or continue it."
NO_SESSION_RUNS = "No session is running."
TRIAL_RUNS = "A microphone test is running."
WAIT_FOR_TRIAL = "Wait until it ends."


def page_address(address: str) -> str:
    return f"The page is at {address}"


HOW_TO_END = "It stays open while this runs. Ctrl-C ends it."
IN_THE_TERMINAL = "To choose in the terminal instead: callout --terminal"


def already_open(address: str) -> str:
    return f"The page is open already, at {address}"


PAGE_NEEDS_PACKAGE = "To do all this in your browser: pip install 'callout[page]'"
TRY_AGAIN = "Try again."
OTHER_PORT = "Choose another port with --port."
NO_BROWSER = "No browser could be opened. Open this address in one on this machine."
PROGRAM_ENDED = "Callout has ended."
NO_SUCH_SESSION = "There is no such session."
NO_SESSIONS = "There are no sessions yet. Run a list first."


def critical_wording(item: str, words: str) -> str:
    return f'{item} is critical. Does "{words}" always mean that it is set as it must be?'


VOICE_SAMPLE = "Beacon? This is how challenges sound."


def voice_learnt(name: str, words: int) -> str:
    return (
        f"Callout has learnt the voice of {name} from {words} words, and compares replies with it "
        "from now on."
    )


def say_word(number: int, total: int, word: str, again: str) -> str:
    asked = f"{again} Again: {word}" if again else f"Say: {word}"
    return f"{number} of {total}. {asked}"


NO_DRILL_HISTORY = "You have no sessions yet, so these are shipped lists, critical items first."


def drawn_to_wait(items: str) -> str:
    return (
        f"{items} chosen at random wait until you have flown: "
        "your later flights then show whether drills help."
    )


VOICE_SILENT = "The voice could not be heard."
LOOK_AT_MACHINE = "The last part of the sound check shows what is missing."
ABOUT = {
    "hearing.talk_over": "Answer during the challenge without a headset: callout removes its "
    "built-in voice from what the microphone hears.",
    "hearing.microphone": "Name of the microphone; the sound check lists them.",
    "hearing.voice": "Your voice profile; the sound check makes it.",
}
"""What settings do, where the usual sentence names a command."""
ITEM_GONE = "The list no longer has this item, or the item does not apply."
SHIPPED_LIST = "This list came with the program and stays as it is."
COPY_IT = "Make your own copy and change that."
THE_LIST = "The list"
NO_ITEMS_WRITTEN = "There is no list yet: it needs a name and at least one item."
HOW_TO_WRITE = "Write one item on each line, such as: Beacon: on"
READING_GONE = "What was read is gone: callout was restarted, or other files have been read since."
BRING_AGAIN = "Bring the file again."
ITEM_NEEDS_CHALLENGE = "An item needs a challenge."
FLIGHT_DATA = "Flight data"
CALLS_NEED_MICROPHONE = "To start lists by voice, choose to reply by voice."
NO_PAGE_OPEN = "The microphone was closed because no page was open."
MICROPHONE_ENDED = "The microphone has stopped giving sound."
CALL_AGAIN = "Say the name of the list again."


def list_meant(title: str) -> str:
    return f"Do you mean {title}? Yes or no."


def list_begins(title: str) -> str:
    return f"{title} begins."
