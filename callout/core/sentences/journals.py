"""Journals, registers and exports: reading, repairing, taking names out."""

from __future__ import annotations

from pathlib import PurePath


def secret_not_created(path: PurePath, error: str) -> str:
    return f"The secret {path} cannot be created: {error}."


def secret_unreadable(path: PurePath, error: str) -> str:
    return f"The secret {path} cannot be read: {error}."


SECRET_HINT = "Name another file with --salt, or delete this one; the pseudonyms will then be new."


def secret_too_short(path: PurePath) -> str:
    return f"{path} is too short to be the secret for pseudonyms."


def not_exported(message: str) -> str:
    return f"{message} It is not exported."


def not_empty_folder(to: PurePath) -> str:
    return f"{to} is not an empty folder."


NEW_FOLDER_HINT = "Name a new one with --to."


def is_inside(to: PurePath, inside: PurePath) -> str:
    return f"{to} is inside {inside}."


OTHER_FOLDER_HINT = "Name a folder elsewhere with --to."


def pseudonyms_readme(people: int) -> str:
    return (
        f"Journals of {people} people without names, remarks, notes and free reasons.\nEach "
        "person has the same pseudonym in every export made with the same secret.\nDates "
        "and times are unchanged: anyone who knows the roster can tell who flew when.\nThe "
        "text of the lists stays, except whole names; parts of names are removed "
        "from\nreplies, titles, ids and file names.\n"
    )


def old_file_kept_as(name: str) -> str:
    return f" The old file is kept as {name}."


def line_is_damaged(path: PurePath, line: int, why: str) -> str:
    return f"{path}, line {line} is damaged: {why}."


DAMAGED_LOG_HINT = "Move the file away; callout then begins a new one."


def journal_in_use(path: PurePath) -> str:
    return f"Another session is writing to {path}."


UNWRITABLE_JOURNAL_HINT = "Free some space, or choose another folder with --journal-dir."


def journal_unwritable(path: PurePath, why: str) -> str:
    return f"The journal cannot be written to {path}: {why}."


def journal_unreadable(path: PurePath, why: str) -> str:
    return f"The journal {path} cannot be read: {why}."


def journal_too_long(path: PurePath, limit: float) -> str:
    return f"The journal {path} is longer than {limit:,} bytes."


def journal_closed(where: str) -> str:
    return f"The journal {where} is closed."


def records_contradict(path: PurePath | str) -> str:
    return f"The records of {path} contradict one another."


def register_unreadable(path: PurePath, why: str) -> str:
    return f"The register {path} cannot be read: {why}."


DAMAGED_REGISTER_HINT = (
    "See what is left with: callout instructor verify. Begin another register with --register FILE."
)


def first_record_damaged(path: PurePath) -> str:
    return f"The first record of {path} is damaged. It names the list, so nothing can be saved."


def not_a_list_journal(path: PurePath) -> str:
    return f"{path} is not the journal of a list."


def no_name_for_journal(name: str) -> str:
    return (
        f"This flight's journal refers to a list's journal as {name!r}, which cannot be a "
        "file name."
    )


START_FLIGHT_ANEW = "Nothing was written. Start the flight anew with: callout fly"


def same_session_twice(path: PurePath | str, before: PurePath | str) -> str:
    return f"{path} holds the same session as {before}, so it counts once."


def last_line_unfinished(path: PurePath) -> str:
    return f"The last line of {path} is incomplete; the lines before it count."


NOT_COUNTED = "It was left as it is and does not count."


def lost_but_others_count(lost: str, path: PurePath) -> str:
    return f"{lost} of {path} could not be saved when it was repaired; the others count."


SIGN_OFF_NEEDS_NAMES = "A sign-off needs the names of the instructor and the trainee."


def folder_not_signed_hint(folder: PurePath) -> str:
    return f"Name its journals, for example: callout instructor sign {folder}/*.jsonl ..."


def folder_not_signed(path: PurePath) -> str:
    return f"{path} is a folder; a sign-off covers single journals."


def still_running(path: PurePath) -> str:
    return f"The session in {path} is still running."


STILL_RUNNING_HINT = "Sign it when it has ended."

NOTHING_TO_SIGN = "There is nothing to sign in it."

INCOMPLETE_JOURNAL_HINT = "Only a complete journal can be signed."

UNFINISHED_SESSION_HINT = "Finish the session with callout resume, then sign it."


def last_line_incomplete(path: PurePath) -> str:
    return f"The last line of {path} is incomplete."


INCOMPLETE_LINE_HINT = "Finish it with callout resume, then sign it."


def session_not_finished(path: PurePath) -> str:
    return f"The session in {path} is not finished."


def no_register(register: PurePath) -> str:
    return f"There is no register at {register}."
