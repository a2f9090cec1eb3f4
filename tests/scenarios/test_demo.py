"""The demo is a week a chef would believe: tight, complete, and with every kind of long prep.

Everything is read off the written week or off the plan; what a believable week
holds is common practice, no source.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from datetime import date, timedelta
from itertools import pairwise

import pytest

from scheduler.domain.base import Level
from scheduler.domain.kitchen import Person
from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from scheduler.domain.recipes import Decides, Step
from scheduler.plan.audit import audit
from scheduler.plan.unclaimed import unclaimed
from scheduler.plan.words import Names
from scheduler.solve.engine import plan_week
from scheduler.workload.compile import compile_week
from scheduler.workload.work import work_out
from tests.scenarios.planned import DAY, busiest_day, demo, peak, plan, told, visits

RUN = (date(2026, 12, 3), date(2026, 12, 13))
NOT_OURS = (
    "chocolate",
    "cocoa",
    "cacao",
    "couverture",
    "berry",
    "berries",
    "praline",
    "hazelnut",
    "yule",
    "christmas",
    "tree",
)


def cooks() -> list[Person]:
    """Everybody but the stewards."""
    return [p for p in demo().kitchen.people if set(p.sections) != {"stewards"}]


def steps() -> list[tuple[str, Step]]:
    """Every step of every component."""
    return [(c.id, s) for c in demo().components for s in c.steps]


def hour(minute: int) -> float:
    """The kitchen's wall clock, hours after midnight."""
    local = demo().clock.local(minute)
    return local.hour + local.minute / 60


# -- the plan ------------------------------------------------------------------------


def test_every_guest_is_served_and_the_second_reader_finds_nothing() -> None:
    report = audit(demo(), plan())
    assert report.findings == ()
    assert report.served
    assert not plan().missing


def test_the_first_plan_shown_already_serves_everybody() -> None:
    report = audit(demo(), told()[0])
    assert report.findings == ()
    assert report.served


def test_a_brigade_has_250_to_350_visits_to_make() -> None:
    assert 250 <= len(visits(plan())) <= 350


def test_the_walk_in_is_over_four_fifths_full_at_its_peak() -> None:
    usable = demo().store["walk-in"].shelves
    assert 0.8 * usable < peak(demo(), plan(), "walk-in") <= usable


def test_the_events_alone_fill_four_fifths_of_the_shelves_the_restaurant_leaves() -> None:
    kept = sum(s.shelves for d in demo().kitchen.duties for s in d.stores if s.store == "walk-in")
    free = demo().store["walk-in"].shelves - kept
    assert kept > 0
    assert peak(demo(), plan(), "walk-in") - kept > 0.8 * free


def test_an_oven_and_a_grinder_hardly_rest_on_their_busiest_day() -> None:
    ovens = [u.id for k in demo().kitchen.equipment if k.heat for u in k.each]
    stones = [u.id for _, u in demo().units_of("stone")]
    assert max(busiest_day(plan(), u) for u in ovens) > 0.8
    assert max(busiest_day(plan(), u) for u in stones) > 0.8


def test_ten_cooks_have_their_days_off_before_the_run_and_none_in_the_thick_of_it() -> None:
    assert 9 <= len(cooks()) <= 11
    for person in cooks():
        days = [RUN[0] + timedelta(days=i) for i in range(11)]
        there = {d for d in days if any(d in x for s in person.shifts for x in s.days)}
        off = set(days) - there | set(person.off)
        if person.born:  # two days in a row in both weeks, by law
            assert {date(2026, 12, 5), date(2026, 12, 6)} <= off
            assert {date(2026, 12, 7), date(2026, 12, 8)} <= off
            off -= {date(2026, 12, 7), date(2026, 12, 8)}
        assert 1 <= len({d for d in off if d <= date(2026, 12, 7)}) <= 2
        assert not {d for d in off if date(2026, 12, 8) <= d <= date(2026, 12, 12)}


def test_gala_night_is_closed_down_in_overtime_and_not_without() -> None:
    document = demo().document()
    bruno = next(p for p in document["kitchen"]["people"] if p["id"] == "bruno")
    longer = compile_week(demo(), work_out(demo())).problem
    person = [p for p, _ in longer.people].index("bruno")
    assert {x.end - x.start for x in longer.extras} == {6}
    assert {x.person for x in longer.extras} == {person}
    del bruno["overtime"]
    short = scenario_of(document)
    with pytest.raises(BadInput, match="gala-close-down-larder"):
        compile_week(short, work_out(short))


def test_shifts_leave_eleven_hours_between_two_working_days() -> None:
    clock = demo().clock
    for person in demo().kitchen.people:
        spans = sorted(
            clock.span(day, shift.hours)
            for shift in person.shifts
            for day in clock.days()
            if day not in person.off and any(day in d for d in shift.days)
        )
        for (_, end), (start, _) in pairwise(spans):
            assert start - end >= 11 * 60, (person.id, clock.local(start))


def test_the_trainee_is_under_eighteen_and_is_home_before_the_last_course() -> None:
    young = [
        p for p in cooks() if p.born and date(p.born.year + 18, p.born.month, p.born.day) > RUN[1]
    ]
    assert [set(p.sections.values()) for p in young] == [{Level.TRAINEE}]
    gala = demo().event["gala"]
    last = gala.first_plate + timedelta(minutes=max(c.after for c in gala.menu))
    for shift in young[0].shifts:
        if any(date(2026, 12, 12) in d for d in shift.days):
            assert shift.hours.end <= last.hour * 60 + last.minute
    for _, visit in visits(plan()):
        if young[0].id in visit.people:
            assert hour(visit.end) <= 22


def test_standing_duties_take_people_ovens_burners_and_shelves() -> None:
    duties = demo().kitchen.duties
    assert sum(d.people > 0 for d in duties) >= 8
    assert {t.equipment for d in duties for t in d.equipment} >= {"deck", "burner"}
    assert {s.store for d in duties for s in d.stores} >= {"walk-in"}
    words = " ".join(d.name.lower() for d in duties)
    for duty in ("breakfast", "lunch", "dinner", "deliveries", "close-down"):
        assert duty in words


def test_gala_night_leaves_those_who_open_on_sunday_free_to_go_home() -> None:
    clock = demo().clock

    def on(day: date) -> dict[str, tuple[int, int]]:
        return {
            p.id: clock.span(day, s.hours)
            for p in cooks()
            for s in p.shifts
            if day not in p.off and any(day in d for d in s.days)
        }

    gala, brunch = on(date(2026, 12, 12)), on(date(2026, 12, 13))
    late = {p for p, (_, end) in gala.items() if hour(end) > 21.75}
    early = {p for p, (start, _) in brunch.items() if hour(start) < 8}
    assert len(late) == 5
    assert len(early) == 4
    assert not late & early


# -- recipes and week ----------------------------------------------------------------


def test_no_two_components_are_made_the_same_way() -> None:
    assert len(demo().components) >= 25
    by_id = Counter(tuple(s.id for s in c.steps) for c in demo().components)
    assert max(by_id.values()) == 1
    by_shape = Counter(
        tuple(
            (
                bool(s.hands),
                bool(s.load),
                bool(s.unload),
                len(s.add),
                bool(s.tend),
                s.time.decides,
                s.in_loads,
                s.then is not None and s.then.zone,
                tuple(n.equipment or n.zone for n in s.on),
            )
            for s in c.steps
        )
        for c in demo().components
    )
    assert max(by_shape.values()) == 1


def test_the_week_opens_with_a_ferment_on_its_third_day_and_a_starter_alive() -> None:
    week = demo().week
    assert week.on_hand
    running = {p.component: week.plan_from - p.started for p in week.in_progress}
    assert timedelta(days=2) < running["sour-pumpkin"] < timedelta(days=3)
    assert running["rye-starter"] < timedelta(days=1)
    inputs = {t.component for s in demo().component["rye-starter"].steps for t in s.takes}
    assert "rye-starter" in inputs
    fed = {s.consumer for s in plan().shares if s.source == "starter-wednesday"}
    assert any(f.startswith("rye-starter.") for f in fed)


def test_six_events_from_board_dinner_to_tea() -> None:
    events = demo().week.events
    assert len(events) == 6
    assert all(RUN[0] <= e.first_plate.date() <= RUN[1] for e in events)
    courses = [c for e in events for c in e.menu]
    assert any(c.diets for c in courses)
    assert any(c.after for c in courses)
    assert any(c.count for c in courses)
    assert any(c.each == "table" for c in courses)
    assert any(c.crew for c in courses)
    reception = demo().event["reception"]
    moments = {c.after + w.after for c in reception.menu for w in c.waves}
    assert len(moments) == 6
    assert sum(c.per for c in reception.menu) == 6
    brunch = demo().event["brunch"]
    assert sum(len(c.waves) > 1 for c in brunch.menu) >= 3


def test_plated_starters_wait_in_the_walk_in_on_their_shelves() -> None:
    waiting = {h.source: h for h in plan().holds if h.kind == "plated"}
    gala = waiting["gala.trout-plate"]
    assert gala.store == "walk-in"
    assert gala.shelves >= 7
    assert 0 < gala.end - gala.start <= 4 * 60


def test_several_events_draw_on_one_batch() -> None:
    dish = {b.id: b.event for b in plan().batches}
    served = defaultdict(set)
    for share in plan().shares:
        if dish[share.consumer]:
            served[share.source].add(dish[share.consumer])
    made = {b.id for b in plan().batches}
    assert sum(len(events) > 1 for batch, events in served.items() if batch in made) >= 5


def test_nothing_here_is_anybody_elses() -> None:
    text = demo().canonical().lower()
    assert [word for word in NOT_OURS if word in text] == []


# -- every kind of long prep ---------------------------------------------------------


def test_long_prep_of_every_kind_is_in_the_plan() -> None:
    task = {t.id: t for t in plan().tasks}
    ferment = task["sour-pumpkin.1/ferment"]
    assert ferment.law_end - ferment.law_start == 6 * DAY
    assert len(ferment.visits) >= 10
    hang = task["air-dried-duck.1/hang"]
    assert hang.law_end - hang.law_start >= 36 * 60
    assert hang.visits
    assert task["cured-trout.1/cure"].law_end - task["cured-trout.1/cure"].law_start >= 30 * 60
    assert all(s.name and s.time.at_least for _, s in steps() if s.test)


def test_stones_braises_and_drains_run_through_the_night_with_nobody_there() -> None:
    closed = [
        demo().clock.minute(demo().week.starts + timedelta(days=d, hours=h))
        for d in range(11)
        for h in (0, 1, 2, 3)
    ]
    night = {t.step for t in plan().tasks if any(t.start <= m < t.end for m in closed)}
    assert night >= {"grind", "grind-seeds", "braise", "clarify", "drain", "drip", "hang"}
    assert night >= {"dry-out", "freeze", "press", "retard", "ferment", "ferment-batter"}
    assert "simmer" not in night


def test_what_sets_in_moulds_keeps_them_until_it_is_turned_out() -> None:
    for kind, first, last in (
        ("dome-sheet", "pour", "unmould"),
        ("parfait-sheet", "whip", "unmould-cold"),
        ("terrine", "emulsify", "turn-out"),
        ("press-tin", "layer", "cut"),
        ("cup-tray", "pour-cups", "finish"),
    ):
        begun = [t for t in plan().tasks if t.step == first]
        assert begun, kind
        washed = demo().equipment[kind].washed is not None
        for t in begun:
            free = f"wash-{kind}" if washed else last
            end = next(x.end for x in plan().tasks if x.batch == t.batch and x.step == free)
            assert {x.end for x in t.taken if x.unit == kind} == {end}, kind
            assert end - t.start > 5 * 60


def test_moulds_are_washed_and_dry_half_an_hour_before_they_are_filled_again() -> None:
    for kind in ("dome-sheet", "cup-tray"):
        washed = [t for t in plan().tasks if t.step == f"wash-{kind}"]
        assert washed, kind
        assert all(t.end - t.law_start == 30 and t.visits for t in washed)


def test_the_whey_of_the_galas_yoghurt_goes_into_its_caramel_and_the_rest_is_poured_away() -> None:
    whey = [s for s in plan().shares if s.by_product == "whey"]
    assert {s.given for s in whey} == {"drain"}
    assert {s.consumer for s in whey} == {"whey-caramel.1"}
    assert not [b for b in plan().batches if b.component == "whey"]
    assert any(name.startswith("Whey ") for name in unclaimed(Names(demo(), plan())))


def test_parfait_is_tempered_out_within_the_hour_before_it_is_plated() -> None:
    start = {t.id: t.start for t in plan().tasks}
    out = [s for s in plan().shares if s.source.startswith("sesame-parfait-tempered")]
    ready = {t.batch: t.end for t in plan().tasks if t.step == "temper-out"}
    assert len(out) >= 3
    assert all(0 <= start[f"{s.consumer}/{s.step}"] - ready[s.source] <= 20 for s in out)


def test_crates_of_fish_stand_in_the_walk_in_until_they_are_filleted() -> None:
    crates = [h for h in plan().holds if h.kind == "delivered"]
    assert {h.source for h in crates} == {"trout-monday", "trout-thursday"}
    assert all(h.store == "walk-in" and h.shelves for h in crates if h.end > h.start)


def test_hot_sugar_waits_for_nobody() -> None:
    task = {t.id: t for t in plan().tasks}
    sugar = [t for t in task.values() if t.step in ("boil", "burn")]
    assert len(sugar) >= 4
    for t in sugar:
        after = task[f"{t.batch}/{ {'boil': 'pull', 'burn': 'quench'}[t.step] }"]
        assert after.start == t.end
        trained = {p.id for p in cooks() if "hot-sugar" in p.may_use}
        for visit in (*t.visits, *after.visits):
            assert set(visit.people) <= trained


def test_crisp_things_are_baked_last() -> None:
    end = {b.id: max(t.end for t in plan().tasks if t.batch == b.id) for b in plan().batches}
    start = {t.id: t.start for t in plan().tasks}
    for share in plan().shares:
        made = share.source.rsplit(".", 1)[0]
        if made in ("rye-honey-rolls", "saffron-folds", "cheese-choux", "scones"):
            assert start[f"{share.consumer}/{share.step}"] - end[share.source] <= 10 * 60


def test_it_decides_with_a_test_and_what_comes_next_waits_for_the_longest() -> None:
    decided = [(c, s) for c, s in steps() if s.time.decides is Decides.IT]
    assert len(decided) >= 5
    assert all(s.test for _, s in decided)
    longest = {(c, s.id): s.time.at_most for c, s in decided}
    component = {b.id: b.component for b in plan().batches}
    for t in plan().tasks:
        most = longest.get((component[t.batch] or "", t.step))
        if most is not None and not next(b for b in plan().batches if b.id == t.batch).in_progress:
            assert t.law_end - t.law_start == most


def test_loads_and_waves_are_used() -> None:
    several = {t.step for t in plan().tasks if t.loads > 1}
    assert several >= {"bake-choux", "fill-choux", "bake-folds", "grind-seeds"}
    assert any(s.waves for _, s in steps())


def test_amounts_of_the_gala_follow_from_the_menu() -> None:
    # 180 guests and 5 % are 189 (the published band for 101 to 1,000 guests); 9 + 4 of the
    # desserts are made apart, so that 176 remain.
    work = work_out(demo())
    assert work.batch["gala.trout-plate"].good == 189
    assert work.batch["gala.parfait-plate"].good == 176
    assert work.batch["gala.parfait-plate.gluten-free"].good == 9
    assert work.batch["gala.duck-plate"].good == 116
    assert work.batch["gala.broth-cup"].good == 189 + 12


def test_what_the_chef_insists_on_is_so_and_costs_nothing_that_was_asked_for() -> None:
    fillets = [v.people for t, v in visits(plan()) if t.batch.startswith("cured") and
               t.step == "fillet"]  # fmt: skip
    assert fillets and all("tilda" in people for people in fillets)
    ground = {t.unit for x in plan().tasks if x.batch.startswith("rice-") for t in x.taken}
    assert "stone-1" in ground and "stone-2" not in ground
    loose = demo().document()
    loose["week"]["wishes"] = [w for w in loose["week"]["wishes"] if "must" not in w["kind"]]
    free = plan_week(scenario_of(loose), seconds=0.1, deterministic=True)
    assert "wish" in audit(demo(), free).rules(), "nobody needs to insist"


def test_time_in_hand_calm_and_wishes_are_told_apart() -> None:
    terms = plan().terms
    assert terms == audit(demo(), plan()).terms
    assert terms.quality == terms.freshness + terms.in_hand + terms.calm + terms.wishes
    assert terms.in_hand + terms.calm > 0


def test_only_what_somebody_has_accepted_is_let_go() -> None:
    (accepted,) = demo().week.accepted
    report = audit(demo(), plan())
    assert {x.rule for x in report.let_go} <= {accepted.rule}
    assert all(accepted.reason in str(x) for x in report.let_go)


# -- machines ------------------------------------------------------------------------


def in_it(unit: str) -> list[tuple[int, int, str]]:
    """What is in a unit: from when to when, and of which batch and step."""
    found = [
        (t.start, t.end, f"{task.batch}/{task.step}")
        for task in plan().tasks
        for t in task.taken
        if t.unit == unit
    ]
    return sorted(found)


def test_nobody_opens_the_deck_oven_on_the_choux() -> None:
    uses = in_it("deck")
    choux = [use for use in uses if use[2].endswith("bake-choux")]
    assert choux
    for start, end, _ in choux:
        assert not [t for a, b, _ in uses for t in (a, b) if start < t < end]


def test_what_shares_the_blast_chiller_goes_in_and_comes_out_together() -> None:
    uses = in_it("blast-chiller")
    assert len(uses) >= 5
    for (a, b, _), (c, d, _) in pairwise(uses):
        assert (a, b) == (c, d) or b <= c


def test_a_stone_is_brushed_between_two_seeds_by_somebody_who_may() -> None:
    assert plan().clean_downs
    for done in plan().clean_downs:
        assert done.end - done.start == 60
        assert all("stone" in demo().person[p].may_use for p in done.people)
        before, after = (next(t for t in plan().tasks if t.id == i) for i in
                         (done.after, done.before))  # fmt: skip
        assert before.end == done.start and done.end <= after.start
        assert before.batch.split(".")[0] != after.batch.split(".")[0]


def test_the_trout_never_stands_where_the_custards_do() -> None:
    of = {b.id: b.component for b in plan().batches}
    stands: dict[str, list[tuple[str, int, int]]] = defaultdict(list)
    for task in plan().tasks:
        for t in task.taken:
            if t.store:
                stands[of[task.batch] or ""].append((t.store, t.start, t.end))
    for hold in plan().holds:
        if hold.store and hold.end - hold.start > demo().kitchen.transfer:
            stands[of.get(hold.source) or ""].append((hold.store, hold.start, hold.end))
    trout, custard = stands["cured-trout"], stands["buttermilk-custard"]
    assert trout and custard
    for store, start, end in trout:
        assert not [c for c in custard if c[0] == store and c[1] < end and start < c[2]]
