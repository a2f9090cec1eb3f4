"""A small week in which every rule of the second reader has something to bite on.

A lunch on Tuesday for 40 with a diet and crew, a reception in two waves on
Wednesday; from Monday 06:00. Bread shares an oven with a roast at another
temperature, whose drippings go into the broth; pickles are begun, in tubs that
are washed, butter is on hand, leeks arrive on Monday and keep for two days.
"""

from __future__ import annotations

from typing import Any

from scheduler.domain.reading import scenario_of
from scheduler.domain.scenario import Scenario

Doc = dict[str, Any]


def _person(
    name: str, sections: Doc, hours: str, moves: str | None = None, **more: Any
) -> Doc:
    shift: Doc = {"days": ["daily"], "hours": hours}
    if moves is None:
        shift["breaks"] = ["13:30-14:00"]
    else:
        shift["floating_breaks"] = [{"between": moves, "length": "30 min"}]
    return {"id": name, "sections": sections, "shifts": [shift]} | more


KITCHEN: Doc = {
    "id": "lakeside",
    "zone": "Europe/Vienna",
    "open": "05:00-23:00",
    "transfer": "5 min",
    "rule_profile": "eu",
    "own_limits": {
        "cooling": {"windows": [{"from": "60 °C", "to": "21 °C", "within": "1 h"}]},
        "date_mark": {"value": 4},
        "exposure": {"value": "4 h"},
        "reheat_within": {"value": "1 h"},
        "cook_egg": {"value": "68 °C"},
    },
    "rest": {"daily_rest": "warned", "weekly_rest": "warned"},
    "sections": [{"id": "stove"}, {"id": "larder"}],
    "day_parts": [
        {"id": "morning", "hours": "07:00-10:00"},
        {"id": "evening", "hours": "17:00-20:00"},
    ],
    "people": [
        _person("ana", {"stove": "lead", "larder": "cook"}, "06:00-21:00", may_use=["blades"]),
        _person(
            "ben", {"stove": "cook", "larder": "cook"}, "06:00-14:30", overtime={"at_end": "1 h"}
        ),
        _person("cem", {"stove": "cook"}, "12:00-22:00", "15:00-19:00", off=["2026-03-03"]),
        _person("dora", {"larder": "lead"}, "06:00-21:00", may_use=["blades"]),
        _person("eli", {"larder": "trainee", "stove": "trainee"}, "08:00-20:00"),
        {
            "id": "fay",
            "sections": {"larder": "trainee"},
            "born": "2009-06-01",
            "shifts": [
                {"days": ["2026-03-02"], "hours": "12:00-20:00", "breaks": ["16:00-16:30"]},
                {"days": ["2026-03-03"], "hours": "07:30-15:30", "breaks": ["11:00-11:30"]},
            ],
        },
    ],
    "equipment": [
        {
            "id": "oven",
            "holds": {"deep": 4, "flat": 4},
            "measure": "trays",
            "heat": {"hottest": 250, "up": 5, "down": 2, "goes_cold_after": "2 h"},
        },
        {
            "id": "pot",
            "units": [{"id": "big-pot", "fill": "30 l"}, {"id": "small-pot", "fill": "8 l"}],
            "alone": "someone_on_shift",
        },
        {"id": "burner", "units": 3},
        {
            "id": "tub",
            "units": 6,
            "per_shelf": 2,
            "washed": {
                "time": {"at_least": "5 min", "plus": "5 min", "per": "1 piece"},
                "dry": "30 min",
            },
        },
        {"id": "slicer", "may_use": "blades", "hazards": ["slicer"]},
        {
            "id": "mincer",
            "may_use": "blades",
            "hazards": ["mincer"],
            "clean_down": {"verb": "take apart and scald", "time": "20 min"},
        },
        {"id": "board", "units": 2},
    ],
    "stores": [
        {"id": "walk-in", "zone": "chilled", "shelves": 14},
        {"id": "small-fridge", "zone": "chilled", "shelves": 3},
        {"id": "rack", "zone": "dry", "shelves": 12},
        {"id": "bain-marie", "zone": "hot", "shelves": 2},
        {"id": "freezer", "zone": "frozen", "shelves": 4, "warmest": "-21 °C"},
    ],
    "time_in_hand": {"long": "2 h", "out_ahead": "3 h", "quiet": "2 h", "day_full": "15 %"},
    "calm": {
        "late_start": 30,
        "long_job": "20 min",
        "section_change": 5,
        "job_change": 2,
        "free_changes": 2,
        "hand_over": 10,
        "oven_change": 4,
    },
    "duties": [
        {
            "id": "breakfast",
            "may_leave": {"times": 2, "longest": "10 min"},
            "days": ["daily"],
            "hours": "06:00-07:30",
            "section": "stove",
            "people": 1,
            "equipment": [{"equipment": "burner"}],
            "stores": [{"store": "walk-in", "shelves": 4}],
        },
    ],
}

TWO: Doc = {"people": 2, "level": "trainee", "not_alone": True}
STOCK: Doc = {
    "id": "stock",
    "section": "stove",
    "makes": "10 l",
    "food_class": "ready",
    "steps": [
        {
            "id": "simmer",
            "kept": "hot",
            "time": {"at_least": "3 h", "best": "4 h", "at_most": "5 h"},
            "alone": "someone_on_shift",
            "load": {"verb": "fill", "time": "15 min"},
            "unload": {"verb": "lift", "time": "10 min"},
            "tend": [{"verb": "skim", "every": "1 h", "give_or_take": "20 min", "time": "5 min"}],
            "add": [
                {"verb": "herbs", "after": "90 min", "give_or_take": "20 min", "time": "5 min"}
            ],
            "takes": [{"ingredient": "leeks", "amount": "1 kg"}],
            "on": [{"equipment": "pot"}, {"equipment": "burner"}],
        },
        {
            "id": "cool",
            "time": {"at_least": "20 min", "at_most": "6 h"},
            "cooling": {
                "from": "90 °C",
                "to": "40 °C",
                "by": "ice-bath",
                "shape": "cylinder",
                "diameter": "25 cm",
                "stirred": True,
                "food": "stock",
            },
        },
        {
            "id": "chill",
            "time": "20 min",
            "cooling": {
                "from": "40 °C",
                "to": "21 °C",
                "by": "ice-bath",
                "shape": "cylinder",
                "diameter": "25 cm",
                "stirred": True,
                "food": "stock",
            },
            "then": {
                "not_before": "2 h",
                "best_until": "6 h",
                "at_most": "12 h",
                "zone": "chilled",
                "per_shelf": "5 l",
            },
        },
        {"id": "strain", "time": "30 min", "hands": [TWO]},
        {
            "id": "mince-greens",
            "time": "10 min",
            "hands": [{}],
            "on": [{"equipment": "mincer"}],
        },
    ],
    "keeps": [{"zone": "chilled", "best_until": "24 h", "at_most": "30 h", "per_shelf": "5 l"}],
}
PICKLES: Doc = {
    "id": "pickles",
    "food_class": "ferment",
    "section": "larder",
    "makes": "5 kg",
    "loss": "10 %",
    "batch": {"least": "2 kg", "most": "20 kg"},
    "leftover": "kept",
    "steps": [
        {
            "id": "pack",
            "time": {"at_least": "20 min", "plus": "5 min", "per": "1 kg"},
            "hands": [{}],
            "on": [{"equipment": "tub", "per": "3 kg", "until": "drain"}],
            "then": {"at_most": "4 h", "best_until": "2 h", "zone": "chilled"},
        },
        {
            "id": "ripen",
            "time": {"at_least": "20 h", "best": "26 h", "at_most": "26 h", "decides": "it"},
            "tend": [
                {
                    "verb": "press",
                    "day_parts": ["morning", "evening"],
                    "time": "10 min",
                    "hands": [{"section": "anyone", "level": "trainee"}],
                }
            ],
            "test": {"measure": "pH", "target": "at most 4.4"},
            "then": {"at_most": "10 h", "best_until": "10 h", "zone": "chilled"},
        },
        {"id": "drain", "time": "15 min", "hands": [{"level": "trainee"}]},
    ],
    "keeps": [{"zone": "chilled", "best_until": "60 h", "at_most": "72 h", "per_shelf": "2 kg"}],
}
PICKLES["methods"] = [
    {
        "id": "by-taste",
        "steps": [
            {k: v for k, v in s.items() if k != "test"} | ({"id": "stand"} if "test" in s else {})
            for s in PICKLES["steps"]
        ],
    }
]
TROUT: Doc = {
    "id": "trout",
    "section": "larder",
    "makes": "1 kg",
    "food_class": "fish-served-raw",
    "steps": [
        {"id": "fillet", "time": "10 min", "hands": [{}]},
        {"id": "freeze", "time": "48 h", "on": [{"zone": "frozen"}]},
        {"id": "thaw", "time": "8 h", "on": [{"zone": "chilled"}]},
    ],
    "keeps": [{"zone": "chilled", "best_until": "12 h", "at_most": "24 h", "per_shelf": "1 kg"}],
}
ROAST: Doc = {
    "id": "roast",
    "section": "stove",
    "makes": "4 kg",
    "allergens": ["mustard"],
    "steps": [
        {
            "id": "bake",
            "time": "90 min",
            "in_loads": True,
            "load": {"time": "5 min"},
            "gives": [{"component": "drippings", "amount": "200 ml"}],
            "on": [
                {
                    "equipment": "oven",
                    "tray": "deep",
                    "per": "1 kg",
                    "setting": {"coldest": 150, "hottest": 160},
                }
            ],
            "then": {"at_most": "3 h", "best_until": "2 h", "in_machine": True},
        },
        {
            "id": "carve",
            "time": "30 min",
            "hands": [{"section": "larder", "only": ["dora", "ana"]}],
            "on": [{"equipment": "slicer"}],
        },
    ],
    "keeps": [{"best_until": "2 h", "at_most": "3 h"}],
}
DRIPPINGS: Doc = {
    "id": "drippings",
    "section": "stove",
    "makes": "200 ml",
    "keeps": [{"zone": "chilled", "best_until": "6 h", "at_most": "8 h", "per_shelf": "1 l"}],
}
BREAD: Doc = {
    "id": "bread",
    "section": "stove",
    "makes": "40 pieces",
    "piece_weight": "50 g",
    "steps": [
        {
            "id": "bake",
            "time": "30 min",
            "in_loads": True,
            "waves": True,
            "load": {"time": "5 min"},
            "on": [
                {
                    "equipment": "oven",
                    "tray": "flat",
                    "per": "8 pieces",
                    "setting": {"coldest": 210, "hottest": 220},
                    "door_shut": True,
                }
            ],
            "then": {"at_most": "1 h", "best_until": "1 h"},
        },
        {
            "id": "cut",
            "time": "10 min",
            "in_loads": True,
            "hands": [{"level": "trainee"}],
            "on": [{"equipment": "board", "per": "16 pieces"}],
        },
    ],
    "keeps": [{"zone": "dry", "best_until": "8 h", "at_most": "10 h", "per_shelf": "20 pieces"}],
}
BUTTER: Doc = {
    "id": "butter",
    "section": "larder",
    "makes": "1 kg",
    "mixing": False,
    "not_beside": ["pickles"],
    "steps": [
        {"id": "whip", "time": "20 min", "hands": [{"up_to": 2}]},
        {"id": "shape", "time": "10 min", "hands": [{"level": "trainee"}]},
    ],
    "keeps": [{"zone": "chilled", "best_until": "3 d", "at_most": "4 d", "per_shelf": "1 kg"}],
}
FOAM: Doc = {
    "id": "foam",
    "section": "larder",
    "makes": "1 l",
    "margin": "20 %",
    "food_class": "raw-egg",
    "steps": [
        {"id": "mince", "time": "10 min", "hands": [{}], "on": [{"equipment": "mincer"}]},
        {"id": "whisk", "time": "15 min", "hands": [{}], "core": "70 °C"},
    ],
    "methods": [
        {
            "id": "lukewarm",
            "steps": [
                {"id": "mince", "time": "10 min", "hands": [{}], "on": [{"equipment": "mincer"}]},
                {"id": "whisk", "time": "15 min", "hands": [{}], "core": "60 °C"},
            ],
        }
    ],
    "keeps": [{"best_until": "1 h", "at_most": "2 h"}],
}
OIL: Doc = {
    "id": "oil",
    "section": "larder",
    "makes": "1 l",
    "steps": [{"id": "blend", "time": "15 min", "hands": [{}]}],
    "keeps": [{"best_from": "2 h", "not_before": "1 h", "best_until": "12 h", "at_most": "24 h"}],
}
WAFERS: Doc = {
    "id": "wafers",
    "section": "larder",
    "makes": "40 pieces",
    "steps": [{"id": "dry", "time": "70 h", "load": {"time": "10 min"}}],
    "methods": [
        {"id": "warm", "steps": [{"id": "dry-warm", "time": "65 h", "load": {"time": "5 min"}}]}
    ],
    "bought_in": {
        "lead_time": "12 h",
        "order_before": "12:00",
        "order_days": ["mon", "tue"],
        "days": ["tue", "wed"],
        "hours": "06:00-08:00",
        "pack": "25 pieces",
        "price": 11,
    },
    "keeps": [{"zone": "dry", "best_until": "24 h", "at_most": "3 d", "per_shelf": "20 pieces"}],
}

DISHES: list[Doc] = [
    {
        "id": "broth-bowl",
        "section": "stove",
        "steps": [
            {
                "id": "heat",
                "time": "20 min",
                "hands": [{}],
                "on": [{"equipment": "burner"}],
                "takes": [{"component": "stock", "amount": "200 ml"}],
                "kept": "hot",
                "then": {"at_most": "20 min", "best_until": "20 min", "zone": "hot"},
            }
        ],
        "takes": [
            {"component": "foam", "amount": "20 ml", "within": "45 min"},
            {"component": "bread", "amount": "1 piece"},
            {"component": "drippings", "amount": "2 ml"},
        ],
        "plating": {"per_hour": 160, "hands": [{"people": 2, "level": "trainee"}]},
    },
    {
        "id": "cold-plate",
        "section": "larder",
        "takes": [
            {"component": "roast", "amount": "80 g"},
            {"component": "pickles", "amount": "40 g"},
            {"component": "oil", "amount": "5 ml"},
        ],
        "plating": {"per_hour": 120, "hands": [{"level": "trainee"}]},
        "keeps": {
            "zone": "chilled",
            "at_most": "2 h",
            "best_until": "1 h",
            "per_shelf": "12 portions",
        },
    },
    {
        "id": "canape",
        "section": "larder",
        "takes": [
            {"component": "bread", "amount": "1 piece"},
            {"component": "butter", "amount": "10 g"},
            {"component": "pickles", "amount": "10 g"},
            {"component": "wafers", "amount": "1 piece"},
            {"component": "trout", "amount": "10 g"},
        ],
        "plating": {"per_hour": 240, "hands": [{"level": "trainee"}]},
    },
]

WEEK: Doc = {
    "id": "two-events",
    "starts": "2026-03-02 00:00",
    "plan_from": "2026-03-02 06:00",
    "ends": "2026-03-05 12:00",
    "events": [
        {
            "id": "lunch",
            "first_plate": "2026-03-03 19:00",
            "guests": 40,
            "rank": 1,
            "menu": [
                {"dish": "broth-bowl"},
                {
                    "dish": "cold-plate",
                    "after": "45 min",
                    "crew": 3,
                    "diets": [
                        {
                            "id": "no-meat",
                            "count": 4,
                            "swap": {"roast": "pickles"},
                            "free_of": ["mustard", "kiwi"],
                        }
                    ],
                },
            ],
        },
        {
            "id": "reception",
            "first_plate": "2026-03-04 18:00",
            "guests": 30,
            "rank": 2,
            "margin": "0 %",
            "menu": [
                {
                    "dish": "canape",
                    "per": 2,
                    "waves": [
                        {"after": "0 min", "share": "60 %"},
                        {"after": "45 min", "share": "40 %"},
                    ],
                }
            ],
        },
    ],
    "on_hand": [
        {
            "id": "butter-a",
            "component": "butter",
            "quantity": "360 g",
            "made": "2026-03-01 18:00",
            "store": "small-fridge",
            "reserved_for": "reception",
        },
        {"id": "oil-a", "component": "oil", "quantity": "600 ml", "made": "2026-03-02 04:00"},
    ],
    "in_progress": [
        {
            "id": "pickles-a",
            "component": "pickles",
            "quantity": "3 kg",
            "step": "ripen",
            "started": "2026-03-01 16:00",
            "on": ["tub-2"],
            "last_visit": "2026-03-01 19:00",
        },
    ],
    "wishes": [
        {"kind": "must", "component": "roast", "step": "carve", "person": "dora"},
        {"kind": "must not", "component": "foam", "person": "ana"},
        {"kind": "must", "component": "stock", "unit": "big-pot"},
        {"kind": "must", "component": "stock", "done_by": "2026-03-03 18:30"},
        {"kind": "must", "component": "bread", "days": ["2026-03-03", "2026-03-04"]},
        {"kind": "must not", "component": "stock", "step": "simmer", "days": ["2026-03-04"]},
        {"kind": "must", "component": "foam", "not_before": "2026-03-03 12:00"},
        {"kind": "rather", "component": "oil", "done_by": "2026-03-02 07:00"},
        {"kind": "rather not", "component": "bread", "step": "cut", "person": "eli"},
        {"kind": "rather", "component": "bread", "step": "cut", "days": ["2026-03-02"]},
    ],
    "deliveries": [
        {
            "id": "greens",
            "ingredient": "leeks",
            "at": "2026-03-02 11:00",
            "quantity": "5 kg",
            "zone": "chilled",
            "shelves": 2,
            "at_most": "2 d",
        },
    ],
}


UNSOUND = ("by-taste", "lukewarm")
"""Methods that break a rule of food whatever the times; the gate would refuse the week."""


def rich(*, sound: bool = False) -> Scenario:
    """The scenario, checked.

    Parameters
    ----------
    sound : bool
        Without the methods that no plan may use.
    """
    components = [STOCK, PICKLES, ROAST, DRIPPINGS, BREAD, BUTTER, FOAM, OIL, WAFERS, TROUT]
    if sound:
        components = [
            {**c, "methods": [m for m in c.get("methods", []) if m["id"] not in UNSOUND]}
            for c in components
        ]
    return scenario_of(
        {
            "schema": 1,
            "kitchen": KITCHEN,
            "components": components,
            "dishes": DISHES,
            "week": WEEK,
        }
    )
