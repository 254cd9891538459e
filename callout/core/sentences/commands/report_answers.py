"""What commands that read journals answer in the terminal."""

from __future__ import annotations

from datetime import datetime
from pathlib import PurePath


def undamaged_nothing_changed(path: PurePath, kept: str) -> str:
    return f"{path} is undamaged: {kept}. Nothing was changed."


def line_damaged(number: int, why: str) -> str:
    return f"Line {number} is damaged: {why}."


LAST_LINE_INCOMPLETE = "The last line was incomplete."


def lost_session_had_ended(first: str) -> str:
    return f"Lost: {first}. The session had ended; the rest counts."


def records_left_out(records: str, since: datetime) -> str:
    return (
        f"Left out: {records} from {since:%H:%M:%S} UTC on, because the lost records may "
        "have changed what they mean. If you resume, the session asks again from there."
    )


def cluster_keys_written(folder: PurePath) -> str:
    return f"Written to {folder}; only you can read it. Copy the folder to each of your machines."


def parquet_files_written(folder: PurePath, count: int) -> str:
    return f"{folder}: {count} Parquet files written."


JOURNALS_STAY = "The journals stay."

NO_SLIP = "Nothing went wrong at any item of this session."

NOT_SEARCHED = (
    "Not searched: other encodings; parts of a name, or its parts in another order; "
    "packed archives; recogniser models; settings other than the crew table."
)

CONFIRM_DELETION = "Delete this for good?"

FORGET_WHOM = "Name a person, or the days to forget."

DAYS_REVERSED = "The last day comes before the first."

GIVE_AS_SINCE_AND_UNTIL = "Give the first as --since and the last as --until."


def to_be_deleted(files: str) -> str:
    return f"To be deleted: {files}."


NOTHING_TO_DELETE = "There is no file to delete."


def also_from_collection(database: PurePath, sessions: str) -> str:
    return f"Also deleted from the collection {database}: {sessions}."


def name_also_removed_from(settings: PurePath) -> str:
    return f"The name is also removed from {settings}."


def journals_name_nobody(count: int) -> str:
    return f"{count} journals name nobody. Delete those by date: --since, --until."


def kept_for_others(count: int) -> str:
    return f"Kept, because somebody else flew them too: {count} (add --shared to include them)."


def rewritten_without(path: PurePath) -> str:
    return f"Rewritten without them and checked: {path}."


def notes_removed(count: int) -> str:
    return f"Notes and agreed actions removed: {count}."


def sign_offs_reduced(count: int) -> str:
    return f"Sign-offs reduced to their hashes: {count}."


COPIES_ELSEWHERE = "Exports, copies and backups made elsewhere are not touched."

NAME_FOLDERS_OR_FROM = "Name folders of journals, or a collection with --from."


def journals_exported(count: int, people: int, folder: PurePath) -> str:
    return f"{count} journals of {people} people are in {folder}."


def keep_the_secret(file: PurePath) -> str:
    return (
        f"Keep the secret {file} to yourself: whoever has it can test whether a pseudonym "
        "belongs to a given name."
    )


EXPORT_CAVEAT = "Dates and times are unchanged. Read a few journals before you hand them on."


def signed_off(number: int, sessions: str, trainee: str, result: str, instructor: str) -> str:
    return f"Sign-off {number}: {sessions} of {trainee}, {result}, by {instructor}."


def sign_offs_checked(count: int, journals: int, place: PurePath) -> str:
    return f"{count} sign-offs and {journals} journals checked in {place}."


SOMETHING_CHANGED = "Something was changed."

ONLY_LAST_SHOWS = "Only --last HASH can show whether sign-offs are missing at the end."


def no_sign_offs_in(place: PurePath) -> str:
    return f"There are no sign-offs in {place}."


def no_sessions_yet(folder: PurePath) -> str:
    return f"There are no sessions in {folder} yet."


def lost_in_repair(what: str) -> str:
    return f"{what} could not be saved when this journal was repaired."


NO_QUERY = "Give a query in SQL, or --report."


def journal_has_no_records(journal: PurePath | str) -> str:
    return f"The journal {journal} is empty."


NOTHING_RECORDED = "Nothing was recorded."
