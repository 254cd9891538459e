"""Memory items: recited without a challenge, in order, judged, timed and replayed."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.app.shared.checklist_files import load_checklist, load_flight
from callout.app.shared.tables import default_tables
from callout.core.checklist_run import records as r
from callout.core.checklist_run.memory import find_recital
from callout.core.checklist_run.memory_wording import in_words, unsaid_items
from callout.core.checklist_run.replay import replay_list
from callout.core.conversation import effects as e
from callout.core.conversation.pacing import MemoryMode, Pacing
from callout.core.model.verdict import Verdict
from callout.core.planning.plan import Plan
from callout.core.planning.run_plan import plan_for
from tests.core.session_kit import Desk, item, plan

SHIPPED = Path(__file__).parents[3] / "checklists"
TABLES = default_tables()
RECITED = [
    path
    for path in sorted(SHIPPED.glob("*/*.yaml"))
    if path.name != "flight.yaml" and any(i.memory for i in load_checklist(path).items)
]


def drill() -> Plan:
    return plan(
        items=(
            item("throttle", "Throttle", "closed", wrong=("open",), memory=True),
            item("brakes", "Brakes", "maximum", wrong=("released",), memory=True),
            item("fuel", "Fuel selector", "off", wrong=("left",), memory=True, names=("fuel",)),
            item("pump", "Fuel pump", "off", wrong=("on",), memory=True),
            item("tower", "Tower", "informed"),
        )
    )


def recited(*words: str, **pacing: object) -> Desk:
    desk = Desk(drill(), Pacing(**pacing)).start()  # type: ignore[arg-type]
    for said in words:
        desk.type(said)
    return desk


ALL = ("throttle closed", "brakes maximum", "fuel off", "fuel pump off")


def test_all_in_order_leaves_the_rest_to_the_list() -> None:
    desk = recited(*ALL)
    assert desk.asking == "tower"
    assert {k: v for k, v in desk.outcomes().items() if v == "open"} == {"tower": "open"}
    memory = desk.state.progress.memory
    assert (memory.done, memory.wrong, memory.early, memory.told) == (True, 0, 0, ())
    assert memory.seconds == pytest.approx(desk.records[-1].at - memory.began, abs=0.01)
    assert [x.challenge for x in desk.state.progress.plan.items if x.memory]
    said = [x for x in desk.records if isinstance(x, r.Recited)]
    times = [x.seconds for x in said]
    assert times == sorted(times)
    assert not any(isinstance(x, r.Challenged) for x in desk.records[:-1])
    desk.check()


def test_nothing_is_challenged_while_reciting() -> None:
    desk = Desk(drill()).start()
    spoken = " ".join(x.text for x in desk.effects if isinstance(x, e.Say))
    assert "memory items" in spoken
    assert "Throttle" not in spoken
    assert desk.asking == "@memory"


def test_a_later_item_is_too_early_and_does_not_count() -> None:
    desk = recited("brakes maximum")
    assert "Another item comes before Brakes" in desk.spoken
    assert "Throttle" not in desk.spoken, "what is due is not given away at the first miss"
    assert desk.outcomes()["brakes"] == "open"
    assert desk.state.progress.memory.early == 1
    desk.type("throttle closed").type("brakes maximum")
    assert desk.outcomes()["brakes"] == "answered"
    desk.check()


def test_a_wrong_position_is_a_mismatch_and_the_second_one_is_told() -> None:
    desk = recited("throttle open")
    assert desk.state.moment.verdict is Verdict.MISMATCH
    assert desk.outcomes()["throttle"] == "open"
    desk.type("throttle wide open")
    desk.type("throttle open")
    assert "It is Throttle, closed." in desk.spoken
    assert desk.state.progress.memory.told == ("throttle",)
    for said in ALL[1:]:
        desk.type(said)
    assert desk.asking == "throttle", "what had to be prompted is challenged by the list"
    desk.check()


@pytest.mark.parametrize("words", ["off", "maximum power", "hello", "closed or open"])
def test_words_that_are_no_item_for_sure_are_asked_again(words: str) -> None:
    desk = recited(words)
    assert not [x for x in desk.records if isinstance(x, r.Recited) and x.reply]
    assert desk.asking == "@memory"


def test_a_reply_that_only_one_item_has_needs_no_name() -> None:
    assert recited("closed").outcomes()["throttle"] == "answered"


def test_done_leaves_what_was_not_said_to_the_list() -> None:
    desk = recited("throttle closed", "done")
    assert "You left out: Brakes, Fuel selector and Fuel pump." in desk.spoken
    assert desk.asking == "brakes"
    assert desk.state.progress.memory.left_out == ("brakes", "fuel", "pump")
    desk.check()


def test_not_known_tells_the_next_one() -> None:
    desk = recited("not known")
    assert "It is Throttle, closed." in desk.spoken
    assert desk.asking == "@memory"


def test_without_recall_they_are_read_like_the_others() -> None:
    assert recited(memory=MemoryMode.READ).asking == "throttle"


def test_what_was_not_surely_heard_counts_for_nothing() -> None:
    desk = recited()
    desk.say("throttle closed", sure=False)
    assert desk.outcomes()["throttle"] == "open"
    desk.check()


@pytest.mark.parametrize("path", RECITED, ids=lambda p: f"{p.parent.name}-{p.stem}")
def test_shipped_memory_items_can_be_recited(path: Path) -> None:
    shipped = plan_for(load_checklist(path), load_flight(path.parent / "flight.yaml"), TABLES)
    desk = Desk(shipped).start()
    for due in unsaid_items(desk.state.progress):
        desk.type(in_words(due).replace(",", ""))
    memory = desk.state.progress.memory
    assert (memory.done, memory.wrong, memory.early, memory.told) == (True, 0, 0, ())
    assert memory.left_out == ()


@pytest.mark.parametrize("path", RECITED, ids=lambda p: f"{p.parent.name}-{p.stem}")
def test_no_shipped_item_is_taken_for_another_nor_its_wrong_reply_for_right(path: Path) -> None:
    shipped = plan_for(load_checklist(path), load_flight(path.parent / "flight.yaml"), TABLES)
    progress = Desk(shipped).start().state.progress
    for due in unsaid_items(progress):
        for name in (due.challenge, *due.names):
            for right in due.expectation.accepted:
                found = find_recital(progress, f"{name} {right.text}", TABLES)
                assert found, (name, right.text)
                assert found.item.id == due.id or due.names, (name, right.text)
            for wrong in due.expectation.wrong:
                found = find_recital(progress, f"{name} {wrong.answer.text}", TABLES)
                taken = found and found.item.id == due.id
                assert not (taken and found and found.judged.verdict is Verdict.MATCH)


@settings(max_examples=25, deadline=None)
@given(st.lists(st.sampled_from([*ALL, "off", "brakes released", "not known", "done", "skip"])))
def test_any_order_of_words_is_replayed_to_the_same_state(words: list[str]) -> None:
    desk = recited(*words)
    assert replay_list(desk.records) == desk.state.progress
