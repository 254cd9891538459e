"""Help of the options of commands that read or write lists."""

from __future__ import annotations

PRINT_ONE_LINE_JSON = "Print one line of JSON per file."

PRINT_SARIF_LOG = "Print one SARIF 2.1.0 log, for code hosts and editors."

EXIT_CODE_1_EVEN = "Exit with code 1 even if there are only warnings."

FIRST_FIX_WHAT_CAN = "First fix what can be fixed automatically; comments stay."

ALSO_FIND_WORDS_RECOGNISER = "Also find words that this recogniser can never report."

ALSO_SPEAK_EACH_REPLY = (
    "Also speak each reply with an installed voice and let the recogniser hear it."
)

ALSO_UNAVOIDABLE = "Also report points that often cannot be avoided."

PRINT_EVERY_RULE_REASON = "Print every rule with its reason and source, then stop."

PRINT_JSON_SCHEMA_ONE = "Print the JSON Schema for one kind of file, for editors, then stop."

FILE_WRITE_MD_CSV = "File to write: .md, .csv, .html or .pdf."

FORMAT_DEFAULT_FROM_FILES = "Format [default: from the file's ending, or md]."

CARD_SIZE_HALF_A4 = "Card size: half an A4 sheet, or half a Letter sheet for a kneeboard."

TWO_CARDS_PER_SHEET = "Two cards per sheet, with fold marks."

OPERATOR_OVERLAY = "Operator overlay."

FLIGHT_DATA_VALUES = "Flight data for the values."

ONLY_LISTS_PHASE_FLIGHT = "Only lists of this phase of flight."

WHAT_YOU_HAVE_PDF = "What you have: PDF, photo, scan, Word, text, Markdown, CSV or spreadsheet."

NAME_LIST = "Name of the list."

PHASE_FLIGHT = "Phase of flight."

HOW_LIST_WORKED = "How the list is worked."

WRITE_PAGE_SHOWS_EACH = "Write a page that shows each item beside its picture."

ASK_NOTHING = "Ask no questions; mark in FILE what is uncertain."

LEAVE_OUT_COMMENTS_EXPLAIN = "Leave out the comments that explain the format."

REPLACE_FILE_IF_EXISTS = "Replace FILE if it exists."

FOLDER_PUT_OTHERWISE_YOUR = "Folder to put it in (otherwise your own lists)."

REPLACE_VERSION_THERE = "Replace the version that is there."

SHORT_NAME_ALSO_USED = "Short name, also used for the folder: harrow-fen-twin."

NAME_SHOW = "Name to show."

VERSION_LISTS_1_0 = "Version of the lists: 1.0, 2.3.1."

WHAT_THEY_WERE_MADE = 'What they were made from: "own flow", "club procedures of 2025".'

WHO_MADE_THEM = "Who made them."

WHAT_OTHERS_MAY_DO = "What others may do with them: CC0-1.0, CC-BY-4.0, private."

OPERATOR_OVERLAY_MERGE_MAY = "Operator overlay to merge in; may repeat, in order."

FLIGHT_DATA_VALUES_DEFAULT = (
    "Flight data for the values [default: flight.yaml in the list's folder]."
)

SHOW_FILE_LINE_EVERY = "Show the file and line of every item."

PLAIN_LINES_EVEN_ON = "Plain lines, even on a terminal."

WHOSE_WORDINGS_DEFAULT_CREW = "Whose wordings (default: crew.name)."

ALSO_SHOW_WHAT_DECLINED = "Also show what was declined or revoked."
