//! A hall that is continued: what lies there stays.

use hallwright_plan::allocate::keep::{Changes, MoveReason};
use hallwright_plan::hall::Sort;
use hallwright_plan::kept::{Kept, read_kept};
use hallwright_plan::{Plan, continued, scenario_files};
use hallwright_scenario::Sources;
use proptest::prelude::*;

use crate::support::{Reported, goods, named, placed, planned, small_hall, sound_hall};

/// Reads an allocation that is written in a test.
fn kept_of(text: &str) -> (Option<Kept>, Reported) {
    let folder = tempfile::tempdir().expect("there is room for files");
    let path = folder.path().join("allocation.csv");
    std::fs::write(&path, text).expect("there is room for a file");
    let (mut sources, mut problems) = (Sources::default(), Vec::new());
    let kept = read_kept(&path, &mut sources, &mut problems);
    (kept, Reported { sources, problems })
}

/// The text of a file of a plan.
fn file(plan: &Plan, name: &str) -> String {
    let files = scenario_files(plan).into_iter();
    let mut found = files.filter(|file| file.name == name).map(|file| file.text);
    found.next().unwrap_or_else(|| panic!("there is no {name}"))
}

/// A plan that continues another, where some kinds are to move, and what was reported.
fn kept_moving(
    before: &Plan,
    rows: &str,
    hall: &str,
    moving: &[&str],
) -> (Option<Plan>, Vec<String>) {
    let kept = kept_of(&file(before, "allocation.csv")).0;
    let kept = Kept {
        moving: moving.iter().map(|name| (*name).to_owned()).collect(),
        ..kept.expect("it is sound")
    };
    let mut problems = Vec::new();
    let plan = continued(
        "Hall".into(),
        goods(rows),
        sound_hall(hall),
        Some(&kept),
        &mut problems,
    );
    (
        plan,
        problems
            .into_iter()
            .map(|problem| problem.message)
            .collect(),
    )
}

/// A plan that continues another.
fn kept(before: &Plan, rows: &str, hall: &str) -> Plan {
    let (plan, reported) = kept_moving(before, rows, hall, &[]);
    assert!(reported.is_empty(), "{reported:?}");
    plan.expect("it fits")
}

fn changes(plan: &Plan) -> &Changes {
    plan.allocation
        .changes
        .as_ref()
        .expect("it continues another")
}

/// One move: the name, the numbers before and after, the stacks to carry, the filters to fill, the reason.
type Moved<'p> = (&'p str, Vec<u64>, Vec<u64>, u64, u64, MoveReason);

/// All moves of a plan.
fn moves(plan: &Plan) -> Vec<Moved<'_>> {
    let moves = changes(plan).moves.iter().map(|moved| {
        let name = plan.catalogue.goods[moved.good].name.as_str();
        let (from, to) = (moved.from.1.clone(), moved.to.1.clone());
        (name, from, to, moved.carry_stacks, moved.filters, moved.why)
    });
    moves.collect()
}

/// Two bulk kinds, two families of multi-item goods and oddments; two bulk slices and one of multi-item
/// goods are free.
const ROWS: &str = "barley, 64, 3000, 90, , bulk\nrye, 64, 2000, 40, , bulk\n\
    oak lath, 64, 640, 9, oak, multi\noak slat, 64, 640, 8, oak, multi\noak peg, 64, 320, 7, oak, multi\n\
    ash lath, 64, 1280, 6, ash, multi\nash slat, 64, 1280, 5, ash, multi\nmallet, 1, 6, 1, , \n";

fn hall() -> String {
    small_hall("growth: Slices(bulk: 2, multi: 1),")
}

/// The hall of [`ROWS`].
fn before() -> Plan {
    let plan = planned(ROWS, &hall()).0.expect("it fits");
    assert_eq!(named(&plan, Sort::Bulk), [["barley"], ["rye"]]);
    let multi = [
        vec!["oak lath", "oak slat", "oak peg"],
        vec!["ash lath", "ash slat"],
    ];
    assert_eq!(named(&plan, Sort::Multi), multi);
    plan
}

#[test]
fn nothing_changes_if_nothing_does_and_inflow_moves_nothing() {
    let before = before();
    let same = kept(&before, ROWS, &hall());
    assert_eq!(scenario_files(&before), scenario_files(&same));
    assert_eq!(changes(&same).stayed, 8);
    // The rye comes in far faster than the barley now, and stays behind it.
    let faster = ROWS.replace("rye, 64, 2000, 40", "rye, 64, 2000, 900");
    let plan = kept(&before, &faster, &hall());
    assert_eq!(
        file(&before, "allocation.csv"),
        file(&plan, "allocation.csv")
    );
    let fresh = planned(&faster, &hall()).0.expect("it fits");
    assert_eq!(named(&fresh, Sort::Bulk), [["rye"], ["barley"]]);
}

#[test]
fn an_amount_that_fits_changes_no_slice_and_one_line_of_the_scenario() {
    let before = before();
    // Three stacks more of oak lath; a new plan would make bulk of 14 stacks of goods without a wish.
    let more = ROWS.replace("oak lath, 64, 640", "oak lath, 64, 832");
    let plan = kept(&before, &more, &hall());
    assert_eq!(
        file(&before, "allocation.csv"),
        file(&plan, "allocation.csv")
    );
    // All that changes is how much is sent to try it, and how long that takes.
    let (one, other) = (file(&before, "scenario.ron"), file(&plan, "scenario.ron"));
    assert_eq!(one.lines().count(), other.lines().count());
    let changed = one
        .lines()
        .zip(other.lines())
        .filter(|(one, other)| one != other);
    assert_eq!(changed.count(), 1, "{other}");
}

#[test]
fn new_kinds_go_to_their_family_then_to_others_then_into_free_slices_then_to_the_end() {
    let before = before();
    let more = format!(
        "{ROWS}ash rod, 64, 64, 50, ash, multi\nwool, 64, 64, 50, , multi\nwheat, 64, 64, 900, , bulk\n"
    );
    let plan = kept(&before, &more, &hall());
    // The first slice has room for one kind and 29 stacks; the ash has a slice of its own kind.
    assert_eq!(placed(&plan, "ash rod"), ("multi", vec![2]));
    assert_eq!(placed(&plan, "wool"), ("multi", vec![1]));
    assert_eq!(placed(&plan, "wheat"), ("bulk", vec![3]));
    assert!(changes(&plan).moves.is_empty());
    assert_eq!(changes(&plan).came.len(), 3);
    // The reserve is used up before the line becomes longer.
    assert_eq!(plan.line(Sort::Bulk).expect("there is one").places.len(), 4);
    let more = format!("{more}oat, 64, 64, 3, , bulk\nspelt, 64, 64, 2, , bulk\n");
    let plan = kept(&plan, &more, &hall());
    assert_eq!(placed(&plan, "oat"), ("bulk", vec![4]));
    assert_eq!(placed(&plan, "spelt"), ("bulk", vec![5]));
    assert_eq!(plan.line(Sort::Bulk).expect("there is one").places.len(), 5);
}

#[test]
fn a_line_that_becomes_longer_is_reported_and_rows_stay_as_long_as_they_were() {
    let before = before();
    let more = format!("{ROWS}wheat, 64, 64, 9, , bulk\noat, 64, 64, 9, , bulk\n");
    let plan = kept(&before, &more, &hall());
    assert!(changes(&plan).lengthened.is_empty());
    let more = format!("{more}spelt, 64, 9000, 9, , bulk\n");
    let plan = kept(&before, &more, &hall());
    // 141 stacks need three slices: two were free, and one follows; the two others stand behind that.
    assert_eq!(changes(&plan).lengthened, [(Sort::Bulk, 3)]);
    assert_eq!(placed(&plan, "spelt"), ("bulk", vec![3, 4, 5]));
    assert_eq!(placed(&plan, "oat"), ("bulk", vec![6]));
}

#[test]
fn a_kind_that_is_gone_leaves_its_filter_and_its_slice_to_others() {
    let before = before();
    let fewer = ROWS
        .replace("barley, 64, 3000, 90, , bulk\n", "")
        .replace("oak lath, 64, 640, 9, oak, multi\n", "");
    let plan = kept(&before, &fewer, &hall());
    // The rye stays in the second slice; the last of the oak takes the filter between the others.
    assert_eq!(placed(&plan, "rye"), ("bulk", vec![2]));
    assert_eq!(named(&plan, Sort::Multi)[0], ["oak peg", "oak slat"]);
    assert_eq!(
        moves(&plan),
        [("oak peg", vec![1], vec![1], 0, 1, MoveReason::ClosesUp)]
    );
    let left: Vec<&str> = changes(&plan)
        .left
        .iter()
        .map(|left| left.name.as_str())
        .collect();
    assert_eq!(left, ["barley", "oak lath"]);
    // What comes instead gets exactly the free filter, and nothing else is touched.
    let instead = format!("{fewer}oak rail, 64, 64, 1, oak, multi\nwheat, 64, 64, 1, , bulk\n");
    let plan = kept(&before, &instead, &hall());
    assert_eq!(
        named(&plan, Sort::Multi)[0],
        ["oak rail", "oak slat", "oak peg"]
    );
    assert_eq!(named(&plan, Sort::Bulk)[..2], [["wheat"], ["rye"]]);
    assert!(moves(&plan).is_empty(), "{:?}", moves(&plan));
}

#[test]
fn kept_twice_it_is_the_same_byte_for_byte() {
    let before = before();
    let rows = format!("{ROWS}ash rod, 64, 64, 50, ash, multi\nwheat, 64, 9000, 900, , bulk\n")
        .replace("oak lath, 64, 640, 9, oak, multi\n", "");
    let once = kept(&before, &rows, &hall());
    let twice = kept(&once, &rows, &hall());
    assert_eq!(scenario_files(&once), scenario_files(&twice));
    assert!(changes(&twice).moves.is_empty() && changes(&twice).left.is_empty());
}

#[test]
fn the_order_of_the_catalogue_does_not_matter() {
    let before = before();
    let more = format!(
        "{ROWS}ash rod, 64, 640, 5, ash, multi\nash pin, 64, 640, 5, ash, multi\nwool, 64, 640, 5, , multi\n\
         wheat, 64, 640, 5, , bulk\noat, 64, 640, 5, , bulk\n"
    );
    let more = more.replace("rye, 64, 2000", "rye, 64, 5000");
    let mut rows: Vec<&str> = more.lines().collect();
    let one = kept(&before, &more, &hall());
    rows.reverse();
    let other = kept(&before, &format!("{}\n", rows.join("\n")), &hall());
    assert_eq!(file(&one, "allocation.csv"), file(&other, "allocation.csv"));
}

#[test]
fn a_kind_that_outgrew_its_slice_gets_the_next_one_or_moves() {
    let before = before();
    // The rye (79 stacks) has a free slice beside its own.
    let plan = kept(
        &before,
        &ROWS.replace("rye, 64, 2000", "rye, 64, 5000"),
        &hall(),
    );
    assert_eq!(placed(&plan, "rye"), ("bulk", vec![2, 3]));
    assert_eq!(
        moves(&plan),
        [("rye", vec![2], vec![2, 3], 0, 1, MoveReason::Outgrown)]
    );
    // The barley has none, and moves behind the rye.
    let plan = kept(
        &before,
        &ROWS.replace("barley, 64, 3000", "barley, 64, 5000"),
        &hall(),
    );
    assert_eq!(placed(&plan, "barley"), ("bulk", vec![3, 4]));
    assert_eq!(
        moves(&plan),
        [("barley", vec![1], vec![3, 4], 79, 2, MoveReason::Outgrown)]
    );
    assert_eq!(placed(&plan, "rye"), ("bulk", vec![2]));
    // What it left is free for others.
    let more =
        format!("{ROWS}oat, 64, 64, 1, , bulk\n").replace("barley, 64, 3000", "barley, 64, 5000");
    assert_eq!(
        placed(&kept(&plan, &more, &hall()), "oat"),
        ("bulk", vec![1])
    );
}

#[test]
fn in_a_slice_of_several_kinds_one_gets_a_free_neighbour_or_the_smallest_that_helps_moves() {
    let before = before();
    // 30 + 10 + 5 stacks of oak still fit into 54; 42 + 10 + 5 do not. Its neighbour is full of ash.
    let full = ROWS.replace("ash lath, 64, 1280", "ash lath, 64, 2048");
    let more = full.replace("oak lath, 64, 640", "oak lath, 64, 2688");
    let plan = kept(&before, &more, &hall());
    // 3 stacks too many: the 5 of the oak pegs are enough, and go into the free slice.
    assert_eq!(
        moves(&plan),
        [("oak peg", vec![1], vec![3], 5, 1, MoveReason::Outgrown)]
    );
    // The ash has the free slice beside it: its largest kind gets a filter there, and nothing is carried.
    let more = ROWS.replace("ash lath, 64, 1280", "ash lath, 64, 3200");
    let plan = kept(&before, &more, &hall());
    assert_eq!(
        moves(&plan),
        [("ash lath", vec![2], vec![2, 3], 0, 1, MoveReason::Outgrown)]
    );
    let line = &plan.allocation.lines[Sort::Multi.index()];
    assert_eq!(line.stacks, [vec![10, 10, 5], vec![34, 20], vec![16]]);
}

#[test]
fn a_kind_moves_if_it_is_asked_to() {
    let before = before();
    let (plan, reported) = kept_moving(&before, ROWS, &hall(), &["oak slat", "barley"]);
    assert!(reported.is_empty(), "{reported:?}");
    let plan = plan.expect("it fits");
    // Elsewhere, though there would be most room where it lay.
    assert_eq!(placed(&plan, "oak slat"), ("multi", vec![2]));
    assert_eq!(placed(&plan, "barley"), ("bulk", vec![3]));
    let moved = moves(&plan);
    assert!(
        moved.contains(&("barley", vec![1], vec![3], 47, 1, MoveReason::Asked)),
        "{moved:?}"
    );
    let (plan, reported) = kept_moving(&before, ROWS, &hall(), &["barly"]);
    assert!(plan.is_none());
    assert_eq!(
        reported,
        ["`barly` is to move, and does not lie in the hall that is kept"]
    );
}

#[test]
fn a_kind_that_has_nowhere_to_move_to_is_an_error() {
    // A head, six slices, and four blocks for a turn and the end: all full.
    let rows: String = (0..6)
        .map(|number| format!("log {number}, 64, 64, 1, , bulk\n"))
        .collect();
    let hall = "(length_blocks: 11, rows: 1, bulk: (width_blocks: 1, slots: 54, kinds: 1))";
    let before = planned(&rows, hall).0.expect("it fits");
    let (plan, reported) = kept_moving(&before, &rows, hall, &["log 3"]);
    assert!(plan.is_none());
    assert_eq!(reported, ["`log 3` has nowhere to move to"]);
}

#[test]
fn a_wish_moves_what_is_in_its_way() {
    let before = before();
    let plan = kept(
        &before,
        &ROWS.replace("rye, 64, 2000, 40, , bulk", "rye, 64, 2000, 40, , bulk 1"),
        &hall(),
    );
    assert_eq!(placed(&plan, "rye"), ("bulk", vec![1]));
    assert_eq!(placed(&plan, "barley"), ("bulk", vec![2]));
    let reasons: Vec<MoveReason> = moves(&plan).iter().map(|moved| moved.5).collect();
    assert_eq!(reasons, [MoveReason::Outgrown, MoveReason::Wish]);
}

#[test]
fn an_allocation_of_another_shape_is_refused_with_its_places() {
    let refused = |text: &str| {
        let (kept, reported) = kept_of(text);
        assert!(kept.is_none(), "{text}");
        reported.lines()
    };
    assert_eq!(
        refused("section, place, goods\nbulk 1, 1, barley\n"),
        [
            "1:1 an allocation has a column `slice`, and this table has none",
            "1:1 an allocation has a column `kinds`, and this table has none",
        ]
    );
    assert_eq!(
        refused(
            "section, slice, kinds\nshelf 1, 1, barley\nbulk 1, none, rye\nbulk 1, 2, oat\nbulk 1, 2, wheat\n\
             multi 1, 1, oat;flax;flax\nbulk 1, 4, wool\nbulk 1, 5, hay\nbulk 1, 6, wool\n"
        ),
        [
            "2:1 `shelf 1` is no section of a planned hall",
            "3:9 `none` is no number of a slice",
            "5:9 slice 2 of `bulk` is there twice",
            "6:13 `flax` is in this slice twice",
            "9:1 `wool` lies in slice 4 of `bulk`, too, which is not beside this one",
            "6:1 `oat` lies in slice 2 of `bulk`, too, which is not beside this one",
        ]
    );
    // Other columns, another order and other names of sections of a sort make no difference.
    let (kept, reported) =
        kept_of("blocks, kinds, side, slice, section\n0, rye, 1, 2, bulk east\n");
    assert!(reported.problems.is_empty(), "{:?}", reported.lines());
    let kept = kept.expect("it is sound");
    assert_eq!(kept.places_of("rye"), Some((Sort::Bulk, vec![2])));
}

/// A kind of a catalogue before and after: stack limit, stacks before and after, family, wish; without stacks it
/// is not there.
fn any_kind() -> impl Strategy<Value = (u32, Option<u64>, Option<u64>, usize, usize)> {
    let limit = prop::sample::select(vec![64_u32, 64, 64, 16, 1]);
    let stacks = || prop::option::weighted(0.8, 0..120_u64);
    (limit, stacks(), stacks(), 0..3_usize, 0..6_usize)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(100))]

    #[test]
    fn however_goods_change_all_have_room_and_nothing_moves_without_need(
        kinds in prop::collection::vec(any_kind(), 1..40),
        families in prop::sample::select(vec!["Mixed", "Together", "Neighbours"]),
        gap in 1..9_u64,
    ) {
        let rows = |is_after: bool| {
            let each = kinds.iter().enumerate().filter_map(|(number, kind)| {
                let (limit, before, after, family, wish) = *kind;
                let amount = u64::from(limit) * if is_after { after } else { before }?;
                let family = ["", "oak", "ash"][family];
                let wish = ["", "", "", "bulk", "multi", "oddments"][if limit == 1 { 0 } else { wish }];
                Some(format!("kind {number}, {limit}, {amount}, {number}, {family}, {wish}\n"))
            });
            each.collect::<Vec<String>>()
        };
        let (before, after) = (rows(false), rows(true));
        prop_assume!(!before.is_empty() && !after.is_empty());
        let hall = small_hall(&format!(
            "families: {families}, growth: Share(0.2), left_out: [(slices: \"bulk\", from: {gap}, count: 2)],"
        ));
        let first = planned(&before.concat(), &hall).0.expect("it fits");
        let then = kept(&first, &after.concat(), &hall);
        for sort in Sort::ALL {
            let slice = then.hall.slice(sort).expect("the hall has all sorts");
            let line = &then.allocation.lines[sort.index()];
            for (goods, stacks) in line.slices.iter().zip(&line.stacks) {
                prop_assert!(goods.len() <= slice.kinds);
                prop_assert!(stacks.iter().sum::<u64>() <= slice.room_stacks);
            }
        }
        for (good, known) in then.catalogue.goods.iter().enumerate() {
            let sort = then.allocation.sort_of(good);
            let line = &then.allocation.lines[sort.index()];
            let slices = line.slices_of(good);
            let with = line.slices.iter().filter(|goods| goods.contains(&good)).count();
            prop_assert!(with > 0 && with == slices.len(), "{} is not in one place", known.name);
            let lie: u64 = slices.map(|slice| line.stacks_in(slice, good)).sum();
            prop_assert_eq!(lie, known.stacks());
        }
        // Kept again it is the same, and a catalogue in another order gives the same hall.
        let again = kept(&then, &after.concat(), &hall);
        prop_assert_eq!(scenario_files(&then), scenario_files(&again));
        prop_assert!(changes(&again).moves.is_empty());
        let reversed: String = after.iter().rev().cloned().collect();
        prop_assert_eq!(
            file(&kept(&first, &reversed, &hall), "allocation.csv"),
            file(&then, "allocation.csv")
        );
        // What is no larger than it was, and had a slice to itself, lies where it lay.
        for moved in &changes(&then).moves {
            let lay = first.catalogue.goods.iter().position(|good| good.name == then.catalogue.goods[moved.good].name);
            let lay = lay.expect("it was there");
            let grew = then.catalogue.goods[moved.good].stacks() > first.catalogue.goods[lay].stacks();
            let line = &first.allocation.lines[first.allocation.sort_of(lay).index()];
            let was_alone = line.slices_of(lay).all(|slice| line.slices[slice].len() == 1);
            prop_assert!(grew || !was_alone, "{moved:?}");
        }
    }
}
