//! Every good has exactly one place, and no slice is beyond its limits.

use hallwright_plan::hall::Sort;
use proptest::prelude::*;

use crate::support::{named as names, planned, small_hall};

#[test]
fn bulk_is_what_needs_more_than_its_share_of_a_multi_item_slice_or_is_wished() {
    // 54 slots for 4 kinds: a share of 13.5 stacks, 864 items. 14 stacks of hams are 224.
    let rows = "barley, 64, 832, 1, , \nwheat, 64, 833, 1, , \nrye, 64, 1, 1, , bulk\n\
                oat, 64, 3000, 1, , multi\nham, 16, 208, 1, , \nbread, 16, 209, 1, , \n\
                mallet, 1, 3, 1, , \nbell, 64, 3, 1, , oddments\n";
    let plan = planned(rows, &small_hall("")).0.expect("it fits");
    let sorted = |sort| {
        let mut names: Vec<&str> = names(&plan, sort).concat();
        names.sort_unstable();
        names
    };
    // 832 items are 13 stacks, 833 are 14.
    assert_eq!(sorted(Sort::Bulk), ["bread", "rye", "wheat"]);
    assert_eq!(sorted(Sort::Multi), ["barley", "ham", "oat"]);
    assert_eq!(sorted(Sort::Oddments), ["bell", "mallet"]);
    let plan = planned(rows, &small_hall("bulk_share: 0.5,"))
        .0
        .expect("it fits");
    assert_eq!(names(&plan, Sort::Bulk), [["rye"]]);
}

/// Three families of three kinds each, of 20, 15 and 10 stacks, in slices of 54.
const FAMILIES: &str = "raw oak, 64, 1280, 1, oak, multi\nraw ash, 64, 1280, 9, ash, multi\n\
    raw elm, 64, 1280, 4, elm, multi\ncut oak, 64, 960, 1, oak, multi\ncut ash, 64, 960, 9, ash, multi\n\
    cut elm, 64, 960, 4, elm, multi\nfine oak, 64, 640, 1, oak, multi\nfine ash, 64, 640, 9, ash, multi\n\
    fine elm, 64, 640, 4, elm, multi\n";

#[test]
fn families_share_slices_and_the_busiest_is_nearest_the_input() {
    let plan = planned(FAMILIES, &small_hall("families: Together,"))
        .0
        .expect("it fits");
    assert_eq!(
        names(&plan, Sort::Multi),
        [
            ["raw ash", "cut ash", "fine ash"],
            ["raw elm", "cut elm", "fine elm"],
            ["raw oak", "cut oak", "fine oak"],
        ]
    );
    // Mixed, first-fit decreasing puts 20 + 20 first; then 20 + 15 + 15, and the 10s into both.
    let plan = planned(FAMILIES, &small_hall("families: Mixed,"))
        .0
        .expect("it fits");
    let line = &plan.allocation.lines[Sort::Multi.index()];
    // 135 stacks need 3 slices of 54.
    assert_eq!(
        (line.slices.len(), line.lower_bound, line.distance()),
        (3, 3, 0)
    );
    let first = names(&plan, Sort::Multi);
    assert!(
        first
            .iter()
            .any(|slice| slice.contains(&"raw oak") && slice.contains(&"raw ash"))
    );
}

#[test]
fn slices_of_a_family_can_be_neighbours() {
    // Each kind fills a slice. Of its own, ash (9) comes first, then wax, then the other ash.
    let rows = "ash log, 64, 3456, 9, ash, multi\nwax, 64, 3456, 5, , multi\n\
                ash bark, 64, 3456, 2, ash, multi\n";
    let order = |families: &str| {
        let hall = small_hall(&format!("families: {families},"));
        let plan = planned(rows, &hall).0.expect("it fits");
        names(&plan, Sort::Multi).concat().join(", ")
    };
    assert_eq!(order("Together"), "ash log, wax, ash bark");
    // Together the ash has (9 + 2) / 2 for each slice: more than 5.
    assert_eq!(order("Neighbours"), "ash log, ash bark, wax");
}

fn any_row() -> impl Strategy<Value = (u32, u64, u64, usize, usize)> {
    let limit = prop::sample::select(vec![64_u32, 64, 64, 16, 1]);
    (limit, 0..140_u64, 0..100_u64, 0..5_usize, 0..4_usize)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn every_good_has_one_place_and_no_slice_is_beyond_its_limits(
        rows in prop::collection::vec(any_row(), 1..80),
        families in prop::sample::select(vec!["Mixed", "Together", "Neighbours"]),
        gap in 1..9_u64,
    ) {
        let text: String = rows.iter().enumerate().map(|(number, (limit, stacks, inflow, family, wish))| {
            let amount = stacks * u64::from(*limit);
            let family = ["", "oak", "ash", "elm", "wool"][*family];
            let wish = ["automatic", "bulk", "multi", "oddments"][if *limit == 1 { 0 } else { *wish }];
            format!("kind {number}, {limit}, {amount}, {inflow}, {family}, {wish}\n")
        }).collect();
        let more = format!("families: {families}, left_out: [(slices: \"multi\", from: {gap}, count: 3)],");
        let plan = planned(&text, &small_hall(&more)).0.expect("every good fits into slices of 54");
        let mut found: Vec<usize> = Vec::new();
        for sort in Sort::ALL {
            let slice = plan.hall.slice(sort).expect("the hall has all sorts");
            let line = &plan.allocation.lines[sort.index()];
            prop_assert!(line.slices.len() >= line.lower_bound);
            for (goods, stacks) in line.slices.iter().zip(&line.stacks) {
                prop_assert!(!goods.is_empty() && goods.len() <= slice.kinds);
                prop_assert!(stacks.iter().sum::<u64>() <= slice.room_stacks);
            }
            let own: Vec<usize> = (0..rows.len()).filter(|good| plan.allocation.sort_of(*good) == sort).collect();
            for good in &own {
                let slices = line.slices_of(*good);
                let lie = slices.clone().map(|at| line.stacks_in(at, *good));
                prop_assert_eq!(lie.sum::<u64>(), plan.catalogue.goods[*good].stacks());
                let all = line.slices.iter().filter(|goods| goods.contains(good)).count();
                // In no more slices than it needs, and those next to one another.
                prop_assert_eq!(all, slices.len());
                prop_assert_eq!(all as u64, plan.catalogue.goods[*good].stacks().div_ceil(54));
                found.push(*good);
            }
            let inflow = |goods: &Vec<usize>| -> u64 {
                goods.iter().map(|good| plan.catalogue.goods[*good].inflow_thousandths).sum()
            };
            if families != "Neighbours" && line.kinds() == line.slices.iter().flatten().count() {
                prop_assert!(line.slices.iter().is_sorted_by(|one, next| inflow(one) >= inflow(next)));
            }
        }
        found.sort_unstable();
        prop_assert_eq!(found, (0..rows.len()).collect::<Vec<_>>());
    }
}
