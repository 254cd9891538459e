"""One screen of a session as text lines, fitted to the terminal's size."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console, ConsoleDimensions
from rich.text import Text

from callout.core.conversation.view_model import Doing, Row, Status, ViewModel
from callout.core.model.utterance import ReplySource
from callout.core.sentences import settings_help as sentences
from callout.terminal.big import big_lines
from callout.terminal.theme import DOING, STATUS, VERDICT, VERDICT_WORD, look_symbol

_TALL = 30
"""Rows from which the large letters may take more room."""
_SHORT = 20
"""Rows below which there is no room for large letters."""
_NARROW = 60
"""Columns below which words are shortened."""
_BODY = 3
"""Rows of the list that justify leaving out other things."""
_SAFETY = sentences.SHORT_SAFETY
"""The short safety note, if there is no room for all of it."""


def draw_screen(
    view: ViewModel,
    typed: str,
    notice: str,
    safety: str,
    size: ConsoleDimensions,
    encoding: str,
) -> Text:
    """Return exactly ``size.height`` lines of at most ``size.width`` columns.

    The question, the result of the last reply and the typing line are always shown; the rest
    follows in this order as space allows: trouble, the list, the safety note, keys, notes.
    """
    width, height = size.width, size.height
    console = Console(width=width)
    top = _wrapped_lines(_top_lines(view, width, height, encoding), console)
    typing = _wrapped_lines([_typing_line(view, typed)], console)
    over, under, notes = _fitted_screen(
        view, notice, safety, height - len(top) - len(typing), console
    )
    foot = [*over, *typing, *under]
    room = max(0, height - len(top) - len(notes) - len(foot))
    body = _wrapped_lines(_body_lines(view, room, width, encoding), console)[:room]
    body += [Text("")] * (room - len(body))
    lines = [*top[: max(0, height - len(foot))], *notes, *body, *foot]
    return Text("\n").join(lines[:height])


def _top_lines(view: ViewModel, width: int, height: int, encoding: str) -> list[Text]:
    rule = "─" * width if _fits_encoding("─", encoding) else "-" * width
    return [
        _header_line(view, width, encoding),
        *([Text(rule)] if height >= _SHORT else []),
        *_challenge_lines(view, width, height, encoding),
        *_verdict_lines(view, height, encoding),
    ]


def _fitted_screen(
    view: ViewModel, notice: str, safety: str, room: int, console: Console
) -> tuple[list[Text], list[Text], list[Text]]:
    """Return the lines above the typing line, those below it, and notes: as many as fit.

    A part is left out whole, the least needed first.
    """
    wanted = len(view.lines) or len(view.options) + bool(view.options) or _BODY
    rest = room - min(wanted, max(0, room - 1))
    under: list[Text] = []
    over: list[Text] = []
    notes: list[Text] = []

    def take(into: list[Text], *lines: Text) -> bool:
        nonlocal rest
        fitted = _wrapped_lines(lines, console)
        if not fitted or len(fitted) > rest:
            return False
        into.extend(fitted)
        rest -= len(fitted)
        return True

    for trouble in _trouble_lines(view, notice):
        if not take(over, trouble) and len(over) < room:  # trouble goes before the list
            over.extend(_wrapped_lines([trouble], console)[: room - len(over)])
            rest = 0
    hints = Text("  ".join(f"{key} {words}" for key, words in view.hints), "quiet")
    if not take(under, hints, Text(safety, "quiet")) and not take(under, Text(safety, "quiet")):
        take(under, Text(_SAFETY, "quiet"))
    if view.elsewhere:
        take(under, Text(view.elsewhere, "quiet"))
    for note in view.notes:
        take(notes, Text(f"Note: {note}"))
    return over, under, notes


def _trouble_lines(view: ViewModel, notice: str) -> list[Text]:
    lines = [Text(f"! {trouble.message}", "attention") for trouble in view.troubles]
    if view.deferred:
        lines.append(Text(f"Deferred: {', '.join(view.deferred)}", "attention"))
    told = {trouble.message for trouble in view.troubles}
    return [*lines, *([Text(f"! {notice}", "alert")] if notice and notice not in told else [])]


def _typing_line(view: ViewModel, typed: str) -> Text:
    return Text.assemble(("Reply> ", "bold"), typed, ("_", "blink"))


def _header_line(view: ViewModel, width: int, encoding: str) -> Text:
    look = DOING[view.doing]
    narrow = width < _NARROW
    word = view.doing.value.split()[-1 if view.doing is Doing.WAITING else 0] if narrow else ""
    state = f"{look_symbol(look, encoding)} {(word or view.doing.value).upper()}"
    extras = [
        word for word, on in (("quiet", view.quiet), (f"pace {view.pace:g}", view.pace != 1)) if on
    ]
    left = " · ".join(part for part in (view.title, view.section) if part)
    done = f"{view.done}/{view.total}{'' if narrow else ' done'}"
    right = "  ".join([*extras, done, state])
    gap = max(1, width - len(left) - len(right))
    return Text.assemble(
        (left[: max(0, width - len(right) - 1)], "bold"), " " * gap, (right, look.style)
    )


def _challenge_lines(view: ViewModel, width: int, height: int, encoding: str) -> list[Text]:
    rows = 0 if height < _SHORT or view.lines else 6 if height < _TALL else 9
    ended = view.challenge.rstrip("?. ")
    asking = view.current is not None and not view.question and view.doing is not Doing.HOLDING
    text = f"{ended}?" if asking else ended
    style = "bold" if not view.question else "attention"
    lines = [Text(line, style) for line in big_lines(text, width - 2, rows)]
    who = [word for word in (view.role, "CRITICAL" if view.critical else "") if word]
    place = f"{view.unit} {(view.current or 0) + 1} of {len(view.rows)}"
    number = place if view.current is not None else ""
    under = "  ".join(part for part in (text if len(lines) > 1 else "", number, *who) if part)
    lines.append(Text(under, "bold"))
    return lines + [Text(f"CAUTION: {caution}", "attention") for caution in view.cautions]


def _verdict_lines(view: ViewModel, height: int, encoding: str) -> list[Text]:
    """Return the result of the last reply, and say so if it was to the previous item."""
    gap = [Text("")] if height >= _SHORT else []
    line = Text()
    if view.settled and view.verdict:
        look = VERDICT[view.verdict]
        line.append("Before: ", "quiet").append(f"{look_symbol(look, encoding)} ", look.style)
    elif view.verdict:
        look = VERDICT[view.verdict]
        line.append(f"{look_symbol(look, encoding)} {VERDICT_WORD[view.verdict]}", look.style)
        line.append("  ")
    line.append(view.sentence)
    heard = "" if view.heard_told else _heard_text(view)
    return [*gap, *([Text(heard)] if heard else []), *([line] if line.plain else []), *gap]


def _heard_text(view: ViewModel) -> str:
    if not view.heard and view.heard_from is not ReplySource.VOICE:
        return ""
    verb = {ReplySource.KEYBOARD: "Typed", ReplySource.KEY: "Key"}.get(
        view.heard_from or ReplySource.VOICE, "Heard"
    )
    words = f'"{view.heard}"' if view.heard else "a sound, but no words"
    seat = f"  from the {view.heard_seat}" if view.heard_seat else ""
    return f"{verb}: {words}{seat}{'' if view.heard_sure else '  (not sure)'}"


def _body_lines(view: ViewModel, room: int, width: int, encoding: str) -> list[Text]:
    if view.options and not view.lines:
        return [
            Text("Choose by number:"),
            *(Text(f"  {n}  {o}") for n, o in enumerate(view.options, 1)),
        ]
    if view.lines:
        return [Text(line) for line in folded_lines(view.lines, room, width)]
    return [_row_line(row, encoding) for row in _row_window(view, room)]


def folded_lines(lines: Sequence[str], room: int, width: int) -> list[str]:
    """Return lines so that all fit: unchanged, or their first parts in columns.

    If even that does not fit, the last line says how many are missing.
    """
    if sum(max(1, -(-len(line) // width)) for line in lines) <= room:
        return list(lines)
    first = [line.split("  ")[0].strip() if line == line.lstrip() else line for line in lines]
    column = max(map(len, first)) + 2
    across = max(1, (width + 2) // column)
    down = -(-len(first) // across)
    rows = ["".join(f"{cell:<{column}}" for cell in first[n::down]) for n in range(down)]
    fitting = [row.rstrip() for row in rows]
    if len(fitting) <= room or room < 1:
        return fitting
    missing = len(first) - sum(len(first[n::down]) for n in range(room - 1))
    return [*fitting[: room - 1], f"... and {missing} more; a larger window shows them"]


def _row_window(view: ViewModel, room: int) -> tuple[Row, ...]:
    """Return the rows around the current one that fit."""
    if len(view.rows) <= room:
        return view.rows
    pending = (n for n, row in enumerate(view.rows) if row.status is Status.PENDING)
    centre = next(pending, len(view.rows) - 1) if view.current is None else view.current
    start = min(max(0, centre - room // 3), len(view.rows) - room)
    return view.rows[start : start + room]


def _row_line(row: Row, encoding: str) -> Text:
    look = STATUS[row.status]
    note = f"  {row.note}" if row.note else ""
    word = "" if row.status in (Status.PENDING, Status.ANSWERED) else f"  [{row.status.value}]"
    mark = " (critical)" if row.critical and row.status is Status.CURRENT else ""
    text = f"{look_symbol(look, encoding)} {row.number:>2} {row.challenge}{mark}{word}{note}"
    return Text(text, look.style, no_wrap=True)


def _wrapped_lines(lines: Sequence[Text], console: Console) -> list[Text]:
    width = console.width
    found: list[Text] = []
    for line in lines:
        if line.no_wrap or line.cell_len <= width:
            line.truncate(width, overflow="ellipsis")
            found.append(line)
        else:
            found += list(line.wrap(console, width))
    return found


def _fits_encoding(text: str, encoding: str) -> bool:
    try:
        text.encode(encoding)
    except (UnicodeEncodeError, LookupError):
        return False
    return True
