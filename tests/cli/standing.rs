//! The standing examples: each stands, and each breaks if one block of it is changed. What `check` says then
//! names what no longer holds, and how it is mended.

use crate::support::{Halls, hallwright, stderr, stdout, unwrapped};

/// Where the examples are.
const FOLDER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../scenarios/standing");

/// A block of a drawing, the word there, and what is drawn in its place.
type Change = ((usize, i32, usize), &'static str, &'static str);

/// One example with changed blocks, and what `check` says of it.
struct Breakage {
    file: &'static str,
    changes: &'static [Change],
    /// Words of the finding.
    found: &'static str,
    /// Words of the help.
    help: &'static str,
}

const fn broken(
    file: &'static str,
    changes: &'static [Change],
    found: &'static str,
    help: &'static str,
) -> Breakage {
    Breakage {
        file,
        changes,
        found,
        help,
    }
}

/// What a fallen support is helped with, but for the block.
const SUPPORT: &str = "Put a full block there";
/// How a link goes that is new.
const APART: &str = "Keep the two apart";
/// How a lost signal comes back.
const SIGNAL: &str = "Turn or move one of the two back, or lead the signal there";

const BREAKAGES: &[Breakage] = &[
    // The filter: a support, a turn, a cut, a joint, a wrong outlet.
    broken(
        "filter",
        &[((3, 2, 2), "#", ".")],
        "site::support",
        "Here that is (3, 2, 2).",
    ),
    broken(
        "filter",
        &[((3, 2, 1), "idle!", "idle^")],
        "inverter `idle` hears: was `eye` less 2",
        "The signal has to come to (3, 2, 0).",
    ),
    broken(
        "filter",
        &[((1, 3, 1), "eye!", "eye^")],
        "comparator `eye` reads: was `sieve`",
        "A comparator reads what is at its back",
    ),
    broken(
        "filter",
        &[((2, 3, 2), "~", ".")],
        "inverter `idle` hears: was `eye` less 2",
        SIGNAL,
    ),
    broken(
        "filter",
        &[((2, 2, 1), "shut<", "shut>")],
        "repeater `shut` hears: was `idle`",
        SIGNAL,
    ),
    broken(
        "filter",
        &[((1, 3, 0), "sieve!", "sieve")],
        "hopper `sieve` hands on to: was not there, is `out`",
        APART,
    ),
    broken(
        "filter",
        &[((0, 3, 2), ".", "~"), ((0, 2, 2), ".", "#")],
        "inverter `idle` hears: was `eye` less 2, is `eye` less 2, `stop` less 3",
        APART,
    ),
    // The slice of three kinds.
    broken(
        "multi-item",
        &[((8, 3, 3), "#", ".")],
        "site::support",
        "Here that is (8, 3, 3).",
    ),
    broken(
        "multi-item",
        &[((10, 3, 2), "#", ".")],
        "site::support",
        "Here that is (10, 3, 2).",
    ),
    broken("multi-item", &[((5, 4, 1), "~", ".")], "hears", SIGNAL),
    broken(
        "multi-item",
        &[((9, 4, 0), "#", "~"), ((9, 3, 0), ".", "#")],
        "hears at its sides",
        APART,
    ),
    // The bulk column.
    broken(
        "bulk-column",
        &[((3, 3, 2), "#", ".")],
        "site::support",
        "Here that is (3, 3, 2).",
    ),
    broken(
        "bulk-column",
        &[((0, 6, 3), "#", ".")],
        "comparator `keep_1` hears at its back: was `keep_2`",
        SIGNAL,
    ),
    // The lift.
    broken(
        "lift",
        &[((6, 2, 1), "#", ".")],
        "site::support",
        "Here that is (6, 2, 1).",
    ),
    broken(
        "lift",
        &[((4, 4, 2), "lift_3+", "lift_3>")],
        "dropper `lift_3` hands on to: was `lift_4`, is not there",
        "in front of it",
    ),
    broken(
        "lift",
        &[((8, 1, 0), "~", ".")],
        "hopper `inlet` is locked by: was `fill` less 12, `stop`, is `stop`",
        SIGNAL,
    ),
    broken(
        "lift",
        &[((1, 2, 3), "back^", "back!")],
        "repeater `back` hears: was",
        SIGNAL,
    ),
    // The bench.
    broken(
        "bench",
        &[((2, 3, 1), "#", ".")],
        "site::support",
        "Here that is (2, 3, 1).",
    ),
    broken(
        "bench",
        &[((3, 4, 3), "held!", "held^")],
        "comparator `held` reads: was `bench`",
        "A comparator reads what is at its back",
    ),
    broken(
        "bench",
        &[((2, 4, 2), "setter>", "setter+")],
        "dispenser `setter` hands on to: was `bench`",
        "in front of it",
    ),
    broken("bench", &[((1, 3, 3), "~", ".")], "is locked by", SIGNAL),
    broken(
        "bench",
        &[((3, 3, 2), "drain", "drain>")],
        "hopper `drain` hands on to",
        "A hopper pushes into",
    ),
    // The return with its stream.
    broken(
        "return",
        &[((5, 5, 1), "#", ".")],
        "site::stream-open",
        "Here that is (5, 5, 1).",
    ),
    broken(
        "return",
        &[((9, 3, 1), "#", ".")],
        "site::support",
        "Here that is (9, 3, 1).",
    ),
    broken(
        "return",
        &[((9, 4, 2), "thrower+", "thrower>")],
        "dropper `thrower` hands on to: was `brook`",
        "in front of it",
    ),
    broken(
        "return",
        &[((5, 3, 1), ".", "~"), ((5, 2, 1), ".", "#")],
        "hears",
        APART,
    ),
    broken("return", &[((7, 3, 1), "~", ".")], "hears", SIGNAL),
];

/// A text whose floors are drawn one word anew. The word that is there has to be the one that is named.
fn redrawn(text: &str, ((x, y, z), old, new): Change) -> String {
    let floor = text
        .find(&format!("(y: {y},"))
        .expect("there is such a floor");
    let rows = floor + text[floor..].find('[').expect("it has rows");
    let mut quotes = text[rows..].match_indices('"').skip(2 * z);
    let start = rows + quotes.next().expect("there is such a row").0 + 1;
    let end = rows + quotes.next().expect("a row ends").0;
    let mut words: Vec<&str> = text[start..end].split_whitespace().collect();
    assert_eq!(words[x], old, "({x}, {y}, {z})");
    words[x] = new;
    format!("{}{}{}", &text[..start], words.join(" "), &text[end..])
}

/// Checks a text beside the recorded figures of the example: the exit code, and all that is written.
fn checked(halls: &Halls, file: &str, text: &str) -> (Option<i32>, String) {
    let figures = std::fs::read_to_string(format!("{FOLDER}/{file}.figures"));
    halls.write(
        &format!("{file}.figures"),
        &figures.expect("it is recorded"),
    );
    halls.write(&format!("{file}.ron"), text);
    let path = halls.path(&format!("{file}.ron"));
    // The first variant is enough: its blocks are those of all.
    let variants = text.split("variants: {").nth(1).expect("it has variants");
    let variant = variants.split('"').nth(1).expect("one has a name");
    let output = hallwright(&["check", &path, "--variant", variant, "--shuffles", "0"]);
    let said = format!("{}{}", stdout(&output), stderr(&output));
    (output.status.code(), unwrapped(&said))
}

fn example(file: &str) -> String {
    std::fs::read_to_string(format!("{FOLDER}/{file}.ron")).expect("it is there")
}

#[test]
fn a_standing_example_that_is_broken_by_a_block_is_missed_and_helped() {
    let halls = Halls::new();
    for Breakage {
        file,
        changes,
        found,
        help,
    } in BREAKAGES
    {
        let text = changes
            .iter()
            .fold(example(file), |text, change| redrawn(&text, *change));
        let (exit_code, said) = checked(&halls, file, &text);
        assert_eq!(exit_code, Some(1), "{file} {changes:?}: {said}");
        assert!(said.contains(found), "{file} {changes:?}: {said}");
        assert!(said.contains(help), "{file} {changes:?}: {said}");
        if *found == "site::support" {
            assert!(said.contains(SUPPORT), "{said}");
        }
    }
}
