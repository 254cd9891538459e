"""What the web pages of a session answer to requests they do not serve."""

from __future__ import annotations

WRONG_ADDRESS = "This is not the address of this page.\n"

NOTHING_HERE = "There is nothing here.\n"

FORBIDDEN = "This page may not do that.\n"

ENTER_CODE = "Enter the code.\n"

CODE_WRONG = "That code is wrong.\n"

TOO_MANY_ATTEMPTS = "Too many attempts.\n"

ENTER_CODE_FIRST = "Enter the code first.\n"

TOO_MANY_PAGES = "Too many pages are already open.\n"

LIVE_CONNECTION = "This is a live connection.\n"

NO_LONGER_KEPT = "This is no longer kept. Go back to the page.\n"

NOT_FROM_THE_PAGE = "The page never sends this.\n"

TOO_MANY_REQUESTS = "Too many requests at once.\n"

FILE_NEEDS_NAME = "The file needs a name.\n"

ANOTHER_FILE_BEING_READ = "Another file is being read.\n"

TOO_LARGE = "This is too large.\n"

ARRIVED_INCOMPLETE = "This arrived incomplete.\n"

GLANCE_PAGE_NEEDS_PACKAGE = "The glance page needs a package that is not installed."

GLANCE_PAGE_FAILED = "The glance page did not start."

SESSION_CONTINUES = "The session continues without it."


def glance_port_unusable(port: int, address: str, why: str | None) -> str:
    return f"The glance page cannot open: port {port} of {address} cannot be used ({why})."


GLANCE_PORT_HINT = "Choose another with --glance-port or --glance-address."
