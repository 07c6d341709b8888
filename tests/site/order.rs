//! Section 6: the network of a set of blocks, and when two networks are the same.

use hallwright_core::goods::StackLimit;
use hallwright_core::id::KindId;
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::part::{Container, Hopper, Intake, Outlet, Part, Signal, Watched};
use hallwright_core::rules::Rules;
use hallwright_core::slot::Filling;
use hallwright_site::blocks::Piece;
use hallwright_site::derive::{Derived, derive};
use hallwright_site::network::{Outline, same, same_as_matched};

use crate::drawing::{pieces, world_of};

fn derived(pieces: Vec<Piece>) -> Derived {
    let kind = hallwright_core::goods::Kind {
        name: "flax".to_owned(),
        stack_limit: StackLimit::SixtyFour,
        is_box: false,
    };
    let world = world_of(pieces);
    derive(&world, Rules::default(), &[kind]).expect("the drawing is a network")
}

fn names(network: &Network) -> Vec<&str> {
    network.part_ids().map(|part| network.name(part)).collect()
}

#[test]
fn parts_come_from_the_top_then_by_x_then_by_z() {
    let drawn = derived(pieces(
        "store_9 . store_3 \n . store_8 .
         --- store_5 store_7 \n store_6 store_1",
    ));
    let expected = [
        "store_9", "store_8", "store_3", "store_5", "store_6", "store_7", "store_1",
    ];
    assert_eq!(names(&drawn.network), expected);
    let x: Vec<i32> = drawn
        .stood
        .iter()
        .filter_map(|stood| Some(stood.block?.x))
        .collect();
    assert_eq!(x, [0, 1, 2, 0, 0, 1, 1]);
}

#[test]
fn one_wire_stands_for_each_ear_that_hears_more_than_one_source_itself() {
    // The hopper hears the lever itself; the repeater through wire; the inverter through a full block.
    let drawn = derived(pieces(
        "cap --- hopper_1 lever_1, wire repeater_1> . . lever_2> # inverter_2<",
    ));
    let network = &drawn.network;
    assert_eq!(drawn.wire_count(), 2);
    let part = |name: &str| {
        network
            .part(network.find(name).expect("it is there"))
            .clone()
    };
    let lever = network.find("lever_1");
    let Part::Hopper(hopper) = part("hopper_1") else {
        panic!("a hopper is a hopper");
    };
    assert_eq!(hopper.lock, lever);
    let Part::Signal(Signal::Repeater { input, .. }) = part("repeater_1") else {
        panic!("a repeater is a repeater");
    };
    let Some(Signal::Wire { inputs }) = network.signal(input) else {
        panic!("it hears through a wire");
    };
    assert_eq!(*inputs, [(lever.expect("it is there"), 0)]);
}

#[test]
fn a_repeater_feeds_another_itself_but_not_through_a_full_block() {
    let input = |drawing: &str| {
        let network = derived(pieces(drawing)).network;
        let second = network.find("repeater_2").expect("it is drawn");
        let Some(Signal::Repeater { input, .. }) = network.signal(second) else {
            panic!("a repeater is a repeater");
        };
        network.name(*input).to_owned()
    };
    assert_eq!(input("repeater_1> repeater_2>"), "repeater_1");
    assert_eq!(input("repeater_1> # repeater_2>"), "input 1 of repeater_2");
    // The limit of ours: one of several sources is heard through a wire as well.
    let two = "# . --- repeater_1> repeater_2> --- lever_1' .";
    assert_eq!(input(two), "repeater_1", "the lever is not at its back");
}

#[test]
fn an_observer_of_wire_watches_a_wire_and_of_a_lever_the_lever() {
    let watches = |drawing: &str| {
        let network = derived(pieces(drawing)).network;
        let observer = network.find("observer_1").expect("it is drawn");
        match network.signal(observer) {
            Some(Signal::Observer {
                watches: Watched::Signal(of),
            }) => network.name(*of).to_owned(),
            other => panic!("{other:?} watches no signal"),
        }
    };
    assert_eq!(watches("observer_1> lever_1"), "lever_1");
    assert_eq!(
        watches("observer_1> wire lever_1"),
        "watched wire of observer_1"
    );
    assert_eq!(watches("observer_1> store_1"), "no signal");
}

#[test]
fn what_leads_nowhere_leads_to_an_open_place() {
    let network = derived(pieces("dropper_1>")).network;
    let dropper = network.find("dropper_1").expect("it is drawn");
    let Part::Dropper(dropper) = network.part(dropper) else {
        panic!("a dropper is a dropper");
    };
    let Outlet::Loose(place) = dropper.outlet else {
        panic!("it throws");
    };
    assert_eq!(network.part(place), &Part::Mouth);
}

#[test]
fn an_open_hopper_has_a_mouth_that_nobody_named() {
    let network = derived(pieces(". --- hopper_1")).network;
    let hopper = network.find("hopper_1").expect("it is drawn");
    let Part::Hopper(hopper) = network.part(hopper) else {
        panic!("a hopper is a hopper");
    };
    assert!(matches!(hopper.intake, Intake::Mouth(_)));
}

fn filled(slot: u16, count: u8) -> Filling {
    Filling {
        slot,
        kind: KindId::from_index(0),
        count,
        contents: Vec::new(),
    }
}

fn fill(pieces: &mut [Piece], name: &str, filling: Filling) {
    let piece = pieces.iter_mut().find(|piece| piece.name == name);
    piece.expect("it is drawn").contents.push(filling);
}

fn slots(network: &Network) -> Vec<(u16, u8)> {
    let fillings = network.fillings().iter();
    fillings
        .map(|(_, filling)| (filling.slot, filling.count))
        .collect()
}

#[test]
fn chests_that_join_are_one_part_whose_first_slots_are_those_of_the_first_in_order() {
    let mut drawn = pieces("chest_2 chest_1 --- hopper_1 hopper_2");
    fill(&mut drawn, "chest_1", filled(3, 11));
    fill(&mut drawn, "chest_2", filled(4, 22));
    let network = derived(drawn).network;
    assert_eq!(names(&network), ["chest_2", "hopper_1", "hopper_2"]);
    assert_eq!(
        network.own_slots(network.find("chest_2").expect("it is there")),
        Some(54)
    );
    assert_eq!(slots(&network), [(4, 22), (30, 11)]);
    for hopper in ["hopper_1", "hopper_2"] {
        let hopper = network.find(hopper).expect("it is drawn");
        let hopper = network.part(hopper).hopper().expect("a hopper is a hopper");
        assert_eq!(hopper.above(), network.find("chest_2"));
    }
}

#[test]
fn a_double_chest_that_is_turned_has_its_halves_the_other_way_round() {
    for is_turned in [false, true] {
        let mut drawn = pieces("double_1 double_1");
        fill(&mut drawn, "double_1", filled(0, 11));
        fill(&mut drawn, "double_1", filled(27, 22));
        if is_turned {
            drawn[0].blocks.reverse();
        }
        let expected = if is_turned {
            [(0, 22), (27, 11)]
        } else {
            [(0, 11), (27, 22)]
        };
        assert_eq!(slots(&derived(drawn).network), expected);
    }
}

#[test]
fn names_and_order_are_no_part_of_a_network() {
    let one = derived(pieces(
        "store_1 cap --- hopper_1> hopper_2, lever_1 --- . barrel_2 #",
    ));
    // The same hall, seen from the other end, with other names.
    let other = derived(pieces(
        ". cap store_4 --- lever_9 hopper_8, hopper_7< --- # barrel_3 .",
    ));
    let (one, other) = (Outline::of(&one.network), Outline::of(&other.network));
    let matched = same(&one, &other).expect("they are the same");
    assert!(same_as_matched(&one, &other, &matched));
    let name = |name: &str| one.members.iter().position(|member| member.name == name);
    let image = |number: Option<usize>| {
        other.members[matched[number.expect("it is there")]]
            .name
            .as_str()
    };
    assert_eq!(image(name("hopper_1")), "hopper_7");
    assert_eq!(image(name("barrel_2")), "barrel_3");
}

/// Two outlines in which one thing differs.
fn differ(one: &str, other: &str) {
    let outline = |drawing: &str| Outline::of(&derived(pieces(drawing)).network);
    assert_eq!(
        same(&outline(one), &outline(other)),
        None,
        "{one} / {other}"
    );
    assert!(same(&outline(one), &outline(one)).is_some());
}

#[test]
fn everything_else_is_part_of_a_network() {
    differ("store_1", "double_1 double_1");
    differ("repeater_1>", "comparator_1>");
    differ("comparator_1>", "subtractor_1>");
    differ("dropper_1> store_1", "dropper_1> . store_1");
    differ("lever_1 wire repeater_1>", "lever_1 wire wire repeater_1>");
    differ("lever_1 repeater_1>", "button_1 repeater_1>");
    differ("observer_1> lever_1", "observer_1> wire lever_1");
    differ("store_1 comparator_1>", "store_1 . comparator_1>");
    differ(
        "repeater_1v \n comparator_1>",
        "comparator_1> \n . \n repeater_1v",
    );
    differ("store_1 store_2", "store_1");
}

#[test]
fn contents_and_goods_are_part_of_a_network() {
    let outline = |count| {
        let mut drawn = pieces("store_1 store_2");
        fill(&mut drawn, "store_1", filled(0, count));
        Outline::of(&derived(drawn).network)
    };
    assert_eq!(same(&outline(3), &outline(4)), None);
    assert!(same(&outline(3), &outline(3)).is_some());
    let mut other = outline(3);
    other.kinds[0].stack_limit = StackLimit::Sixteen;
    assert_eq!(same(&outline(3), &other), None);
    other = outline(3);
    other.rules.cooldown_ticks += 1;
    assert_eq!(same(&outline(3), &other), None);
}

#[test]
fn goods_go_by_their_names_in_whatever_order() {
    let outline = |kinds: [&str; 2], filled: usize| {
        let mut builder = NetworkBuilder::new(Rules::default());
        for kind in kinds {
            builder.kind(kind, StackLimit::SixtyFour);
        }
        let store = builder.add("store", Part::Container(Container { slots: 27 }));
        let kind = KindId::from_index(filled);
        builder.fill(
            store,
            Filling {
                slot: 0,
                kind,
                count: 1,
                contents: Vec::new(),
            },
        );
        Outline::of(&builder.build().expect("the store is sound"))
    };
    assert!(same(&outline(["flax", "wool"], 0), &outline(["wool", "flax"], 1)).is_some());
    assert_eq!(
        same(&outline(["flax", "wool"], 0), &outline(["wool", "flax"], 0)),
        None
    );
    assert_eq!(
        same(
            &outline(["flax", "wool"], 0),
            &outline(["flax", "slate"], 0)
        ),
        None
    );
}

#[test]
fn however_wires_are_cut_the_sources_and_losses_count() {
    let network = |cut: bool, loss: u8| {
        let mut builder = NetworkBuilder::new(Rules::default());
        let lever = builder.add("lever", Part::Signal(Signal::Lever { starts_on: false }));
        let mut wire =
            |name: &str, inputs| builder.add(name, Part::Signal(Signal::Wire { inputs }));
        let last = match cut {
            true => {
                let first = wire("first", vec![(lever, 2)]);
                wire("last", vec![(first, loss - 2)])
            }
            false => wire("only", vec![(lever, loss)]),
        };
        let lock = Some(last);
        let hopper = Hopper {
            target: None,
            intake: Intake::Cap,
            lock,
        };
        builder.add("hopper", Part::Hopper(hopper));
        Outline::of(&builder.build().expect("the line is sound"))
    };
    assert!(same(&network(true, 5), &network(false, 5)).is_some());
    assert_eq!(same(&network(true, 5), &network(false, 6)), None);
    // What is not heard is as if it were not there.
    assert!(same(&network(true, 15), &network(false, 16)).is_some());
}

#[test]
fn two_rings_of_three_are_no_ring_of_six() {
    // Every repeater of either hears one like itself and is heard by one: only going round tells.
    let rings = |sizes: &[usize]| {
        let mut builder = NetworkBuilder::new(Rules::default());
        for (ring, &size) in sizes.iter().enumerate() {
            let names = (0..size).map(|number| format!("{ring} {number}"));
            let all: Vec<_> = names.map(|name| builder.declare(&name)).collect();
            for (number, repeater) in all.iter().enumerate() {
                let signal = Signal::Repeater {
                    input: all[(number + 1) % size],
                    delay_ticks: 2,
                    lock: None,
                };
                builder.define(*repeater, Part::Signal(signal));
            }
        }
        Outline::of(&builder.build().expect("rings are allowed"))
    };
    assert_eq!(same(&rings(&[3, 3]), &rings(&[6])), None);
    assert!(same(&rings(&[3, 3]), &rings(&[3, 3])).is_some());
    assert!(same(&rings(&[6, 6, 6]), &rings(&[6, 6, 6])).is_some());
}

#[test]
fn slices_that_nothing_tells_apart_are_matched_all_the_same() {
    let hall = |count: usize| {
        let slice = "store_N cap . \n --- hopper_N> hopper_NN, lever_N, \n --- . barrel_N # \n";
        let mut all = Vec::new();
        for number in 0..count {
            let drawing = slice.replace('N', &number.to_string());
            let mut slice = pieces(&drawing);
            for piece in &mut slice {
                for block in &mut piece.blocks {
                    block.z += 3 * i32::try_from(number).expect("there are few");
                }
                if !piece.name.is_empty() && piece.name != "cap" {
                    piece.name = format!("{} of {number}", piece.name);
                }
            }
            all.extend(slice.into_iter().filter(|piece| piece.name != "cap"));
        }
        all
    };
    let (one, other) = (derived(hall(60)), derived(hall(60)));
    assert!(same(&Outline::of(&one.network), &Outline::of(&other.network)).is_some());
    let fewer = derived(hall(59));
    assert_eq!(
        same(&Outline::of(&one.network), &Outline::of(&fewer.network)),
        None
    );
}
