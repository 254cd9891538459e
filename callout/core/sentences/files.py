"""Files that people name: lists, flight data, overlays, workbooks, replies, cards."""

from __future__ import annotations

from pathlib import PurePath

HTML_CARD_NEEDS_JINJA2 = "An HTML card needs the Jinja2 library."

PDF_CARD_NEEDS_FPDF2 = "A PDF card needs the fpdf2 library."


def file_unwritable(path: PurePath, reason: Exception | str) -> str:
    return f"{path} cannot be written: {reason}."


OVERLAY_ALONE_HINT = "Check the overlay together with its list."


def unknown_ending(path: PurePath | None) -> str:
    return f"Callout cannot write a file with the ending of {path}."


def known_endings(known: str) -> str:
    return f"Use one of these endings: {known}."


NO_LISTS = "There are no lists in it."

NO_LISTS_HINT = "Name a list, or a folder of lists."


def unusual_line_endings(path: PurePath) -> str:
    return f"{path} has unusual line endings, so it was not changed."


LINE_ENDINGS_HINT = "Save it with ordinary line endings (LF or CRLF)."


def unknown_fact_hint(fact: str) -> str:
    return f"Add `{fact}: unknown` to its facts."


def file_cannot_be_read(path: PurePath, why: Exception | str | None) -> str:
    return f"{path} cannot be read: {why}."


TEXT_FILE_HINT = "Use a text file with one JSON object per line."


def not_utf8(path: PurePath) -> str:
    return f"{path} is not UTF-8 text."


NOT_UTF8_HINT = "Save it as UTF-8."


def label_must_be_one_of(where: str, labels: str) -> str:
    return f'{where}: "label" must be one of {labels}, or "ok" must be true or false.'


CORRECT_LINE = "Correct the line."

PAIR_HINT = 'Write it as {"reply": "on", "expect": "on"}.'


def line_too_long(where: str) -> str:
    return f"{where}: the line is too long."


def not_json(where: str) -> str:
    return f"{where}: this is not JSON."


def no_reply_text(where: str) -> str:
    return f'{where}: it must be an object with a text "reply".'


def no_expectation(where: str) -> str:
    return f'{where}: "expect" is missing or empty.'


def tolerance_not_a_number(where: str) -> str:
    return f'{where}: "tolerance" must be a number.'


TOLERANCE_HINT = "Write a number, such as 50."


def not_text(where: str, name: str) -> str:
    return f'{where}: "{name}" must be a text or a list of texts.'


QUOTES_HINT = "Put it in quotes."

WORKBOOK_HINT = "Open it in a spreadsheet program and save it again, or save it as CSV."

SPREADSHEET_INSTALL_HINT = 'Run: pip install "callout[cards]" - or save the sheet as CSV.'

SPREADSHEET_LIBRARY_MISSING = "Reading a spreadsheet needs python-calamine."


def workbook_too_costly(path: PurePath, megabytes: int, seconds: int) -> str:
    return f"{path} would take more than {megabytes} MB or {seconds} seconds to read."


ONE_LIST_IN_SHEET = "Keep only one list in the sheet, and delete everything beside it."


def workbook_unreadable(path: PurePath) -> str:
    return f"{path} is not a readable workbook."


def workbook_too_large(path: PurePath) -> str:
    return f"{path} is too large for a list."


ONE_LIST_IN_WORKBOOK = "Keep only one list in the workbook."


def sheet_too_large(path: PurePath, size: str, most_cells: float) -> str:
    return f"{path}: a sheet has {size}; the limit is {most_cells:,} cells."


LIST_GIVEN_HINT = "Name the list directly: `callout show LIST`."

FLIGHT_GIVEN_HINT = "Give it with `--flight`, or keep it as flight.yaml beside the list."

OVERLAY_GIVEN_HINT = "Give it with `--overlay`, after the list that it changes."


def wrong_kind(path: PurePath | str, found: str, wanted: str) -> str:
    return f"{path}, line 1: this is a {found} file, not a {wanted} file."


def utf16_file(path: PurePath) -> str:
    return f"{path}, line 1: the file is UTF-16 text."


def line_not_utf8(path: PurePath, line: int) -> str:
    return f"{path}, line {line}: this is not UTF-8 text."


SAVE_AS_UTF8_HINT = "Save it again as UTF-8."


def folder_hint(path: PurePath) -> str:
    return f"Name a file in it, or run `callout list {path}` to see its lists."


def folder_not_file(path: PurePath) -> str:
    return f"{path} is a folder, not a file."


def not_a_file(path: PurePath) -> str:
    return f"{path} is not a file."


NOT_A_FILE_HINT = "Name a YAML file."

NO_FILE_HINT = "Check the name, or run `callout list` to see the lists you have."

UNREADABLE_FILE_HINT = "Check the name, and that you have permission to read it."

LARGE_FILE_HINT = "A list is rarely over 20 kB. Split it, or check that this is the right file."


def file_too_large(path: PurePath | str) -> str:
    return f"{path} is larger than 1 MB."


SMALLER_FOLDER_HINT = "Name a smaller folder."


def too_many_files(folder: PurePath, most_files: int) -> str:
    return f"{folder} holds more than {most_files} YAML files."


def too_many_folders(folder: PurePath) -> str:
    return f"{folder} holds too many folders to search."


ONE_AIRCRAFT_HINT = "Name the folder of one aircraft."


def not_a_folder_hint(folder: PurePath) -> str:
    return f"Name a folder, or run `callout show {folder}`."


def not_a_folder(folder: PurePath) -> str:
    return f"{folder} is not a folder."


def not_a_checklist_hint(name: str) -> str:
    return f"Make a list of it first: `callout new {name}`."


def not_a_checklist(name: str) -> str:
    return f"{name} is not a checklist."


def no_such_list(name: str) -> str:
    return f"{name} does not exist, and no shipped list has that name."


def no_such_aircraft_hint(names: str) -> str:
    return f"Name a folder, or one of: {names}."


def no_such_aircraft(name: PurePath) -> str:
    return f"{name} does not exist, and no shipped aircraft has that name."


def wordings_not_accepted(message: str) -> str:
    return f"{message} Its wordings are not accepted."


def wording_left_out(message: str) -> str:
    return f"{message} This wording is left out."


def wordings_line_not_ours(file: PurePath, line: int) -> str:
    return f"{file}, line {line} is not written as `callout wordings` writes it."


UNDO_IT_YOURSELF = "Undo that change by hand."


def only_accept_belongs_here(where: str) -> str:
    return f"{where}: only `accept:` belongs here."


def installation_lacks_folder(name: str) -> str:
    return f"This installation lacks its {name} folder."


def same_list_id(name: str, other: str) -> str:
    return f'the id "{name}" is already that of {other}.'


SAME_LIST_ID_HINT = "Give each list of a folder its own id: records hang on it."
