"""Help of the options of commands that read journals."""

from __future__ import annotations

JOURNAL_DIR = "Journal folder [default: CALLOUT_JOURNAL_DIR, or your data folder]."

HTML = "Write a page with charts that opens offline."

MARKDOWN = 'Write Markdown; "-" prints it.'

CSV = 'Write a CSV table for spreadsheets; "-" prints it.'

JSON = "Print it as JSON."

JSON_FILE = "Write it as JSON."

PLAIN = "One fact per line, for screen readers and pipes."

CLUSTER_KEYS = "Folder with the certificate and key that all machines share."

HOST = "Address of this machine to listen on."

SCHEDULER_PORT = "Port to listen on; 0: any free port."

COLLECT_INTO = "Database file [default: your own, in the data folder]."

COLLECT_PARQUET = "Also write Parquet files, by school and month."

COLLECT_ANEW = "Rebuild the database instead of updating it."

COLLECT_SCHOOL = "School of the people in FOLDERS."

MEMORY = "Memory limit of the database."

COLLECT_WORKERS = "Number of processes that read."

COLLECT_SCHEDULER = "Let the workers of this cluster do the reading."

KEYS = "Keys of that cluster."

DEBRIEF_SPEAK = "Also read a short summary aloud."

FORGET_PERSON = "Crew name of the sessions."

FORGET_SINCE = "First day, such as 2026-03-01."

FORGET_UNTIL = "Last day (included)."

FORGET_SHARED = "Also sessions flown with somebody else."

FORGET_DRY_RUN = "Show what would be deleted, without deleting it."

YES = "Do not ask for confirmation."

REGISTER = "Register of sign-offs [default: the one in your journal folder]."

FROM = "Read a collection instead of journals."
SOUND_IS_IN_JOURNALS = "A collection holds no sound: give --with-sound with the journal itself."

EXPORT_TO = "New folder to write to."

EXPORT_SALT = "File with the secret behind the pseudonyms."

EXPORT_REMOVE_NAME = "Another name to remove from all text; may repeat."

SIGN_BY = "Who signs off."

SIGN_TRAINEE = "Trainee whose sessions these are."

SIGN_RESULT = "The instructor's conclusion."

SIGN_REMARK = "Remark to keep with the sign-off."

VERIFY_LAST = "Hash of a sign-off that you wrote down elsewhere."

BY = "Who writes it."

CLASS_SCHOOL = "Only this school of the collection."

CLASS_HTML = "Write a page that opens offline."

AGREE_DUE = "When it is due."

SETTLE_WORDS = "How it was settled."

STANDARD_AT_MOST = "Percentage of items with a deviation, at most."

STANDARD_CRITICAL = "Deviations at critical items, at most."

STANDARD_LATEST = "Number of latest sessions that count."

JOURNAL_JSON = "Print the summary as JSON."

JOURNAL_ROWS = "How many to list; 0 lists all."

JOURNAL_REPAIR = "Save the undamaged part of JOURNAL; the damaged file is kept too."

QUERY_ON = "Database from `callout collect`, or a folder of its Parquet files [default: your own]."

QUERY_REPORT = "Print the standard report."

QUERY_PART = "Only this part of the report; may repeat."

QUERY_COLUMNS = "List the tables and columns, then stop."

QUERY_SQL_OF = "Print the SQL of one part, then stop."

QUERY_FORMAT = "Output format."

QUERY_ROWS = "Most rows to show [default: 40 in a table; 0: all]."

QUERY_SECONDS = "Time limit for each part."

QUERY_WORKERS = "Number of processes for the report (needs Parquet files)."

QUERY_SCHEDULER = "Let the workers of this cluster do it."

FORGET_ONLY_SOUND = "Delete only the kept sound of replies; the journals stay."

DEBRIEF_WITH_SOUND = (
    "Put the kept sound of slips into the HTML report: whoever gets the file can hear them, and "
    "`callout forget` does not find copies elsewhere."
)

REPLAY_SLIPS = "Only the items where something went wrong, step by step."

REPLAY_PLAY = "Play the kept sound of this record; may repeat."

TRENDS_PERSON = "Only sessions of this crew name."

TRENDS_AIRCRAFT = "Only aircraft with this in their name."

TRENDS_LIST = "Only this list, by its id."

TRENDS_PHASE = "Only this phase of flight."

TRENDS_SINCE = "First day to count (UTC)."

TRENDS_UNTIL = "Last day to count (UTC)."

TRENDS_COMPARE = "Compare phases, lists or items (LIST/ITEM); give it at least twice."
