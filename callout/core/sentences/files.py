"""Files that people name: lists, flight data, overlays, workbooks, replies, cards."""

from __future__ import annotations

HTML_CARD_NEEDS_JINJA2 = "An HTML card needs the Jinja2 library."

PDF_CARD_NEEDS_FPDF2 = "A PDF card needs the fpdf2 library."


def cannot_written(path: object, reason: object) -> str:
    return f"{path} cannot be written: {reason}."


CHECK_OVERLAY_TOGETHER_LIST = "Check the overlay together with its list."


def ending_not_one_callout(path: object) -> str:
    return f"The ending of {path} is not one that callout can write."


def use_one_these_endings(known: object) -> str:
    return f"Use one of these endings: {known}."


NO_LISTS = "There are no lists in it."

NAME_LIST_FOLDER_LISTS = "Name a list, or a folder of lists."


def unusual_line_endings(path: object) -> str:
    return f"{path} has unusual line endings, so it was not changed."


SAVE_ORDINARY_LINE_ENDINGS = "Save it with ordinary line endings (LF or CRLF)."


def add_unknown_fact(fact: object) -> str:
    return f"Add `{fact}: unknown` to its facts."


def file_cannot_be_read(path: object, why: object) -> str:
    return f"{path} cannot be read: {why}."


USE_TEXT_FILE_ONE = "Use a text file with one JSON object per line."


def is_not_utf_8(path: object) -> str:
    return f"{path} is not UTF-8 text."


SAVE_AS_UTF_8 = "Save it as UTF-8."


def label_must_be_one_of(where: object, labels: object) -> str:
    return f'{where}: "label" must be one of {labels}, or "ok" must be true or false.'


CORRECT_LINE = "Correct the line."

WRITE_AS = 'Write it as {"reply": "on", "expect": "on"}.'


def line_too_long(where: object) -> str:
    return f"{where}: the line is too long."


def not_json(where: object) -> str:
    return f"{where}: this is not JSON."


def object_text_reply_needed(where: object) -> str:
    return f'{where}: an object with a text "reply" is needed.'


def expect_missing_empty(where: object) -> str:
    return f'{where}: "expect" is missing or empty.'


def tolerance_must_number(where: object) -> str:
    return f'{where}: "tolerance" must be a number.'


WRITE_A_NUMBER = "Write a number, such as 50."


def must_text_list_texts(where: object, name: object) -> str:
    return f'{where}: "{name}" must be a text or a list of texts.'


PUT_QUOTES = "Put it in quotes."

OPEN_SPREADSHEET_PROGRAM_SAVE = (
    "Open it in a spreadsheet program and save it again, or save it as CSV."
)

RUN_PIP_INSTALL_CALLOUT = 'Run: pip install "callout[cards]" - or save the sheet as CSV.'

READING_SPREADSHEET_NEEDS_PYTHON = "Reading a spreadsheet needs python-calamine."


def workbook_takes_too_much(path: object, megabytes: object, seconds: object) -> str:
    return f"{path} would take more than {megabytes} MB or {seconds} seconds to read."


ONE_LIST_IN_SHEET = "Keep only one list in the sheet, and delete everything beside it."


def not_readable_workbook(path: object) -> str:
    return f"{path} is not a readable workbook."


def too_large_list(path: object) -> str:
    return f"{path} is too large for a list."


ONE_LIST_IN_WORKBOOK = "Keep only one list in the workbook."


def sheet_has_limit_cells(path: object, size: object, most_cells: float) -> str:
    return f"{path}: a sheet has {size}; the limit is {most_cells:,} cells."


NAME_LIST_DIRECTLY_CALLOUT = "Name the list directly: `callout show LIST`."

GIVE_FLIGHT_KEEP_AS = "Give it with `--flight`, or keep it as flight.yaml beside the list."

GIVE_OVERLAY_AFTER_LIST = "Give it with `--overlay`, after the list that it changes."


def line_1_file_not(path: object, value: object, value_2: object) -> str:
    return f"{path}, line 1: this is a {value} file, not a {value_2} file."


def line_1_file_utf(path: object) -> str:
    return f"{path}, line 1: the file is UTF-16 text."


def line_not_utf_8(path: object, line: object) -> str:
    return f"{path}, line {line}: this is not UTF-8 text."


SAVE_AGAIN_AS_UTF_8 = "Save it again as UTF-8."


def name_file_run_callout(path: object) -> str:
    return f"Name a file in it, or run `callout list {path}` to see its lists."


def folder_not_file(path: object) -> str:
    return f"{path} is a folder, not a file."


def not_file(path: object) -> str:
    return f"{path} is not a file."


NAME_YAML_FILE = "Name a YAML file."

CHECK_NAME_RUN_CALLOUT = "Check the name, or run `callout list` to see the lists you have."

CHECK_NAME_YOU_ALLOWED = "Check the name, and that you are allowed to read it."

LIST_RARELY_OVER_20 = "A list is rarely over 20 kB. Split it, or check that this is the right file."


def larger_than_1_mb(path: object) -> str:
    return f"{path} is larger than 1 MB."


NAME_SMALLER_FOLDER = "Name a smaller folder."


def holds_more_than_yaml(folder: object, most_files: object) -> str:
    return f"{folder} holds more than {most_files} YAML files."


def holds_too_many_folders(folder: object) -> str:
    return f"{folder} holds too many folders to search."


NAME_FOLDER_ONE_AIRCRAFT = "Name the folder of one aircraft."


def name_folder_or_show(folder: object) -> str:
    return f"Name a folder, or run `callout show {folder}`."


def not_folder(folder: object) -> str:
    return f"{folder} is not a folder."


def make_list_first_callout(name: object) -> str:
    return f"Make a list of it first: `callout new {name}`."


def not_checklist(name: object) -> str:
    return f"{name} is not a checklist."


def no_such_list(name: object) -> str:
    return f"{name} does not exist, and no shipped list has that name."


def name_folder_one(names: object) -> str:
    return f"Name a folder, or one of: {names}."


def no_such_aircraft(name: object) -> str:
    return f"{name} does not exist, and no shipped aircraft has that name."


def wordings_not_accepted(message: object) -> str:
    return f"{message} Its wordings are not accepted."


def wording_left_out(message: object) -> str:
    return f"{message} This wording is left out."


def wordings_line_not_ours(file: object, line: object) -> str:
    return f"{file}, line {line} is not written as `callout wordings` writes it."


UNDO_IT_YOURSELF = "Undo that change by hand."


def only_accept_belongs_here(where: object) -> str:
    return f"{where}: only `accept:` belongs here."


def installation_lacks_folder(name: object) -> str:
    return f"This installation lacks its {name} folder."
