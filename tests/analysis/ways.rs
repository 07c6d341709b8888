//! Which ways there are, and where they lead.

use hallwright_analysis::ways::{KindSet, KindWays, WayKind, Ways};
use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::part::{Dropper, Intake, Leg, Outlet, Part, Selector, Shuttle, Signal};
use hallwright_core::predicate::Predicate;
use petgraph::Direction;

use crate::support::{Draft, names};

/// Every way, in words; the boxes are `boxes`.
fn reported(network: &Network, ways: &Ways) -> Vec<String> {
    let name = |node: usize| match node == ways.boxes() {
        true => "boxes".to_owned(),
        false => network.name(PartId::from_index(node)).to_owned(),
    };
    let reported = ways
        .iter()
        .map(|way| format!("{:?} {} {}", way.kind, name(way.from), name(way.to)));
    reported.collect()
}

/// A dispenser that fills a bench, from which a mouth gets what comes loose.
fn packing() -> Network {
    let mut draft = Draft::new();
    let mouth = draft.builder.add("mouth", Part::Mouth);
    let stream = draft.stream("stream", mouth);
    let bench = draft.bench("bench", stream);
    let dispenser = Dropper {
        trigger: None,
        outlet: Outlet::Bench(bench),
    };
    let dispenser = draft.builder.add("dispenser", Part::Dropper(dispenser));
    let store = draft.chest("store");
    draft.hopper("in", Intake::Cap, Some(dispenser), None);
    draft.hopper("out", Intake::Mouth(mouth), Some(store), None);
    draft.done()
}

#[test]
fn every_way_is_there_with_what_happens_along_it() {
    let network = packing();
    assert_eq!(
        reported(&network, &Ways::new(&network)),
        [
            "Flow stream mouth",
            "Lift bench stream",
            "Pack bench boxes",
            "Unpack boxes bench",
            "SetDown dispenser bench",
            "ThrowPast dispenser stream",
            "Push in dispenser",
            "PickUp mouth out",
            "Push out store",
        ]
    );
}

#[test]
fn a_way_says_whether_it_leads_into_boxes_or_is_taken_by_the_hopper_at_its_end() {
    let network = packing();
    let ways = Ways::new(&network);
    let kinds = |is_so: fn(WayKind) -> bool| -> Vec<WayKind> {
        let kinds = ways.iter().map(|way| way.kind);
        kinds.filter(|kind| is_so(*kind)).collect()
    };
    assert_eq!(
        kinds(WayKind::is_of_boxes),
        [WayKind::Pack, WayKind::Unpack]
    );
    assert_eq!(kinds(WayKind::is_taken), [WayKind::PickUp]);
    assert!(WayKind::Pull.is_taken());
    assert_eq!(kinds(WayKind::is_short_cut), []);
    assert!(WayKind::Travel.is_short_cut());
}

#[test]
fn the_graph_of_the_network_and_the_hops_are_the_same() {
    let network = packing();
    let ways = Ways::new(&network);
    let hops = network
        .part_ids()
        .flat_map(|part| ways.hops(part, Direction::Outgoing));
    let hops = hops.count();
    let links = network.graph().edge_weights();
    assert_eq!(hops, links.count(), "no signals, and no two links alike");
}

#[test]
fn a_hop_counts_each_part_once_and_says_whether_it_pulls() {
    let mut draft = Draft::new();
    let [above, below] = draft.chests(["above", "below"]);
    // Both push and pull between the two hoppers: the one that was declared first counts.
    let first = draft.builder.declare("first");
    let second = draft.below("second", first, Some(below));
    let pushing = hallwright_core::part::Hopper {
        target: Some(second),
        intake: Intake::Above(above),
        lock: None,
    };
    draft.builder.define(first, Part::Hopper(pushing));
    let network = draft.done();
    let ways = Ways::new(&network);
    assert_eq!(ways.hops(above, Direction::Outgoing), [(first, true)]);
    assert_eq!(ways.hops(first, Direction::Outgoing), [(second, false)]);
    assert_eq!(ways.hops(second, Direction::Incoming), [(first, false)]);
    let distances = ways.leading_to(&[below]);
    assert_eq!(distances[&below], 0);
    assert_eq!(distances[&above], 3);
}

#[test]
fn a_shuttle_leads_from_each_of_its_places_to_each() {
    let mut draft = Draft::new();
    let [source, store] = draft.chests(["source", "store"]);
    let places = ["here", "there"].map(|name| draft.builder.add(name, Part::Dock));
    let stops = places.map(|place| Leg {
        dock: place,
        travel_ticks: 10,
        dwell_ticks: 0,
        release: None,
    });
    let shuttle = Shuttle {
        slots: 27,
        stops: stops.to_vec(),
    };
    let shuttle = draft
        .builder
        .add("shuttle", Part::Shuttle(Box::new(shuttle)));
    draft.below("loads", source, Some(places[0]));
    draft.below("unloads", places[1], Some(store));
    let network = draft.done();
    let ways = Ways::new(&network);
    let reached = ways.reached([source], Direction::Outgoing, |way| {
        !way.kind.is_short_cut()
    });
    assert!(reached[store.index()] && reached[shuttle.index()]);
    // As hops go, the shuttle is where its places are, which are a round of their own.
    let reached = ways.reached([source], Direction::Outgoing, |way| way.kind.is_hop());
    assert!(reached[store.index()] && !reached[shuttle.index()]);
    assert_eq!(ways.rings(|_| true), [places.to_vec()]);
    let before = ways.reached([store], Direction::Incoming, |way| way.kind.is_hop());
    assert!(before[source.index()] && before[places[0].index()]);
}

#[test]
fn a_ring_is_one_only_while_its_ways_are_open() {
    let mut draft = Draft::new();
    let lever = draft.signal("lever", Signal::Lever { starts_on: false });
    let [left, right, aside] = draft.chests(["left", "right", "aside"]);
    let there = draft.below("there", left, Some(right));
    let back = draft.hopper("back", Intake::Above(right), Some(left), Some(lever));
    draft.below("away", left, Some(aside));
    let network = draft.done();
    let ways = Ways::new(&network);
    let ring = vec![left, right, there, back];
    assert_eq!(ways.rings(|_| true), [ring]);
    assert!(ways.rings(|part| part != there).is_empty());
    // Where a signal can lock the hopper, the ring can be broken.
    let is_never_locked = |part: PartId| network.part(part).lock().is_none();
    let unbroken = ways.rings_along(|way| way.by.is_none_or(is_never_locked));
    assert!(unbroken.is_empty());
}

#[test]
fn a_way_carries_only_what_a_selector_sends_along_it() {
    let mut draft = Draft::new();
    let [taken, rest] = draft.chests(["taken", "rest"]);
    let (barley, rye) = (draft.barley, draft.rye);
    let selector = draft.selector("selector", &[barley], taken, rest);
    let network = draft.done();
    let ways = KindWays::new(&network);
    let carries = |kind: WayKind| {
        let mut all = ways.ways().iter();
        let way = all.find(|way| way.kind == kind).expect("there is one");
        [ways.carries(way, barley), ways.carries(way, rye)]
    };
    assert_eq!(carries(WayKind::Match), [true, false]);
    assert_eq!(carries(WayKind::Rest), [false, true]);
    let reached = ways.reached_by(rye, &[selector], |_| false);
    let reached = names(&network, |part| reached[part.index()]);
    assert_eq!(reached, ["rest", "selector"]);
}

#[test]
fn a_selector_of_what_does_not_stack_parts_such_kinds_from_the_others() {
    let mut draft = Draft::new();
    let [singles, stacks] = draft.chests(["singles", "stacks"]);
    let saddle = draft.builder.kind("saddle", StackLimit::One);
    let (crock, barley) = (
        draft.builder.kind("crock", StackLimit::Sixteen),
        draft.barley,
    );
    let selector = Selector {
        latency_ticks: 1,
        interval_ticks: 1,
        holds: 1,
        takes: Predicate::Single,
        match_target: singles,
        rest_target: stacks,
        when_full: None,
        lock: None,
    };
    let selector = Part::Selector(Box::new(selector));
    let selector = draft.builder.add("selector", selector);
    let network = draft.done();
    let ways = KindWays::new(&network);
    let reached = |kind: KindId| {
        let reached = ways.reached_by(kind, &[selector], |_| false);
        [singles, stacks].map(|chest| reached[chest.index()])
    };
    assert_eq!(reached(saddle), [true, false]);
    assert_eq!(reached(crock), [false, true]);
    assert_eq!(reached(barley), [false, true]);
}

#[test]
fn sets_of_kinds_take_in_what_is_news() {
    let [one, other, third] = [0, 1, 2].map(KindId::from_index);
    let set = |kinds: &[KindId]| KindSet::of(3, |kind| kinds.contains(&kind));
    let none = KindSet::none(3);
    assert!(none.is_empty() && !set(&[one]).is_empty());
    assert!(set(&[one, other]).meets(Some(&set(&[other, third]))));
    assert!(!set(&[one]).meets(Some(&set(&[other, third]))));
    assert!(set(&[one]).meets(None) && !none.meets(None));
    let mut kept = set(&[one]);
    assert!(!kept.take_in(&set(&[one]), None));
    assert!(!kept.take_in(&set(&[one, other]), Some(&set(&[third]))));
    assert!(kept.take_in(&set(&[other, third]), Some(&set(&[third]))));
    assert_eq!(kept.iter().collect::<Vec<_>>(), [one, third]);
}

#[test]
fn a_goal_is_reached_from_outside_by_the_kinds_that_every_way_carries() {
    let mut draft = Draft::new();
    let [source, taken, rest, beyond] = draft.chests(["source", "taken", "rest", "beyond"]);
    let (barley, rye) = (draft.barley, draft.rye);
    let selector = draft.selector("selector", &[barley], taken, rest);
    draft.below("in", source, Some(selector));
    let on = draft.below("on", rest, Some(beyond));
    let network = draft.done();
    let ways = KindWays::new(&network);
    // The shared node of what boxes hold is the last.
    let mut goals = vec![false; network.part_count() + 1];
    for goal in [rest, on, beyond] {
        goals[goal.index()] = true;
    }
    let reaching = ways.reaching(&goals, &KindSet::of(2, |_| true));
    let kinds = |part: PartId| reaching[part.index()].iter().collect::<Vec<_>>();
    assert_eq!(kinds(source), [rye]);
    assert_eq!(kinds(selector), [rye]);
    assert_eq!(kinds(taken), []);
    // What is there already does not come from outside.
    assert_eq!(kinds(rest), []);
    let reaching = ways.reaching(&goals, &KindSet::of(2, |kind| kind == barley));
    assert!(reaching.iter().all(KindSet::is_empty));
}
