"""What is wrong with a list, an overlay or flight data, and how to correct it."""

from __future__ import annotations

KEEP_ONE_LIST_PER = "Keep one list per file; delete the line with the three dashes."

START_FROM_EXAMPLE_CHECKLISTS = "Start from an example in checklists/."

SAVE_FILE_AS_PLAIN = "Save the file as plain UTF-8 text."

QUOTE_BRACES = "Put quotes around text that begins with a brace or bracket."

DELETE_ONE_TWO = "Delete one of the two."

QUOTE_REFERENCES = "Write the text in full; put quotes around it if it begins with & or *."

QUOTE_EXCLAMATION_MARK = "Put quotes around text that begins with an exclamation mark."

USE_FEWER_LEVELS = "Use fewer levels."

SPLIT_FILE = "Split the file."

USE_SPACES_INSTEAD_TABS = "Use spaces instead of tabs."

QUOTE_COLON_AND_SPACE = "Put quotes around text that contains a colon followed by a space."

QUOTE_RESERVED_SIGNS = "Put quotes around text that begins with @, `, % or a tab."

CLOSE_QUOTES_BRACKETS_OPENED = "Close the quotes or brackets opened above."

CHECK_KEYS_LINE_UP = "Check that the keys line up, and that each has a colon and a space after it."
