"""Collections of journals, queries and clusters."""

from __future__ import annotations

LOAD_JOURNALS_FIRST_CALLOUT = "Load journals first: callout collect."


def query_too_long(length: float, most: float) -> str:
    return f"The query has {length:,} characters, more than {most:,}."


USE_SHORTER_QUERY = "Use a shorter query."


def query_took_too_long(seconds: float) -> str:
    return f"The query took longer than {seconds:g} seconds."


ALLOW_MORE_SECONDS = "Allow more with --seconds."

ALLOW_MORE_MEMORY_ASK = "Allow more with --memory, or ask for less at once."

QUERY_NEEDS_MORE_MEMORY = "The query needs more memory than the limit."


def query_crashed(name: object) -> str:
    return f"The query crashed the database library ({name})."


WRITE_QUERY_ANOTHER_WAY = "Write the query another way."


def query_process_ended(code: object) -> str:
    return f"The query process ended unexpectedly ({code})."


def not_sql(error: object) -> str:
    return f"This is not SQL: {error}."


def several_statements(count: object) -> str:
    return f"There are {count} statements."


ASK_ONE_TIME = "Ask one at a time."


def only_read(kind: object) -> str:
    return f"You can read a collection with SQL, but not change it: {kind} is refused."


BEGIN_SELECT_FROM_DESCRIBE = "Begin with SELECT, FROM, WITH, DESCRIBE or SUMMARIZE."


def query_failed(error: object) -> str:
    return f"The query failed: {error}."


def no_parquet_files(folder: object) -> str:
    return f"There are no Parquet files of a collection in {folder}."


def not_collection(path: object) -> str:
    return f"{path} is not a collection."


CHOOSE_ANOTHER_NAME = "Choose another name."


def made_by_other_version(path: object) -> str:
    return f"{path} was made by another version of callout collect."


CHOOSE_ANOTHER_NAME_REBUILD = "Choose another name, or rebuild it with --anew."

COLLECTIONS_JOURNALS_NEED_DUCKDB = "Collections of journals need the duckdb library."

WRITE_NUMBER_UNIT_SUCH = "Write a number and a unit, such as 500MB or 2GB."

TRY_AGAIN_WHEN_OTHER = "Try again when the other program has ended."


def use_another_program(path: object) -> str:
    return f"{path} is in use by another program."


REBUILD_FROM_JOURNALS_CALLOUT = "Rebuild it from the journals: callout collect."


def collection_unreadable(path: object) -> str:
    return f"{path} is not a readable collection."


MAKE_FROM_JOURNALS_FIRST = "Make it from journals first: callout collect."


def no_collection(target: object) -> str:
    return f"There is no collection at {target}."


REBUILD_CALLOUT_COLLECT_ANEW = "Rebuild it: callout collect --anew."


def lacks_tables_version_needs(target: object) -> str:
    return f"{target} lacks tables that this version needs."


def list_of_collections_unwritable(path: object, why: object) -> str:
    return f"{path}, the list of collections, cannot be written: {why}."


FORGET_NEEDS_THE_LIST = (
    "Without it `callout forget` could not find this collection. Free some space, or "
    "allow writing there."
)


def holds_files_another_collection(folder: object) -> str:
    return f"{folder} holds the files of another collection."


CHOOSE_ANOTHER_FOLDER_EMPTY = "Choose another folder, or empty this one."


def listening_ctrl_c_ends(address: object) -> str:
    return f"Listening at {address}. Ctrl-C ends it."


def working_ctrl_c_ends(address: object) -> str:
    return f"Working for {address}. Ctrl-C ends it."


CHECK_ADDRESS_KEYS_SCHEDULER = "Check the address and the keys, and that a scheduler runs there."


def does_not_work_at(where: object) -> str:
    return f"It cannot work at {where}."


KEEP_USING_NAME_ANOTHER = "Keep using it, or name another folder."


def worker_failed(error: object) -> str:
    return f"A worker failed: {error}."


ALLOW_MORE_MEMORY_TRY = "Allow more with --memory, or try again."

TRY_AGAIN_LEAVE_OUT = "Try again, or leave out --workers."


def workers_did_not_start(error: object) -> str:
    return f"The workers did not start: {error}."


WRITE_AS_TLS_192 = "Write it as tls://192.168.1.20:8786."

GIVE_TLS_ADDRESS_TOGETHER = "Give a tls:// address together with --keys FOLDER."

ONLY_WITH_ITS_KEYS = "A scheduler answers only those who have its keys."


def no_scheduler_answers(address: object) -> str:
    return f"No scheduler answers at {address}."


START_ONE_CALLOUT_CLUSTER = (
    "Start one with callout cluster scheduler --keys FOLDER, and use its keys."
)


def no_worker_has_joined(address: object) -> str:
    return f"No worker has joined {address}."


SEVERAL_WORKERS_NEED_DISTRIBUTED = "Several workers need the distributed library."

QUERY_FAILED_UNTOLD = "The query failed, and the database's own message cannot be read."

QUERY_VALUE_TOO_LARGE = "The query gives a value too large to show."

CAST_TO_TEXT = "Show it as text: CAST(... AS VARCHAR)."
