"""During a flow, and while memory items are recited."""

from __future__ import annotations

SAY_CONTROL = "Say the control and its position."


def another_comes_first(control: str) -> str:
    return f"Another control comes before {control}."


def stage_again(number: int, stages: int) -> str:
    return f"Stage {number} of {stages}: repeat it next time."


ALL_STAGES_DONE = "You have done every stage of this flow."


def stage_done(number: int, stages: int, following: str) -> str:
    return f"Stage {number} of {stages} done. Next time, if you like: {following}."


def against_the_clock(title: str) -> str:
    return f'{title}: the flow against the clock. Say "done" when you finish.'


def do_the_flow(title: str) -> str:
    return f'{title}: do the flow, then say "done".'


def read_panel(panel: str, controls: str) -> str:
    return f'{panel}. {controls} Say "done" for the next panel.'


def prompt_panel(panel: str, exceptions: str) -> str:
    return f'{panel}.{exceptions} Say "done" for the next panel.'


def flow_from_memory(title: str) -> str:
    return f"{title}, the flow from memory. "


def which_panel(lead: str, place: str) -> str:
    return f"{lead}Which panel comes {place}?"


SAY_DONE = 'Say "done".'


def which_control(lead: str, panel: str, place: str) -> str:
    return f"{lead}{panel}. {place} control, and its position?"


NOTHING_HERE = "Nothing to set here on this flight."


def unusual_positions(positions: str) -> str:
    return f" Not in the usual position: {positions}."


def panel_is(panel: str, exceptions: str) -> str:
    return f"It is {panel}.{exceptions}"


def control_is(control: str, position: str, why: str) -> str:
    return f"It is {control}, {position}.{why}"


def panel_flow_done(statement: str) -> str:
    return f"{statement} Flow done."


def no_panel_is(heard: str, panel: str, exceptions: str) -> str:
    return f"{heard} No: it is {panel}.{exceptions}"


def panel_out_of_order(heard: str) -> str:
    return f"{heard} Another panel comes first, or that one is done."


def flow_done_in(seconds: float, best: str) -> str:
    return f"Flow done in {seconds:.0f} s{best}."


def memory_items_in(seconds: float) -> str:
    return f"Memory items in {seconds:.0f} s."


def not_recited(names: str) -> str:
    return f"You left out: {names}."


def item_comes_first(challenge: str) -> str:
    return f"Another item comes before {challenge}."


def item_is(answer: str) -> str:
    return f"It is {answer}."


def say_memory_items(title: str) -> str:
    return f'{title}: memory items. Say each control and its position, then "done".'


NEXT_PANEL = "Next panel?"


def heard_no(heard: str) -> str:
    return f"{heard} No."


def recited(challenge: str, reply: str | None) -> str:
    return f"{challenge}: {reply}."
