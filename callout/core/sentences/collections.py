"""Collections of journals, queries and clusters."""

from __future__ import annotations

from pathlib import PurePath

LOAD_FIRST_HINT = "Load journals first: callout collect."


def query_too_long(length: float, most: float) -> str:
    return f"The query has {length:,} characters, more than {most:,}."


SHORTER_QUERY_HINT = "Use a shorter query."


def query_took_too_long(seconds: float) -> str:
    return f"The query took longer than {seconds:g} seconds."


QUERY_TIME_HINT = "Allow more with --seconds."

QUERY_MEMORY_HINT = "Allow more with --memory, or ask for less at once."

QUERY_OUT_OF_MEMORY = "The query needs more memory than the limit."


def query_crashed(name: str) -> str:
    return f"The query crashed the database library ({name})."


QUERY_CRASH_HINT = "Write the query another way."


def query_process_ended(code: int) -> str:
    return f"The query process ended unexpectedly ({code})."


def not_sql(error: str) -> str:
    return f"This is not SQL: {error}."


def several_statements(count: int) -> str:
    return f"There are {count} statements."


ONE_STATEMENT_HINT = "Ask one at a time."


def only_read(kind: str) -> str:
    return f"You can read a collection with SQL, but not change it: {kind} is refused."


READ_ONLY_HINT = "Begin with SELECT, FROM, WITH, DESCRIBE or SUMMARIZE."


def query_failed(error: str) -> str:
    return f"The query failed: {error}."


def no_parquet_files(folder: PurePath) -> str:
    return f"There are no Parquet files of a collection in {folder}."


def not_collection(path: PurePath) -> str:
    return f"{path} is not a collection."


OTHER_NAME_HINT = "Choose another name."


def made_by_other_version(path: PurePath) -> str:
    return f"{path} was made by another version of callout collect."


OTHER_VERSION_HINT = "Choose another name, or rebuild it with --anew."

DUCKDB_MISSING = "Collections of journals need the duckdb library."

SIZE_HINT = "Write a number and a unit, such as 500MB or 2GB."

IN_USE_HINT = "Try again once the other program has ended."


def in_use(path: str) -> str:
    return f"{path} is in use by another program."


UNREADABLE_HINT = "Rebuild it from the journals: callout collect."


def collection_unreadable(path: str) -> str:
    return f"{path} is not a readable collection."


NO_COLLECTION_HINT = "Make it from journals first: callout collect."


def no_collection(target: PurePath) -> str:
    return f"There is no collection at {target}."


OLD_TABLES_HINT = "Rebuild it: callout collect --anew."


def lacks_tables(target: PurePath) -> str:
    return f"{target} lacks tables that this version needs."


def list_of_collections_unwritable(path: PurePath, why: str) -> str:
    return f"{path}, the list of collections, cannot be written: {why}."


FORGET_NEEDS_THE_LIST = (
    "Without it `callout forget` could not find this collection. Free some space, or "
    "allow writing there."
)


def folder_of_another_collection(folder: PurePath) -> str:
    return f"{folder} holds the files of another collection."


OTHER_FOLDER_HINT = "Choose another folder, or empty this one."


def scheduler_listening(address: str) -> str:
    return f"Listening at {address}. Ctrl-C ends it."


def worker_started(address: str) -> str:
    return f"Working for {address}. Ctrl-C ends it."


CLUSTER_ADDRESS_HINT = "Check the address and the keys, and that a scheduler runs there."


def does_not_work_at(where: str) -> str:
    return f"It cannot work at {where}."


KEYS_EXIST_HINT = "Keep using it, or name another folder."


OWN_KEYS_HINT = "Give this user a copy of the folder that only they can read."


def worker_cannot_read(path: PurePath, why: str) -> str:
    return f"A worker cannot read {path}: {why}."


WORKER_RIGHTS_HINT = "Let the workers' user read it, or leave out --scheduler."


def read_here(count: str) -> str:
    return f"The workers could not read {count}; this process could."


def worker_failed(error: str) -> str:
    return f"A worker failed: {error}."


WORKER_MEMORY_HINT = "Allow more with --memory, or try again."

WORKERS_HINT = "Try again, or leave out --workers."


def workers_did_not_start(error: str) -> str:
    return f"The workers did not start: {error}."


SCHEDULER_ADDRESS_HINT = "Write it as tls://192.168.1.20:8786."

KEYS_HINT = "Give a tls:// address together with --keys FOLDER."

ONLY_WITH_ITS_KEYS = "A scheduler answers only those who have its keys."


def no_scheduler_answers(address: str) -> str:
    return f"No scheduler answers at {address}."


SCHEDULER_LOST = "The scheduler ended before the work was done."

COLLECT_AGAIN_HINT = "Start it and its workers again, then repeat the command: nothing is lost."

NO_SCHEDULER_HINT = "Start one with callout cluster scheduler --keys FOLDER, and use its keys."


def no_worker_has_joined(address: str) -> str:
    return f"No worker has joined {address}."


DISTRIBUTED_MISSING = "Several workers need the distributed library."

QUERY_FAILED_UNREADABLY = "The query failed, and the database's own message cannot be read."

QUERY_VALUE_TOO_LARGE = "The query gives a value too large to show."

CAST_TO_TEXT = "Show it as text: CAST(... AS VARCHAR)."

OUT_OF_BOUNDS = "A number in it is out of all bounds."


def cannot_be_kept(path: str, why: str, untouched: str) -> str:
    return f"{path} cannot be kept in a table: {why} {untouched}"


def folder_cannot_be_listed(path: PurePath, why: str) -> str:
    return f"The folder {path} cannot be listed: {why}."


def not_one_session(count: int, what: str, collection: PurePath) -> str:
    found = f"{count} sessions" if count else "No session"
    return f'{found} in {collection} begin{"" if count else "s"} with "{what}".'


NAME_ONE_SESSION = 'Name one: callout query --on COLLECTION "SELECT session_id FROM sessions"'
NAMED_IN_JOURNAL = "a list that only the journal names"
ONLY_IN_JOURNAL = (
    "Made from a collection: the timeline, each slip step by step, and kept sound are only in the "
    "journal."
)


def journal_is_at(path: str, *, there: bool) -> str:
    return f"Look there with: callout debrief {path}" if there else f"It is no longer at {path}."
