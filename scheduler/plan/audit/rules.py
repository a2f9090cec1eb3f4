"""Every rule the second reader knows, by name."""

from __future__ import annotations

RULES: dict[str, str] = {
    # The plan as a document.
    "known": "Everything the plan names stands in the written week or in the plan itself.",
    "once": "No batch, task, duty, break or missing batch stands in the plan twice.",
    "kept": "What somebody wants to stay where it is stays there, or its batch is missing.",
    "past": "What had begun when the week was planned anew is as it was, and nothing else begins "
    "before that.",
    "left-out": "A batch is planned or listed as missing, and goes with what feeds it.",
    "unserved": "The plan says truly which portions lack what.",
    "terms": "The plan's own figures are those that follow from it.",
    # Quantities, batches and shares.
    "menu": "Every dish, diet and wave of every event has its batch with the right portions.",
    "measure": "Amounts are in a measure that the recipe can be reckoned in.",
    "batch-size": "A batch is no smaller and no larger than its recipe and its machines allow.",
    "losses": "What a batch can give is what is left of it after losses.",
    "shares": "Every step gets of every component exactly what its recipe takes.",
    "given": "No batch and no lot gives more than there is of it.",
    "by-product": "What a step leaves by the way comes from that step, and no more of it is taken.",
    "reserved": "What is reserved for an event goes to that event alone.",
    "mixing": "One use takes one batch or lot where mixing is not allowed.",
    "begun": "What is in progress when the week opens is in the plan as it stands.",
    # Steps and their times.
    "steps": "A planned batch has each of its steps once, load by load, in good order.",
    "loads": "A step in loads has as few equal loads as its largest machine allows.",
    "load-order": "Loads start in their order.",
    "grid": "Planned times stand on the kitchen's grid.",
    "now": "Nothing is planned before the moment planning begins.",
    "inside-the-week": "Nothing is planned outside the week.",
    "law": "A step takes as long as written for those who are at it: not shorter, not longer.",
    "it-decides": "Where the food decides, the longest time is set aside.",
    "visits": "A step has the visits its recipe says, and they lie inside it.",
    "visit-length": "A visit is as long as written for those who make it.",
    "visits-apart": "Two visits to one step do not overlap.",
    "tending": "Visits follow one another within the tolerance.",
    "day-parts": "One visit in each part of the day that calls for one.",
    "adding": "What is added during a step is added when the recipe says.",
    # Waiting.
    "ready": "Nothing goes on, and nothing is used, before it is ready.",
    "at-once": "A step without a wait follows at once.",
    "not-before": "What must wait waits as long as it must.",
    "wait-limit": "No wait between two steps is longer than allowed.",
    "hold-limit": "Nothing is used past its limit.",
    "date-mark": "Food with a date of use is gone from the last plate by that date.",
    "within": "What a step takes fresh has not waited longer than that step allows.",
    "holds": "Everything that waits is in the plan as a hold that matches its tasks.",
    "store-zone": "What waits stands in a store of a zone where it keeps.",
    "shelves": "A hold counts the shelves that its quantity takes.",
    "store-full": "No store holds more than its shelves.",
    # Equipment.
    "equipment": "A step takes the equipment its recipe says, as much and as long.",
    "container": "A container is taken from the step that fills it to the end of the one "
    "that empties it.",
    "washed": "A container is washed when it is empty, in time, and as many as were filled.",
    "in-machine": "A machine stays taken by what waits in it.",
    "fill": "A load fits the machine it goes into.",
    "equipment-full": "No unit and no kind takes more at once than it has places.",
    "oven-setting": "An oven is set to a mode and a temperature that the step asks for.",
    "oven-shared": "What is in one oven together shares one mode and one temperature.",
    "oven-heat-up": "An oven has the time it needs to get from one temperature to the next.",
    "door-shut": "Nothing goes in or comes out while a door is to stay shut.",
    "trays": "Trays of two families are never in one machine at once.",
    "beside": "Goods that must keep apart are never in one machine or store together.",
    "clean-down": "A machine is cleaned between two contents of which the first must not get "
    "into the second.",
    # Safety of food.
    "cooling": "What cools is cold within the limit of the kitchen's rule profile.",
    "reheat": "What was cold and is kept hot again is hot within the limit of the rule profile.",
    "core": "What comes raw is cooked hot enough for long enough before it is served.",
    "parasites": "Fish that is served raw is frozen first, so cold and for so long.",
    "ph": "A ferment leaves the warm only through a pH that is measured and low enough.",
    # People.
    "hands": "A visit has as many different people as it needs.",
    "named": "Where the recipe names people, it is one of them who does it.",
    "not-alone": "No trainee is alone at what they must not do alone.",
    "section-level": "Whoever does it belongs to the section and has the level.",
    "may-use": "Whoever does it may use what it takes.",
    "shift": "People work in their shifts, or in overtime that they may have around them, outside "
    "their breaks and days off.",
    "rest": "Between days, in the week and in long shifts there is the rest the kitchen keeps; "
    "where daily rest has a price, only shifts as they are written eat of it.",
    "young": "Nobody under age works at night or longer than they may.",
    "barred": "Nobody under age does, uses or cleans what they are barred from.",
    "break": "Everybody has the breaks of their shift that move, where they may lie.",
    "stepping-away": "Work is left as often and as long as it may be, and done nevertheless.",
    "open-hours": "Visits lie inside the kitchen's opening hours.",
    "one-place": "Nobody is in two places at once.",
    "alone": "What must not run alone has somebody at it, or somebody in the house.",
    "duty": "Every standing duty is in the plan at its hours; in parts once something happened.",
    # Goods and service.
    "bought": "What is bought in is ordered in time, comes when it may, and costs its price.",
    "delivery": "A step starts when what it takes has arrived, and enough of it.",
    "use-by": "What is delivered is used before its own limit, and no more of it than has come.",
    "first-plate": "A dish is plated for its first plate away.",
    "plated-hold": "A plated dish waits no longer than it may.",
    # Safety of food.
    "exposure": "No food is out of temperature control for longer in all than it may be.",
    "wish": "What the chef says must be, or must not, is so.",
    "diets-first": "Diet plates are plated before the others, and not long before.",
    "diet": "A diet's plates contain nothing that its guests must not have.",
}
"""Rule: what it asks, in one sentence."""

BETWEEN_STEPS = frozenset({"ready", "at-once", "not-before", "wait-limit", "load-order"})
"""Not asked of a task that had begun: when it began is a fact."""
OF_ITSELF = frozenset(
    {"law", "it-decides", "visit-length", "tending", "day-parts", "adding", "visits"}
)
"""Not asked of one whose end is a fact, late or early."""

PUBLISHED = frozenset(
    {
        "cooling", "reheat", "core", "parasites", "ph", "exposure", "date-mark", "diet",
        "clean-down", "barred", "young", "rest",
    }
)
"""Rules of food and of people whose limits are published: whoever names one says who decides."""
