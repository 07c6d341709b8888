//! First-fit decreasing against figures from outside.

use std::path::PathBuf;

use hallwright_plan::allocate::packing::{Item, Limits, first_fit_decreasing, lower_bound};

/// Bins without a limit on the number of things in them.
fn room(room: u64) -> Limits {
    Limits {
        room,
        count: usize::MAX,
    }
}

fn items(sizes: &[u64]) -> Vec<Item> {
    sizes.iter().copied().map(Item::single).collect()
}

/// The folder with data from outside; `None` if none is named.
fn shared_data() -> Option<PathBuf> {
    std::env::var_os("HALLWRIGHT_SHARED_DATA").map(PathBuf::from)
}

/// The instances of OR-Library's `binpack1` (J. E. Beasley, "OR-Library: distributing test problems
/// by electronic mail", Journal of the Operational Research Society 41 (1990) 1069-1072; instances
/// by E. Falkenauer): capacity and sizes.
fn instances(text: &str) -> Vec<(u64, Vec<u64>)> {
    let mut words = text.split_whitespace();
    let mut number = |what: &str| -> u64 {
        let word = words.next().unwrap_or_else(|| panic!("{what} is missing"));
        // A name stands before each instance.
        let word = if word.starts_with('u') {
            words.next().expect("something follows the name")
        } else {
            word
        };
        word.parse()
            .unwrap_or_else(|_| panic!("{word} is no {what}"))
    };
    let count = number("number of instances");
    (0..count)
        .map(|_| {
            let capacity = number("capacity");
            let things = number("number of items");
            let _best_known = number("best known number of bins");
            (capacity, (0..things).map(|_| number("size")).collect())
        })
        .collect()
}

#[test]
fn first_fit_decreasing_packs_binpack1_as_it_is_known_to() {
    let Some(folder) = shared_data() else {
        println!("skipped: HALLWRIGHT_SHARED_DATA names no folder with or-library-binpack1.txt");
        return;
    };
    let path = folder.join("or-library-binpack1.txt");
    let text = std::fs::read_to_string(&path)
        .unwrap_or_else(|error| panic!("{} cannot be read: {error}", path.display()));
    // Known figures of first-fit decreasing on u120_00 to u120_19.
    let expected = [
        49, 49, 47, 50, 50, 49, 49, 50, 51, 47, 52, 50, 49, 49, 50, 49, 52, 53, 50, 50,
    ];
    let instances = instances(&text);
    assert_eq!(instances.len(), expected.len());
    for (number, ((capacity, sizes), expected)) in instances.iter().zip(expected).enumerate() {
        assert_eq!((*capacity, sizes.len()), (150, 120), "u120_{number:02}");
        let items = items(sizes);
        let bins = first_fit_decreasing(&items, room(*capacity));
        assert_eq!(bins.len(), expected, "u120_{number:02}");
        let sum: u64 = sizes.iter().sum();
        let bound = lower_bound(&items, room(*capacity));
        assert_eq!(bound as u64, sum.div_ceil(150), "u120_{number:02}");
        let packed: u64 = bins.iter().flatten().map(|at| sizes[*at]).sum();
        assert_eq!(packed, sum);
    }
}

/// G. Dósa, "The tight bound of first fit decreasing bin-packing algorithm is FFD(I) <= 11/9 OPT(I)
/// + 6/9", LNCS 4614 (2007) 1-11: the bound, met by this case of optimum 9.
#[test]
fn first_fit_decreasing_is_as_bad_as_the_tight_case_allows() {
    let mut sizes = Vec::new();
    for (size, count) in [(51, 6), (27, 6), (26, 6), (23, 12)] {
        sizes.extend(std::iter::repeat_n(size, count));
    }
    let items = items(&sizes);
    // Six bins of 51 + 26 + 23 and three of 27 + 27 + 23 + 23, all full: no fewer can do.
    let optimum = 9;
    assert_eq!(6 * (51 + 26 + 23) + 3 * (27 + 27 + 23 + 23), 900);
    assert_eq!(lower_bound(&items, room(100)), optimum);
    let bins = first_fit_decreasing(&items, room(100)).len();
    assert_eq!(bins, 11);
    assert!(9 * bins <= 11 * optimum + 6);
}

#[test]
fn a_limit_on_the_number_of_kinds_binds_as_well() {
    let items = items(&[9, 1, 1, 1, 1, 1]);
    let limits = Limits { room: 20, count: 2 };
    // 14 of 20: room for all in one bin, but six things need three bins of two.
    assert_eq!(lower_bound(&items, limits), 3);
    let expected = [vec![0, 1], vec![2, 3], vec![4, 5]];
    assert_eq!(first_fit_decreasing(&items, limits), expected);
}
