"""What a pilot reads first after a session."""

from __future__ import annotations

DRILL_TONIGHT = "Tonight: callout drill, ten minutes on what fades."


def first_time(title: str, slips: int) -> str:
    if not slips:
        return f"The first time for {title}, and every item went right."
    items = "1 item" if slips == 1 else f"{slips} items"
    return f"The first time for {title}: {items} went wrong."


def since_last(day: str, new: str, again: str, gone: str) -> str:
    if not (new or again or gone):
        return f"Every item went right, as it did last time, {day}."
    parts = [
        f"{new} newly wrong" if new else "",
        f"{again} wrong again" if again else "",
        f"{gone} right again" if gone else "",
    ]
    return f"Since last time, {day}: {'; '.join(part for part in parts if part)}."


def tonight(first: str, critical: bool) -> str:
    if not first:
        return DRILL_TONIGHT
    weight = ", which is critical" if critical else ""
    return f"Tonight: {first}{weight}, then ten minutes of callout drill."


def last_session(day: str, title: str, slips: int, of: int, names: str) -> str:
    if not slips:
        return f"Last time, {day}, {title}: all {of} items went right."
    return f"Last time, {day}, {title}: {slips} of {of} items went wrong: {names}."


def people_changed(worse: str, better: str, people: int) -> str:
    if not worse and not better:
        return f"Of {people} people, nobody is shown to get better or worse."
    told = [f"Gets worse: {worse}." if worse else "", f"Gets better: {better}." if better else ""]
    return f"{' '.join(part for part in told if part)} Of {people} people, no other change shown."


def look_first(person: str, challenge: str, list_name: str, kind: str) -> str:
    return f"Look first at {person}: {challenge} in {list_name} ({kind})."


DRILLS_DID = "What drills did"
WHERE_IT_GOES_WRONG = "Items that go wrong most, critical ones first"

LESS_THAN_ONE_IN_A_HUNDRED = "less than 1 in 100"


def one_in(count: int) -> str:
    return f"about 1 in {count}"


def so_many_in_ten(count: int) -> str:
    return "about half" if count == 5 else f"about {count} in 10"


def range_of(low: str, high: str) -> str:
    return f"({low} to {high} %)"


def with_likely(counted: str, likely: str) -> str:
    return f"{counted}, likely {likely}"


def likely_explained(people: int) -> str:
    leans = "the same person's other items"
    if people > 1:
        leans = "the other items of these people, each of whom counts alike"
    return (
        "Likely: how often it goes wrong in the long run. A few runs prove little, so it leans on "
        f"{leans}; the more runs there are, the less. It allows for when an item was flown, and "
        "keeps aircraft apart. In brackets: where it lies, 95 times in 100. Critical items come "
        "first, then the likeliest."
    )
