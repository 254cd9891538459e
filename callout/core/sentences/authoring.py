"""What is said and asked while a list is read in from somebody's own paper."""

from __future__ import annotations

from pathlib import PurePath


def ask_whether_applies(words: str) -> str:
    return f"Does this apply: {words}?"


def ask_whether_is(thing: str, words: str) -> str:
    verb = "Are" if thing.casefold().endswith("s") and not thing.casefold().endswith("ss") else "Is"
    return f"{verb} the {thing} {words}?"


ONE_LIST_A_FILE = "Put only one list in a file."
SAVE_PDF_AGAIN = "Open it in a PDF reader, print it to a new PDF, and use that."


def pdf_locked(path: PurePath) -> str:
    return f"{path} is locked with a password."


def pdf_unreadable(path: PurePath) -> str:
    return f"{path} is not a PDF that can be read."


def too_many_pages(path: PurePath, count: int, most: int) -> str:
    return f"{path} has {count:,} pages; the limit is {most}."


PHOTOS_NEED = "Reading a photo or scan needs rapidocr and onnxruntime."
INSTALL_PHOTOS = 'Run: pip install "callout[photos]"'
PHOTO_MODELS_MISSING = "The models that read photos are missing from the rapidocr package."
SAVE_PHOTO_AGAIN = "Save it as JPEG or PNG, and try again."
SMALLER_PHOTO = "Take it with fewer pixels, or cut out the page."


def photo_too_large(path: PurePath) -> str:
    return f"{path} is too large a picture."


def photo_unreadable(path: PurePath) -> str:
    return f"{path} is not a picture that can be read."


PDF_NEEDS = "Reading a PDF needs pypdfium2."
WORD_NEEDS = "Reading a Word file needs python-docx."
INSTALL_PAPER = 'Run: pip install "callout[papers]"'
CHECK_NAME = "Check the name."
SAVE_WORD_AGAIN = "Open it in a word processor and save it again as .docx."
SAVE_AS_CSV = "Save it as CSV."
HOW_ITEMS_LOOK = "Write one item per line: `Parking brake .... on`."


def no_such_file(path: PurePath) -> str:
    return f"{path} does not exist."


def file_too_large(path: PurePath | str, most: int) -> str:
    return f"{path} is larger than {most // 1_000_000} MB, which is the limit."


def too_costly(path: PurePath, memory: int, seconds: int) -> str:
    return f"{path} would take more than {memory >> 30} GB or {seconds} seconds to read."


def word_unreadable(path: PurePath) -> str:
    return f"{path} is not a Word file that can be read."


def no_items(path: PurePath) -> str:
    return f"{path} contains no items."


def unknown_kind(path: PurePath | str) -> str:
    return f"{path} is a kind of file that callout cannot read."


def known_kinds(kinds: str) -> str:
    return f"It reads these kinds: {kinds}."


def too_many_lines(path: PurePath, most: int) -> str:
    return f"{path} has more than {most:,} lines, which is the limit."


def table_unreadable(error: Exception) -> str:
    return f"This table cannot be read: {error}."


ASK_REPLY = "What is the right reply?"
ASK_BLANK = "The card leaves a blank. What kind of value is written there?"
ASK_LINE = "Is a value written on the line, or does the line only lead to the reply (no)?"
ASK_HOLE = (
    "There seems to be a blank here. Write the reply with ____ for each value; "
    "leave it empty if there is none."
)
ASK_POSITIONS = "Which positions can it have? For example: on / off."
ASK_SEAT = "Whose mark is this?"
ASK_LAYOUT = (
    "This page may be read wrongly as a whole: few of its lines make a likely item. "
    "Have you compared every item with the picture?"
)
ASK_RANGE = "The card gives a range. Which reply counts? Leave empty to keep the range."


def ask_slash(raw: str) -> str:
    return f'"{raw}": must both be said, in that order, or does either do?'


def ask_letters(shown: str) -> str:
    return f"Hard to read. Is this right, or what does it say? {shown}"


def ask_unread(shown: str) -> str:
    return f"Something on this line could not be read. Is this all, or what does it say? {shown}"


INK_NOT_READ = "something that could not be read"


def ask_bracket(words: str) -> str:
    return f'"({words})": does it say when the item applies (when), or is it part of its name?'


def ask_two_parts(more: str) -> str:
    return f'"{more}" is printed beside it and is kept as a note. Which reply counts?'


def once_again(challenge: str, number: int) -> str:
    """A challenge that stands more than once on a card; ``number`` counts from 1."""
    return f"{challenge} again" if number == 2 else f"{challenge}, time {number}"


def on_the_card(text: str) -> str:
    return f"On the card: {text}"


def no_such_choice(words: str) -> str:
    return f'"{words}" is not one of the answers.'


def choose_one(choices: str) -> str:
    return f"Choose one of: {choices}."


ASK_CHANGE = "Anything wrong? Type the number of an item, or press Enter to write the list"
ASK_WORDS = 'What does it say? For example "Parking brake .... set"; "-" leaves the item out'
NEXT_STEP = "Next: edit it, then `callout check` and `callout show` it."


def read_as(source: str, title: str) -> str:
    return f"{source}, read as: {title}"


def ends_with(call: str) -> str:
    return f'It ends with "{call}".'


def left_out(text: str, where: str) -> str:
    return f'Left out: "{text}" ({where})'


def not_placed(text: str, where: str) -> str:
    return f'Not placed: "{text}" ({where}). If it belongs to an item, add it there.'


def printed_sideways(text: str, where: str) -> str:
    return f'Printed sideways, not placed: "{text}" ({where})'


def to_decide(count: int) -> str:
    return "One thing to decide." if count == 1 else f"{count} things to decide."


def where_stands(page: int, line: int) -> str:
    return f"page {page}, line {line}" if page else f"line {line}"


def item_line(number: int, where: str, text: str) -> str:
    return f"Item {number}, {where}: {text}"


def no_such_item(number: str, most: int) -> str:
    return f'There is no item "{number}"; the last is {most}.'


def items_written(file: PurePath, count: int) -> str:
    return f"{file}: {count} {'item' if count == 1 else 'items'} written."


def left_undecided(count: int) -> str:
    things = "One item was" if count == 1 else f"{count} items were"
    return f"{things} not sure: look for `# ?` in the list."


def flight_written(path: PurePath, names: str) -> str:
    return f"{path}: {names} added, to be filled in before the flight."


def flight_lines_missing(path: PurePath) -> str:
    return f"Add these lines to {path}:"


def reading_source(source: PurePath) -> str:
    return f"Reading {source} ..."


def pictures_written(path: PurePath) -> str:
    return f"{path}: each item beside its picture. Open it in a browser."


PICTURES_NEED = "The page of pictures needs the Jinja2 library."


def several_as_one(count: int, titles: str) -> str:
    return (
        f"It contains {count} lists ({titles}); they were written as one. To get a file "
        "for each, give a folder instead of a file."
    )


def ask_each(count: int, titles: str, folder: PurePath) -> str:
    return f"It contains {count} lists: {titles}. Write each to its own file in {folder}?"


OTHER_FOLDER = "Choose another folder, or use --replace."


def next_for_folder(folder: PurePath) -> str:
    return f"Next: edit them, then `callout check {folder}` and `callout fly {folder}`."
