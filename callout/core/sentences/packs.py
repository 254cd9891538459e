"""What is said about packs of lists."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import PurePath

GET_IT_AGAIN = "Get it again from its author, and check it against what the author says about it."
ONE_LINE = "Write one line of at most 200 letters."
HOW_NAMES_LOOK = "Use small letters, digits and hyphens, such as harrow-fen-twin."
HOW_VERSIONS_LOOK = "Write it as 1.0 or 2.3.1."
NOTHING = "nothing"
NO_LISTS_HINT = "Name a folder with lists, such as my-aircraft."
CHECK_FIRST = "Run `callout check` on the folder, and correct what it names."
REPLACE_IT = "Use --replace to take the new one; callout keeps the old one beside it."
LISTS_DIFFER = "Nothing was added: here the lists do not give the verdicts their author states."


def about_missing(where: str, key: str) -> str:
    return f"{where} does not state its {key}."


def about_missing_hint(key: str) -> str:
    return f"Give it with --{key}."


def unusable_text(where: str, key: str) -> str:
    return f"{where}: its {key} is not one plain line of text."


def unusable_name(where: str, name: str) -> str:
    return f'{where}: "{name}" is not a usable name for a pack.'


def unusable_version(where: str, version: str) -> str:
    return f'{where}: "{version}" is not a version.'


def no_manifest(where: PurePath | str) -> str:
    return f"{where} is not a pack of lists."


def unusable_files(where: str, most: int) -> str:
    return f"{where} lists no files, or more than {most}."


def unusable_file(where: str, name: str) -> str:
    return f"{where} lists a file that a pack may not hold: {str(name)[:80]!r}."


def no_checksum(where: str, name: str) -> str:
    return f"{where} has no checksum for {name}."


def changed_about(key: str, before: str, after: str) -> str:
    return f"{key}: {before} -> {after}"


def list_gone(title: str) -> str:
    return f"List removed: {title}."


def list_new(title: str, count: int) -> str:
    return f"List added: {title} ({count} items)."


def item_gone(challenge: str, replies: str, critical: bool) -> str:
    return f"- {challenge}: {replies}{' (critical)' if critical else ''}"


def item_new(challenge: str, replies: str, critical: bool) -> str:
    return f"+ {challenge}: {replies}{' (critical)' if critical else ''}"


def item_moved(challenge: str) -> str:
    return f"~ {challenge}: moved"


def changed_list(key: str, before: str, after: str) -> str:
    return f"~ the list's {key.replace('_', ' ')}: {before} -> {after}"


def changed_flow(gone: Sequence[str], new: Sequence[str]) -> str:
    if not gone and not new:
        return "~ the flow: in another order"
    return f"~ the flow: {'; '.join(gone) or NOTHING} -> {'; '.join(new) or NOTHING}"


def changed_file(name: str) -> str:
    return f"{name}: changed."


def file_gone(name: str) -> str:
    return f"{name}: removed."


def file_new(name: str) -> str:
    return f"{name}: added."


def changed_item(challenge: str, key: str, before: str, after: str) -> str:
    return f"~ {challenge}: {key.replace('_', ' ')}: {before} -> {after}"


def no_archive(path: PurePath) -> str:
    return f"{path} is not a pack of lists."


def archive_refused(path: PurePath | str, why: str) -> str:
    return f"{path} is refused: {why}."


def too_many_files(count: int, most: int) -> str:
    return f"it holds {count:,} files; a pack has at most {most}"


def too_large(most: int) -> str:
    return f"it unpacks to more than {most // 1_000_000} MB"


def no_plain_file(name: str) -> str:
    return f"{str(name)[:80]!r} is a link, a folder or locked, not a plain file"


def twice_there(name: str) -> str:
    return f"it holds {str(name)[:80]!r} twice"


def unnamed_file(name: str) -> str:
    return f"it holds {str(name)[:80]!r}, which is not on its list of files"


def missing_file(name: str) -> str:
    return f"it lacks {name}, which is on its list of files"


def wrong_checksum(name: str) -> str:
    return f"{name} is not what its author packed: the checksum differs"


def damaged_file(name: str) -> str:
    return f"{str(name)[:80]!r} is damaged"


def lists_unusable(path: str, first: str) -> str:
    return f"{path}: a list in it has an error: {first}"


def no_lists(folder: PurePath | str) -> str:
    return f"{folder} contains no lists."


def pair_unusable(path: str, line: int, why: str) -> str:
    return f"{path}, line {line}: {why}."


def how_pairs_look() -> str:
    return 'Write {"list": "taxi", "item": "brakes", "reply": "checked", "verdict": "match"}.'


def pair_differs(title: str, challenge: str, reply: str, wanted: str, found: str) -> str:
    return (
        f'{title}, {challenge}: for "{reply}" the author expects {wanted}; '
        f"here it is judged {found}."
    )


def pairs_agree(count: int) -> str:
    return f"{count} replies are judged here as the author says."


def pairs_differ(count: int, whole: int) -> str:
    return f"{count} of {whole} replies are judged differently here."


def pack_made(path: PurePath, title: str, version: str, lists: int, pairs: int) -> str:
    return f"{path}: {title} {version}, {lists} lists, {pairs} replies with their verdicts."


def pack_added(title: str, version: str, folder: PurePath) -> str:
    return f"{title} {version} is in {folder}."


def same_pack(title: str, version: str) -> str:
    return f"You already have {title} {version}, unchanged."


def already_there(folder: PurePath, version: str) -> str:
    return f"{folder} already exists, version {version}."


def kept_old(folder: PurePath) -> str:
    return f"The earlier version is kept in {folder}."


def no_difference() -> str:
    return "The lists are the same."


def about_lines(title: str, version: str, author: str, source: str, licence: str) -> Sequence[str]:
    return (
        f"{title} {version}",
        f"  by {author}",
        f"  from {source}",
        f"  licence {licence}",
    )


MANIFEST_LINE_EXAMPLE = 'Each line looks like: author = "A. Pilot".'
