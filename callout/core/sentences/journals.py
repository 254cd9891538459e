"""Journals, registers and exports: reading, repairing, taking names out."""

from __future__ import annotations


def secret_cannot_made(path: object, error: object) -> str:
    return f"The secret {path} cannot be made: {error}."


def secret_cannot_read(path: object, error: object) -> str:
    return f"The secret {path} cannot be read: {error}."


NAME_ANOTHER_FILE_SALT = (
    "Name another file with --salt, or delete this one; the pseudonyms will then be new."
)


def too_short_secret_pseudonyms(path: object) -> str:
    return f"{path} is too short to be the secret for pseudonyms."


def is_not_exported(message: object) -> str:
    return f"{message} It is not exported."


def not_empty_folder(to: object) -> str:
    return f"{to} is not an empty folder."


NAME_NEW_ONE = "Name a new one with --to."


def is_inside(to: object, inside: object) -> str:
    return f"{to} is inside {inside}."


NAME_FOLDER_ELSEWHERE = "Name a folder elsewhere with --to."


def pseudonyms_readme(people: object) -> str:
    return (
        f"Journals of {people} people without names, remarks, notes and free reasons.\nEach "
        "person has the same pseudonym in every export made with the same secret.\nDates "
        "and times are unchanged: anyone who knows the roster can tell who flew when.\nThe "
        "text of the lists stays, except whole names; parts of names are removed "
        "from\nreplies, titles, ids and file names.\n"
    )


def old_file_kept_as(name: object) -> str:
    return f" The old file is kept as {name}."


def line_is_damaged(path: object, line: object, why: object) -> str:
    return f"{path}, line {line} is damaged: {why}."


MOVE_FILE_AWAY_CALLOUT = "Move the file away; callout then begins a new one."


def another_session_writing(path: object) -> str:
    return f"Another session is writing to {path}."


FREE_SOME_SPACE_CHOOSE = "Free some space, or choose another folder with --journal-dir."


def journal_cannot_written(path: object, why: object) -> str:
    return f"The journal cannot be written to {path}: {why}."


def journal_cannot_read(path: object, why: object) -> str:
    return f"The journal {path} cannot be read: {why}."


def journal_too_long(path: object, limit: float) -> str:
    return f"The journal {path} is longer than {limit:,} bytes."


def journal_closed(where: object) -> str:
    return f"The journal {where} is closed."


def records_do_not_fit(path: object) -> str:
    return f"The records of {path} contradict one another."


def register_cannot_read(path: object, why: object) -> str:
    return f"The register {path} cannot be read: {why}."


SEE_WHAT_LEFT_CALLOUT = (
    "See what is left with: callout instructor verify. Begin another register with --register FILE."
)


def first_record_damaged(path: object) -> str:
    return f"The first record of {path} is damaged. It names the list, so nothing can be saved."


def not_journal_list(path: object) -> str:
    return f"{path} is not the journal of a list."


def no_name_for_journal(name: str) -> str:
    return f"This flight's journal names a list's journal {name!r}, which cannot be a file name."


START_FLIGHT_ANEW = "Nothing was written. Start the flight anew with: callout fly"


def holds_same_session_as(path: object, before: object) -> str:
    return f"{path} holds the same session as {before}, so it counts once."


def last_line_unfinished(path: object) -> str:
    return f"The last line of {path} is incomplete; the lines before it count."


LEFT_AS_DOES_NOT = "It was left as it is and does not count."


def lost_but_others_count(lost: object, path: object) -> str:
    return f"{lost} of {path} could not be saved when it was repaired; the others count."


SIGN_OFF_NEEDS_NAMES = "A sign-off needs the names of the instructor and the trainee."


def name_its_journals(folder: object) -> str:
    return f"Name its journals, for example: callout instructor sign {folder}/*.jsonl ..."


def folder_not_signed(path: object) -> str:
    return f"{path} is a folder; a sign-off covers single journals."


def still_running(path: object) -> str:
    return f"The session in {path} is still running."


SIGN_WHEN_HAS_ENDED = "Sign it when it has ended."

NOTHING_SIGN = "There is nothing to sign in it."

ONLY_COMPLETE_JOURNAL_CAN = "Only a complete journal can be signed."

FINISH_SESSION_CALLOUT_RESUME = "Finish the session with callout resume, then sign it."


def last_line_incomplete(path: object) -> str:
    return f"The last line of {path} is incomplete."


FINISH_CALLOUT_RESUME_THEN = "Finish it with callout resume, then sign it."


def session_not_finished(path: object) -> str:
    return f"The session in {path} is not finished."


def no_register(register: object) -> str:
    return f"There is no register at {register}."
