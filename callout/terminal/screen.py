"""One screen of a session as text lines, fitted to the terminal's size."""

from __future__ import annotations

from rich.console import ConsoleDimensions
from rich.text import Text

from callout.core.utterance import Source
from callout.core.view_model import Doing, Row, Status, ViewModel
from callout.terminal.big import big_lines
from callout.terminal.theme import DOING, STATUS, VERDICT, VERDICT_WORD, symbol

_TALL = 30
"""Rows from which the large letters may take more room."""
_SHORT = 20
"""Rows below which there is no room for large letters, key hints and the safety note."""


def draw(
    view: ViewModel,
    typed: str,
    notice: str,
    safety: str,
    size: ConsoleDimensions,
    encoding: str,
) -> Text:
    """Return exactly ``size.height`` lines of at most ``size.width`` columns."""
    width, height = size.width, size.height
    head = [
        _header(view, width, encoding),
        Text("─" * width if _fits("─", encoding) else "-" * width),
    ]
    centre = _challenge(view, width, height, encoding)
    verdict = _verdict(view, encoding)
    foot = _foot(view, typed, notice, safety if height >= _SHORT else "")
    top = [*head, *centre, *verdict]
    top = _wrapped(top, width)
    foot = _wrapped(foot, width)
    room = max(0, height - len(top) - len(foot))
    body = _wrapped(_body(view, room, encoding), width)[:room]
    body += [Text("")] * (room - len(body))
    lines = [*top[: max(0, height - len(foot))], *body, *foot][:height]
    return Text("\n").join(lines)


def _header(view: ViewModel, width: int, encoding: str) -> Text:
    look = DOING[view.doing]
    state = f"{symbol(look, encoding)} {view.doing.value.upper()}"
    extras = [
        word for word, on in (("quiet", view.quiet), (f"pace {view.pace:g}", view.pace != 1)) if on
    ]
    left = " · ".join(part for part in (view.title, view.section) if part)
    right = "  ".join([*extras, f"{view.done}/{view.total} done", state])
    gap = max(1, width - len(left) - len(right))
    return Text.assemble(
        (left[: max(0, width - len(right) - 1)], "bold"), " " * gap, (right, look.style)
    )


def _challenge(view: ViewModel, width: int, height: int, encoding: str) -> list[Text]:
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
    lines += [Text(f"CAUTION: {caution}", "attention") for caution in view.cautions]
    lines += [Text(f"Note: {note}") for note in view.notes]
    return lines


def _verdict(view: ViewModel, encoding: str) -> list[Text]:
    heard = _heard(view)
    line = Text()
    if view.verdict:
        look = VERDICT[view.verdict]
        line.append(f"{symbol(look, encoding)} {VERDICT_WORD[view.verdict]}", look.style)
        line.append("  ")
    line.append(view.sentence)
    return [Text(""), Text(heard), line]


def _heard(view: ViewModel) -> str:
    if not view.heard and view.heard_from is not Source.VOICE:
        return ""
    verb = {Source.KEYBOARD: "Typed", Source.KEY: "Key"}.get(
        view.heard_from or Source.VOICE, "Heard"
    )
    words = f'"{view.heard}"' if view.heard else "a sound, no words"
    seat = f"  from the {view.heard_seat}" if view.heard_seat else ""
    return f"{verb}: {words}{seat}{'' if view.heard_sure else '  (not sure)'}"


def _body(view: ViewModel, room: int, encoding: str) -> list[Text]:
    if view.options:
        return [
            Text("Choose by number:"),
            *(Text(f"  {n}  {o}") for n, o in enumerate(view.options, 1)),
        ]
    if view.lines:
        return [Text(line) for line in view.lines]
    return [_row(row, encoding) for row in _window(view, room)]


def _window(view: ViewModel, room: int) -> tuple[Row, ...]:
    """Return the rows around the current one that fit."""
    if len(view.rows) <= room:
        return view.rows
    pending = (n for n, row in enumerate(view.rows) if row.status is Status.PENDING)
    centre = next(pending, len(view.rows) - 1) if view.current is None else view.current
    start = min(max(0, centre - room // 3), len(view.rows) - room)
    return view.rows[start : start + room]


def _row(row: Row, encoding: str) -> Text:
    look = STATUS[row.status]
    note = f"  {row.note}" if row.note else ""
    word = "" if row.status in (Status.PENDING, Status.ANSWERED) else f"  [{row.status.value}]"
    mark = " (critical)" if row.critical and row.status is Status.CURRENT else ""
    text = f"{symbol(look, encoding)} {row.number:>2} {row.challenge}{mark}{word}{note}"
    return Text(text, look.style, no_wrap=True)


def _foot(view: ViewModel, typed: str, notice: str, safety: str) -> list[Text]:
    lines = [Text(f"! {trouble.message}", "attention") for trouble in view.troubles]
    if view.deferred:
        lines.append(Text(f"Deferred: {', '.join(view.deferred)}", "attention"))
    if notice:
        lines.append(Text(f"! {notice}", "alert"))
    lines.append(Text.assemble(("Reply> ", "bold"), typed, ("_", "blink")))
    if view.elsewhere:
        lines.append(Text(view.elsewhere, "quiet"))
    if safety:
        lines.append(Text("  ".join(f"{key} {words}" for key, words in view.hints), "quiet"))
        lines.append(Text(safety, "quiet"))
    return lines


def _wrapped(lines: list[Text], width: int) -> list[Text]:
    from rich.console import Console

    console = Console(width=width)
    found: list[Text] = []
    for line in lines:
        if line.no_wrap or line.cell_len <= width:
            line.truncate(width, overflow="ellipsis")
            found.append(line)
        else:
            found += list(line.wrap(console, width))
    return found


def _fits(text: str, encoding: str) -> bool:
    try:
        text.encode(encoding)
    except (UnicodeEncodeError, LookupError):
        return False
    return True
