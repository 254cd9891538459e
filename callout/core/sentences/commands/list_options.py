"""Help of the options of commands that read or write lists."""

from __future__ import annotations

JSON = "Print one line of JSON per file."

CHECK_SARIF = "Print one SARIF 2.1.0 log, for code hosts and editors."

CHECK_STRICT = "Exit with code 1 even if there are only warnings."

CHECK_FIX = "First fix what can be fixed automatically; comments stay."

CHECK_RECOGNISER = "Also find words that this recogniser can never report."

CHECK_BY_EAR = "Also speak each reply with an installed voice and let the recogniser hear it."

CHECK_NOTES = "Also report points that often cannot be avoided."

CHECK_RULES = "Print every rule with its reason and source, then stop."

CHECK_PRINT_SCHEMA = "Print the JSON Schema for one kind of file, for editors, then stop."

EXPORT_TO = "File to write: .md, .csv, .html or .pdf."

EXPORT_FORMAT = "Format [default: from the file's ending, or md]."

EXPORT_SIZE = "Card size: half an A4 sheet, or half a Letter sheet for a kneeboard."

EXPORT_FOLD = "Two cards per sheet, with fold marks."

EXPORT_OVERLAY = "Operator overlay."

EXPORT_FLIGHT = "Flight data for the values."

LIST_PHASE = "Only lists of this phase of flight."

NEW_FROM = "What you have: PDF, photo, scan, Word, text, Markdown, CSV or spreadsheet."

NEW_TITLE = "Name of the list."

NEW_PHASE = "Phase of flight."

NEW_METHOD = "How the list is worked."

NEW_PICTURES = "Write a page that shows each item beside its picture."

NEW_NO_QUESTIONS = "Ask no questions; mark in FILE what is uncertain."

NEW_NO_COMMENTS = "Leave out the comments that explain the format."

NEW_REPLACE = "Replace FILE if it exists."

PACK_ADD_INTO = "Folder to put it in [default: your own lists]."

PACK_ADD_REPLACE = "Replace the version that is there."

PACK_MAKE_NAME = "Short name, also used for the folder: harrow-fen-twin."

PACK_MAKE_TITLE = "Name to show."

PACK_MAKE_VERSION = "Version of the lists: 1.0, 2.3.1."

PACK_MAKE_SOURCE = 'What they were made from: "own flow", "club procedures of 2025".'

PACK_MAKE_AUTHOR = "Who made them."

PACK_MAKE_LICENCE = "What others may do with them: CC0-1.0, CC-BY-4.0, private."

SHOW_OVERLAY = "Operator overlay to merge in; may repeat, in order."

SHOW_FLIGHT = "Flight data for the values [default: flight.yaml in the list's folder]."

SHOW_ORIGINS = "Show the file and line of every item."

SHOW_PLAIN = "Plain lines, even on a terminal."

PERSON = "Whose wordings [default: crew.name]."

WORDINGS_LIST_LOG = "Also show what was declined or revoked."
