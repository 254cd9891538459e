"""The full-screen view at the sizes terminals have."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.console import Console, ConsoleDimensions
from rich.style import Style

from callout.core.checklist_run.viewing import view_of
from callout.core.conversation import events as ev
from callout.core.conversation.view_model import ViewModel
from callout.core.model.commands import Command
from callout.core.model.verdict import Verdict
from callout.terminal.big import big_lines
from callout.terminal.screen import draw_screen, folded_lines
from callout.terminal.theme import DOING, PALETTES, STATUS, VERDICT, VERDICT_WORD, Colours
from tests.core.session_kit import BEGAN, Desk, two_seats

SAFETY = "For simulation, study and briefing only. The approved manual always rules."


def lines(view: ViewModel, width: int = 80, height: int = 24, encoding: str = "utf-8") -> list[str]:
    text = draw_screen(view, "on", "", SAFETY, ConsoleDimensions(width, height), encoding)
    return text.plain.split("\n")


def seen(desk: Desk) -> str:
    return "\n".join(lines(view_of(desk.state)))


@pytest.fixture
def desk() -> Desk:
    return Desk().start()


def test_at_80_by_24_everything_needed_is_there(desk: Desk) -> None:
    desk.say("come back to that").say("off")
    shown = seen(desk)
    for needed in (
        "Fuel pump?", "CRITICAL", "CAUTION: Not above 5 minutes.", 'Heard "off"', "MISMATCH",
        "[deferred]", "[now]", "[not applicable]", "Deferred: Beacon", "0/4 done", "Reply> on",
        "? help", "simulation",
    ):  # fmt: skip
        assert needed in shown, needed


def test_no_meaning_is_carried_by_colour_alone() -> None:
    for table in (STATUS, VERDICT, DOING):
        symbols = [look.symbol for look in table.values()]
        plain = [look.ascii for look in table.values()]
        assert len(set(symbols)) == len(symbols)
        assert len(set(plain)) == len(plain)
        assert all(mark.isascii() for mark in plain)
    assert set(VERDICT_WORD) == set(Verdict)


def test_only_a_mismatch_alerts() -> None:
    """14 CFR 25.1322: red is for what must be acted on now, and for nothing else."""
    looks = [look for table in (STATUS, VERDICT, DOING) for look in table.values()]
    assert [look for look in looks if look.style == "alert"] == [VERDICT[Verdict.MISMATCH]]


@pytest.mark.parametrize(
    ("colours", "ground"), [(Colours.DARK, (0, 0, 0)), (Colours.LIGHT, (255, 255, 255))]
)
def test_colours_stand_out_by_wcag(colours: Colours, ground: tuple[int, int, int]) -> None:
    """WCAG 2.2, 1.4.6 (AAA): a contrast of 7:1, or 4.5:1 for the bold alert on black."""
    for name, style in PALETTES[colours].items():
        colour = Style.parse(style).color
        assert colour
        triplet = colour.get_truecolor()
        least = 4.5 if name == "alert" else 7.0
        assert contrast((triplet.red, triplet.green, triplet.blue), ground) >= least, name


def test_contrast_itself() -> None:
    """Worked values: white on black 21:1; #767676 on white 4.54:1 (WCAG 2.2 definition)."""
    assert contrast((255, 255, 255), (0, 0, 0)) == pytest.approx(21.0)
    assert contrast((0x76, 0x76, 0x76), (255, 255, 255)) == pytest.approx(4.54, abs=0.005)


def contrast(one: tuple[int, int, int], other: tuple[int, int, int]) -> float:
    """Return the contrast ratio by the formula of WCAG 2.2."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def luminance(colour: tuple[int, int, int]) -> float:
    """Return the relative luminance by the formula of WCAG 2.2."""
    parts = [c / 255 for c in colour]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_the_current_challenge_is_large(desk: Desk) -> None:
    assert len(big_lines("Beacon?", 78, 6)) >= 4
    assert max(map(len, big_lines("Beacon?", 78, 6))) > 20
    assert big_lines("Beacon?", 78, 0) == ("B E A C O N ?",)
    assert big_lines("Höhenmesser?", 78, 6) == ("H Ö H E N M E S S E R ?",)


def test_a_hold_and_a_question_look_like_themselves(desk: Desk) -> None:
    assert "HOLDING" in seen(desk.say("hold"))
    desk.say("continue").say("stop")
    assert "Stop Before start checklist with 4 items not done? Yes or no?" in seen(desk)


def test_options_are_numbered(desk: Desk) -> None:
    desk.say("on", sure=False).say("on", sure=False)
    shown = seen(desk)
    assert "1  off" in shown
    assert "2  on" in shown


def test_help_fits_80_by_24(desk: Desk) -> None:
    shown = seen(desk.say("help"))
    assert "end the list unfinished (asks first)" in shown


SIZES = ((40, 20), (80, 24), (120, 40))
LOST = ev.AdapterFailed(
    ev.Stamp(99, 101.0, BEGAN),
    "hearing",
    "The PortAudio library, which reaches microphones, is not installed.",
    "sudo apt install libportaudio2",
)


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_the_verdict_and_the_typing_line_are_there_at_every_size(width: int, height: int) -> None:
    desk = Desk().start().feed(LOST).say("off")
    shown = lines(view_of(desk.state), width, height)
    text = " ".join(" ".join(shown).split())
    assert 'MISMATCH Heard "off"; this item wants "on".' in text
    assert "Beacon?" in text or "B E A C O N" in text
    assert any(line.startswith("Reply> on") for line in shown)
    assert "simulation" in text
    assert text.count('"off"') == 1, "what was heard is told once"


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_help_is_whole_at_every_size(width: int, height: int, desk: Desk) -> None:
    shown = "\n".join(lines(view_of(desk.say("help").state), width, height))
    for entry in desk.state.context.commands.entries:
        if entry.command not in (Command.DO_ANYWAY, Command.READ_ALOUD):
            assert entry.phrases[0] in shown, entry.command
    assert "more;" not in shown


def test_help_asked_for_while_replies_are_offered_is_shown(desk: Desk) -> None:
    desk.say("on", sure=False).say("on", sure=False).say("help")
    assert "hear the challenge again" in seen(desk)


def test_what_does_not_fit_is_counted() -> None:
    found = folded_lines([f"word{n:02}  about" for n in range(40)], 5, 40)
    shown = [cell for row in found[:-1] for cell in row.split()]
    assert len(found) == 5
    assert found[-1].startswith(f"... and {40 - len(shown)} more")


def test_trouble_with_the_microphone_is_told_once() -> None:
    desk = Desk().start().feed(LOST)
    assert "PortAudio" in seen(desk)
    desk.type("on")
    assert "PortAudio" not in seen(desk)
    assert "KEYBOARD" in seen(desk)


def test_the_same_trouble_of_two_parts_is_shown_once() -> None:
    desk = Desk().start().feed(LOST).feed(replace(LOST, part="tones"))
    assert seen(desk).count("PortAudio") == 1


def test_trouble_with_the_journal_stays() -> None:
    desk = Desk().start().feed(replace(LOST, part="journal", message="The disk is full."))
    assert "The disk is full." in seen(desk.type("on"))


def test_a_reply_accepted_before_is_not_taken_for_one_to_what_is_asked_now(desk: Desk) -> None:
    shown = seen(desk.say("on"))
    assert "Before: ✓ Beacon: on." in shown
    assert "RIGHT" not in shown
    assert "✗ MISMATCH" in seen(desk.say("off"))


def test_a_first_right_reply_of_two_is_about_what_is_asked_now() -> None:
    desk = Desk(two_seats()).start().say("five").say("fastened")
    assert "✓ RIGHT" in seen(desk)


@given(st.integers(20, 200), st.integers(6, 70), st.sampled_from(("utf-8", "ascii", "cp437")))
@settings(max_examples=60, deadline=None)
def test_it_never_overflows_the_terminal(width: int, height: int, encoding: str) -> None:
    desk = Desk().start().say("off").say("come back to that").say("what is left")
    found = lines(view_of(desk.state), width, height, encoding)
    assert len(found) == height
    console = Console(width=width)
    assert all(console.measure(line).maximum <= width for line in found if line)
    "\n".join(found).encode(encoding, "strict" if encoding == "utf-8" else "replace")


def test_an_old_terminal_gets_plain_characters(desk: Desk) -> None:
    "\n".join(lines(view_of(desk.state), encoding="ascii")).encode("ascii")
