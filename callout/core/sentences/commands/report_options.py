"""Help of the options of commands that read journals."""

from __future__ import annotations

JOURNAL_FOLDER_DEFAULT_CALLOUT = (
    "Journal folder (default: CALLOUT_JOURNAL_DIR, or your data folder)."
)

WRITE_PAGE_CHARTS_OPENS = "Write a page with charts that opens offline."

WRITE_MARKDOWN_PRINTS = 'Write Markdown; "-" prints it.'

WRITE_CSV_TABLE_SPREADSHEETS = 'Write a CSV table for spreadsheets; "-" prints it.'

PRINT_AS_JSON = "Print it as JSON."

WRITE_AS_JSON = "Write it as JSON."

ONE_FACT_PER_LINE = "One fact per line, for screen readers and pipes."

FOLDER_CERTIFICATE_KEY_ALL = "Folder with the certificate and key that all machines share."

ADDRESS_MACHINE_LISTEN_ON = "Address of this machine to listen on."

PORT_LISTEN_ON_0 = "Port to listen on; 0: any free port."

DATABASE_FILE_DEFAULT_YOUR = "Database file [default: your own, in the data folder]."

ALSO_WRITE_PARQUET_FILES = "Also write Parquet files, by school and month."

REBUILD_DATABASE_INSTEAD_UPDATING = "Rebuild the database instead of updating it."

SCHOOL_PEOPLE_FOLDERS = "School of the people in FOLDERS."

SIZE_LIMIT_DATABASE = "Size limit of the database."

NUMBER_PROCESSES_READ = "Number of processes that read."

LET_WORKERS_CLUSTER_DO = "Let the workers of this cluster do the reading."

KEYS_CLUSTER = "Keys of that cluster."

ALSO_READ_SHORT_SUMMARY = "Also read a short summary aloud."

CREW_NAME_SESSIONS = "Crew name of the sessions."

FIRST_DAY_SUCH_AS = "First day, such as 2026-03-01."

LAST_DAY_INCLUDED = "Last day (included)."

ALSO_SESSIONS_FLOWN_SOMEBODY = "Also sessions flown with somebody else."

SHOW_WHAT_WOULD_DELETED = "Show what would be deleted, without deleting it."

DO_NOT_ASK_CONFIRMATION = "Do not ask for confirmation."

REGISTER_SIGN_OFFS_DEFAULT = "Register of sign-offs [default: the one in your journal folder]."

READ_COLLECTION_INSTEAD_JOURNALS = "Read a collection instead of journals."

NEW_FOLDER_WRITE = "New folder to write to."

FILE_SECRET_BEHIND_PSEUDONYMS = "File with the secret behind the pseudonyms."

ANOTHER_NAME_REMOVE_FROM = "Another name to remove from all text; may repeat."

WHO_SIGNS_OFF = "Who signs off."

TRAINEE_WHOSE_SESSIONS_THESE = "Trainee whose sessions these are."

INSTRUCTORS_CONCLUSION = "The instructor's conclusion."

REMARK_KEEP_SIGN_OFF = "Remark to keep with the sign-off."

HASH_SIGN_OFF_YOU = "Hash of a sign-off that you wrote down elsewhere."

WHO_WRITES = "Who writes it."

ONLY_SCHOOL_COLLECTION = "Only this school of the collection."

WRITE_PAGE_OPENS_OFFLINE = "Write a page that opens offline."

WHEN_DUE = "When it is due."

HOW_SETTLED = "How it was settled."

PERCENTAGE_ITEMS_DEVIATION_MOST = "Percentage of items with a deviation, at most."

DEVIATIONS_CRITICAL_ITEMS_MOST = "Deviations at critical items, at most."

NUMBER_LATEST_SESSIONS_COUNT = "Number of latest sessions that count."

PRINT_SUMMARY_AS_JSON = "Print the summary as JSON."

HOW_MANY_LIST_0 = "How many to list; 0 lists all."

SAVE_UNDAMAGED_PART_JOURNAL = "Save the undamaged part of JOURNAL; the damaged file is kept too."

DATABASE_FROM_CALLOUT_COLLECT = (
    "Database from `callout collect`, or a folder of its Parquet files [default: your own]."
)

PRINT_STANDARD_REPORT = "Print the standard report."

ONLY_PART_REPORT_MAY = "Only this part of the report; may repeat."

LIST_TABLES_COLUMNS_THEN = "List the tables and columns, then stop."

PRINT_SQL_ONE_PART = "Print the SQL of one part, then stop."

OUTPUT_FORMAT = "Output format."

MOST_ROWS_SHOW_DEFAULT = "Most rows to show [default: 40 in a table; 0: all]."

MEMORY_LIMIT = "Memory limit."

TIME_LIMIT_EACH_PART = "Time limit for each part."

NUMBER_PROCESSES_REPORT_NEEDS = "Number of processes for the report (needs Parquet files)."

LET_WORKERS_DO_IT = "Let the workers of this cluster do it."

ONLY_SESSIONS_CREW_NAME = "Only sessions of this crew name."

ONLY_AIRCRAFT_THEIR_NAME = "Only aircraft with this in their name."

ONLY_LIST_ID = "Only this list, by its id."

ONLY_PHASE_FLIGHT = "Only this phase of flight."

FIRST_DAY_COUNT_UTC = "First day to count (UTC)."

LAST_DAY_COUNT_UTC = "Last day to count (UTC)."

COMPARE_PHASES_LISTS_ITEMS = "Compare phases, lists or items (LIST/ITEM); give it at least twice."
