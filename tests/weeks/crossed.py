"""Believable weeks in which everything meets: every newer word at random, many of them at once.

`crossed` takes a week of `generate` and writes words into it. What does not go
with the rest (a break that leaves a shift, a person whom nobody can stand in
for) is taken out again, so that what comes out is always a week that is read.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from copy import deepcopy
from random import Random
from typing import Any

from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from tests.weeks.generate import DAYS, generate
from tests.weeks.machines import APART
from tests.weeks.things import THINGS
from tests.weeks.tiny import Document, hands, step, visit

Word = Callable[[Document, Random], None]


def crossed(rng: Random, often: float = 0.5) -> Document:
    """A written week with each word so often."""
    document = generate(rng)
    words = [(word, rng.random()) for word in WORDS if rng.random() < often]
    return _with(document, words)


def _with(document: Document, words: list[tuple[Word, float]]) -> Document:
    """The week with these words, but for those that it cannot have; all at once if it can."""
    tried = deepcopy(document)
    for word, seed in words:
        word(tried, Random(seed))
    try:
        scenario_of(tried)
    except BadInput:
        half = len(words) // 2
        if not half:
            return document
        return _with(_with(document, words[:half]), words[half:])
    return tried


def _steps(document: Document) -> Iterator[Document]:
    for recipe in (*document["components"], *document["dishes"]):
        ways = [recipe.get("steps", []), *(m["steps"] for m in recipe.get("methods", ()))]
        ways += [s["steps"] for s in recipe.get("states", ())]
        for steps in ways:
            yield from steps


def _by_hand(document: Document) -> Iterator[Document]:
    return (s for s in _steps(document) if s.get("hands"))


# -- hands ---------------------------------------------------------------------------


def _shared(document: Document, rng: Random) -> None:
    """Work by hand, loading and unloading that one does alone or several together."""
    for made in _steps(document):
        for part in (made, made.get("load"), made.get("unload")):
            if part is None or len(part.get("hands", ())) != 1 or rng.random() < 0.5:
                continue
            time = {"at_least": part["time"]} if isinstance(part["time"], str) else part["time"]
            if time.keys() & {"at_most", "best", "decides"} or "alone" in made:
                continue
            part["time"] = {**time, **({"undivided": "5 min"} if rng.random() < 0.4 else {})}
            line = part["hands"][0]
            line["up_to"] = line.get("people", 1) + rng.choice((1, 2))
            if rng.random() < 0.4 and "may_use" not in line:
                line |= {"level": "trainee", "not_alone": True}


def _trainees(document: Document, rng: Random) -> None:
    """What a trainee may do more slowly."""
    document["kitchen"]["trainee_hour"] = rng.choice(("75 min", "2 h"))
    for made in _by_hand(document):
        if len(made["hands"]) == 1 and rng.random() < 0.4:
            made["hands"][0].setdefault("level", "trainee")


def _named(document: Document, rng: Random) -> None:
    """A few steps that only one or two people do."""
    people = document["kitchen"]["people"]
    for component in document["components"]:
        made = next((s for s in component["steps"] if s.get("hands")), None)
        able = [
            p["id"] for p in people if p["sections"].get(component["section"]) in ("cook", "lead")
        ]
        if made and able and rng.random() < 0.3 and len(made["hands"]) == 1:
            made["hands"][0]["only"] = rng.sample(able, min(len(able), 2))


# -- stepping away, breaks -------------------------------------------------------------


def _left(document: Document, rng: Random) -> None:
    """Jobs and duties that may be left, for short hands or over breaks."""
    for made in (*_by_hand(document), *document["kitchen"]["duties"]):
        if rng.random() < 0.5 and "alone" not in made:
            made["may_leave"] = {"times": rng.randint(1, 3), "longest": rng.choice(
                ("15 min", "20 min"))}  # fmt: skip
            if rng.random() < 0.6:
                made["may_leave"]["breaks"] = True


def _pauses(document: Document, rng: Random) -> None:
    """Jobs that may only pause over a break."""
    for made in _by_hand(document):
        if rng.random() < 0.5 and "alone" not in made:
            made.setdefault("may_leave", {"breaks": True})


def _breaks(document: Document, rng: Random) -> None:
    """Breaks that move, for some people."""
    for person in document["kitchen"]["people"]:
        for shift in person["shifts"]:
            first = int(shift["hours"][:2]) + rng.randint(1, 4)
            if rng.random() < 0.6:
                shift["floating_breaks"] = [
                    {"between": f"{first:02d}:00-{first + rng.randint(1, 3):02d}:30",
                     "length": rng.choice(("30 min", "20 min"))}
                ]  # fmt: skip


# -- overtime and rest -----------------------------------------------------------------


def _overtime(document: Document, rng: Random) -> None:
    """Shifts that may get longer at either end, and what that costs."""
    for person in document["kitchen"]["people"]:
        if rng.random() < 0.6:
            person["overtime"] = {"at_end": rng.choice(("1 h", "2 h")),
                                  "at_start": rng.choice(("0 min", "30 min"))}  # fmt: skip
    costs = document["kitchen"].setdefault("costs", {})
    costs |= {"overtime_allowance": rng.choice(("0 min", "1 h")), "step": rng.choice((1, 10))}


def _rest(document: Document, rng: Random) -> None:
    """The hours of a rule profile, kept, at a price or only warned about."""
    kitchen = document["kitchen"]
    kitchen["rule_profile"] = rng.choice(("eu", "uk"))
    kitchen["rest"] = {"daily_rest": rng.choice(("hard", "warned")), "weekly_rest": "warned",
                       "breaks": "warned"}  # fmt: skip
    if rng.random() < 0.6:
        _short_nights(document, rng)


def _short_nights(document: Document, rng: Random) -> None:
    """Some work late on two days, come in early on the next, and eat their rest where they must."""
    kitchen = document["kitchen"]
    kitchen["rest"]["daily_rest"] = "priced"
    kitchen.setdefault("costs", {})["rest_hour"] = rng.choice((20, 60))
    for person in kitchen["people"]:
        if person["id"] in ("ana", "dario", "fritz") and rng.random() < 0.7:
            late = {"days": ["wed", "fri"], "hours": "13:00-22:30", "breaks": ["16:30-17:00"]}
            pause: Document = {"breaks": ["11:00-11:30"]}
            if rng.random() < 0.3:
                pause = {"floating_breaks": [{"between": "07:30-11:00", "length": "30 min"}]}
            early = {"days": ["mon", "tue", "thu", "sat", "sun"],
                     "hours": rng.choice(("07:00-17:00", "06:00-15:30")), **pause}  # fmt: skip
            person["shifts"] = [late, early]


def _young(document: Document, rng: Random) -> None:
    """One of them is seventeen, and works eight hours on four days."""
    kitchen = document["kitchen"]
    kitchen.setdefault("rule_profile", "eu")
    kitchen.setdefault("rest", {"breaks": "warned", "weekly_rest": "warned"})
    last = kitchen["people"][-1]
    last["born"] = "2009-08-01"
    pause: Document = {"breaks": ["13:00-13:30"]}
    if rng.random() < 0.5:
        pause = {"floating_breaks": [{"between": "12:00-14:00", "length": "30 min"}]}
    last["shifts"] = [{"days": ["wed", "thu", "fri", "sat"], "hours": "09:00-17:30", **pause}]


def _hazards(document: Document, rng: Random) -> None:
    """Steps and machines that people under age are barred from; one comes of age in the week."""
    kitchen = document["kitchen"]
    kitchen.setdefault("rule_profile", "us")
    kitchen["people"][-1].setdefault("born", f"{int(DAYS[2][:4]) - 18}{DAYS[2][4:]}")
    for made in _steps(document):
        if rng.random() < 0.3:
            made["hazards"] = rng.sample(("slicer", "mixer", "hot-oil"), rng.randint(1, 2))
    for machine in kitchen["equipment"]:
        if rng.random() < 0.3:
            machine["hazards"] = [rng.choice(("mincer", "sheeter", "steam"))]


# -- methods, buying in ----------------------------------------------------------------


def _methods(document: Document, rng: Random) -> None:
    """Another way of making it: longer by one hand, shorter, or set beside on the bench."""
    for component in document["components"]:
        if not component["steps"] or rng.random() < 0.5:
            continue
        takes = [t for s in component["steps"] for t in s.get("takes", ())]
        rest: dict[str, Any] = {"takes": takes} if takes else {}
        ways = [
            [step("by-hand", rng.choice(("45 min", "90 min")), hands=1, **rest)],
            [step("quick", rng.choice(("20 min", "40 min")), load=visit("15 min"),
                  on=[{"equipment": "bench"}], **rest),
             step("finish", "15 min", hands=hands([{"people": 1, "up_to": 2}]))],
        ]  # fmt: skip
        component["methods"] = [{"id": "other", "steps": rng.choice(ways)}]


def _bought(document: Document, rng: Random) -> None:
    """Some of it may come from elsewhere."""
    for component in document["components"]:
        if rng.random() < 0.4:
            component["bought_in"] = {
                "lead_time": rng.choice(("6 h", "20 h")),
                "hours": rng.choice(("07:00-08:00", "10:00-11:00")),
                "pack": "1 kg" if "kg" in component["makes"] else "10 portions"
                if "portions" in component["makes"] else "1 l",
                "price": rng.choice((0, 4, 15)),
            }  # fmt: skip
    costs = document["kitchen"].setdefault("costs", {})
    costs["buying_allowance"] = rng.choice((0, 40))


# -- wishes ----------------------------------------------------------------------------


def _musts(document: Document, rng: Random) -> None:
    """One wish that binds."""
    component = rng.choice(document["components"])
    cooks = [
        p["id"] for p in document["kitchen"]["people"] if component["section"] in p["sections"]
    ]
    said = rng.choice(
        (
            {"kind": "must not", "person": rng.choice(cooks)},
            {"kind": "must", "person": rng.choice(cooks)},
            {"kind": "must", "days": [DAYS[2], DAYS[1], DAYS[3]]},
            {"kind": "must", "not_before": f"{DAYS[1]} 06:00"},
            {"kind": "must", "unit": "large"},
        )
    )
    document["week"].setdefault("wishes", []).append({"component": component["id"], **said})


def _accepted(document: Document, rng: Random) -> None:
    """House rules that somebody lets go."""
    said: list[Document] = [
        {"rule": "break", "person": "ana", "day": DAYS[2], "late": "30 min"},
        {"rule": "open-hours", "day": DAYS[2]},
        {"rule": "section-level", "person": "edda",
         "component": rng.choice(document["components"])["id"]},
        {"rule": "section-level", "person": "ben",
         "component": rng.choice(document["dishes"])["id"]},
    ]  # fmt: skip
    lots = document["week"].get("on_hand", ())
    if lots:
        lots[0]["reserved_for"] = document["week"]["events"][-1]["id"]
        said.append({"rule": "reserved", "lot": lots[0]["id"]})
    document["week"]["accepted"] = [
        {"by": "Salome", "reason": "a busy week", **one} for one in said if rng.random() < 0.6
    ]


def _open(document: Document, rng: Random) -> None:
    """The house is shut at night, and what is young keeps away from it."""
    document["kitchen"]["open"] = rng.choice(("06:00-23:00", "07:00-22:00"))


def _midway(document: Document, rng: Random) -> None:
    """Planning begins when people stand at a duty, and may have their breaks meanwhile."""
    at = rng.choice(("18:05", "19:00", "19:50", "20:40"))
    document["week"]["plan_from"] = f"{DAYS[0]} {at}"
    for duty in document["kitchen"]["duties"]:
        duty.setdefault("may_leave", {})["breaks"] = True


# -- things and machines ---------------------------------------------------------------


def _few(document: Document, rng: Random) -> None:
    """Bowls so few that they are washed between one load of something and the next."""
    document["kitchen"]["equipment"].append(
        {"id": "bowl", "units": rng.randint(1, 3),
         "washed": {"time": "10 min", "dry": rng.choice(("0 min", "30 min"))}}
    )  # fmt: skip
    for component in document["components"]:
        made = next((s for s in component["steps"] if s.get("hands")), None)
        per = "4 kg" if "kg" in component["makes"] else "20 portions"
        if made is not None and rng.random() < 0.3:
            made["in_loads"] = True
            made.setdefault("on", []).append({"equipment": "bowl", "per": per})
            if made is not component["steps"][-1]:
                made.setdefault("then", {"at_most": "10 h"})


def _delivered(document: Document, rng: Random) -> None:
    """What some of it is made of comes on two mornings and stands where it is cold."""
    for made in _steps(document):
        if rng.random() < 0.2:
            made.setdefault("takes", []).append({"ingredient": "herbs", "amount": "300 g"})
    document["week"].setdefault("deliveries", []).extend(
        {"id": f"herbs-{n}", "ingredient": "herbs", "at": f"{DAYS[n]} 07:30", "quantity": "40 kg",
         "zone": "chilled", "shelves": rng.choice((1, 4)),
         **({"at_most": "2 d"} if rng.random() < 0.5 else {})}
        for n in (0, 1)
    )  # fmt: skip


def _by_products(document: Document, rng: Random) -> None:
    """What falls off when something is cut is what another recipe is made of."""
    givers = [s for c in document["components"] for s in c["steps"] if "gives" not in s]
    if not givers:
        return
    rng.choice(givers)["gives"] = [{"component": "trimmings", "amount": "1 kg"}]
    document["components"].append(
        {"id": "trimmings", "section": "larder", "makes": "1 kg", "steps": [],
         "keeps": [{"zone": "chilled", "at_most": "48 h", "best_until": "20 h",
                    "per_shelf": "4 kg"}]}
    )  # fmt: skip
    rng.choice(document["dishes"])["takes"].append({"component": "trimmings", "amount": "5 g"})


def _residues(document: Document, rng: Random) -> None:
    """What is ground or whipped leaves things behind."""
    for component in document["components"]:
        if rng.random() < 0.4:
            component["leaves"] = rng.sample(("sesame", "milk", "egg"), rng.randint(1, 2))


# -- safety of food --------------------------------------------------------------------


def _cooled(document: Document, rng: Random) -> None:
    """What is chilled cools by an estimate, and may stand longer than the limit lets it."""
    kitchen = document["kitchen"]
    kitchen.setdefault("rule_profile", "eu")
    warned = dict.fromkeys(("daily_rest", "weekly_rest", "breaks"), "warned")
    kitchen.setdefault("rest", warned)
    window = {"from": "57 °C", "to": "5 °C", "within": "6 h"}
    kitchen["own_limits"] = {"cooling": {"windows": [window]}}
    for recipe in document["components"]:
        for made in recipe.get("steps", ()):
            if made["id"] == "chill":
                recipe["food_class"] = "ready"
                made["time"] = {"at_least": "2 h", "at_most": "9 h", "best": "8 h"}
                made["cooling"] = {
                    "from": "90 °C", "to": "5 °C", "by": "ice-bath", "stirred": True,
                    "shape": "cylinder", "diameter": rng.choice(("20 cm", "30 cm")),
                    "food": "sauce",
                }  # fmt: skip


def _allergens(document: Document, rng: Random) -> None:
    """What is in it decides what is cleaned between, and cleaning has a price."""
    document["kitchen"].setdefault("calm", {})["clean_down"] = rng.randint(1, 3)
    for component in document["components"]:
        if rng.random() < 0.5:
            component["allergens"] = rng.sample(("sesame", "milk", "nuts", "almond"), 2)
        component["food_class"] = rng.choice(("ready", "raw-fish", "raw-meat"))
    for kind in document["kitchen"]["equipment"]:
        if "clean_down" in kind:
            kind["clean_down"]["between"] = rng.choice(("contents", "allergens", "any change"))
    for event in document["week"]["events"]:
        for course in event["menu"]:
            for diet in course.get("diets", ()):
                diet["free_of"] = ["lupin", "kiwi"]


WORDS = (
    _shared, _trainees, _named, _methods, _bought, *THINGS, _delivered, _by_products, *APART,
    _residues, _left, _pauses, _breaks, _overtime, _rest, _young, _open, _musts, _accepted,
    _midway, _few, _cooled, _hazards, _allergens,
)  # fmt: skip
