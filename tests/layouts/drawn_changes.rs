//! The standing examples with one block changed at random, many times each: a change that makes another
//! network is a problem, an error, or shows among the links that are recorded; one that makes the same is none of them.

use hallwright_declared::site::SiteLink;
use hallwright_scenario::{LoadOptions, Loaded, Scenario, load};
use hallwright_site::network::{Outline, same_as_matched};
use rand::seq::IndexedRandom;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::{beside, load_text};

/// So many changes are made to each example, unless `DRAWN_CHANGES` says otherwise.
const CHANGES: usize = 200;
const SIGNS: [&str; 7] = ["", ">", "<", "^", "!", "+", "-"];

/// A text with floors, taken apart into its words.
struct Drawing {
    /// What stands before each word, and behind the last.
    between: Vec<String>,
    words: Vec<String>,
    /// The floor, place in its row and row of each word.
    spots: Vec<(usize, usize, usize)>,
}

impl Drawing {
    fn read(text: &str) -> Self {
        let mut drawing = Self {
            between: Vec::new(),
            words: Vec::new(),
            spots: Vec::new(),
        };
        let floors = text.find("floors: [").expect("it is drawn");
        let end = floors + text[floors..].find("\n    ],").expect("the floors end");
        let (mut floor, mut row, mut before) = (0, 0, text[..floors].to_owned());
        for (number, piece) in text[floors..end].split('"').enumerate() {
            if number % 2 == 0 {
                if piece.contains("(y:") {
                    (floor, row) = (floor + 1, 0);
                }
                before.push_str(piece);
                continue;
            }
            before.push('"');
            for (x, word) in piece.split_whitespace().enumerate() {
                drawing.between.push(std::mem::take(&mut before));
                drawing.words.push(word.to_owned());
                drawing.spots.push((floor, x, row));
                before.push(' ');
            }
            before.push('"');
            row += 1;
        }
        before.push_str(&text[end..]);
        drawing.between.push(before);
        drawing
    }

    fn text(&self, words: &[String]) -> String {
        let mut text = String::new();
        for (between, word) in self.between.iter().zip(words) {
            text.push_str(between);
            text.push_str(word);
        }
        text.push_str(&self.between[words.len()]);
        text
    }

    /// Its words with one block moved, turned or exchanged.
    fn changed(&self, draw: &mut ChaCha8Rng) -> Vec<String> {
        let mut words = self.words.clone();
        let number = draw.random_range(0..words.len());
        match draw.random_range(0..3) {
            0 => {
                let (floor, x, row) = self.spots[number];
                let is_beside = |other: &&usize| {
                    let (other_floor, other_x, other_row) = self.spots[**other];
                    let steps = [(floor, other_floor), (x, other_x), (row, other_row)];
                    steps
                        .iter()
                        .map(|(one, two)| one.abs_diff(*two))
                        .sum::<usize>()
                        == 1
                };
                let all: Vec<usize> = (0..words.len()).collect();
                let others: Vec<usize> = all.iter().filter(is_beside).copied().collect();
                if let Some(other) = others.choose(draw) {
                    words.swap(number, *other);
                }
            }
            1 => {
                let name = words[number].trim_end_matches(['>', '<', '^', '!', '+', '-']);
                let sign = SIGNS.choose(draw).expect("there are some");
                words[number] = format!("{name}{sign}");
            }
            _ => {
                let plain = [".", "#", "~", "_"];
                if plain.contains(&words[number].as_str()) {
                    words[number] = (*plain.choose(draw).expect("there are some")).to_owned();
                }
            }
        }
        words
    }
}

/// The same parts under the same names, linked in the same way.
fn is_same(one: &Outline, other: &Outline) -> bool {
    let find = |name: &str| {
        let mut members = other.members.iter();
        members.position(|member| member.name == name)
    };
    let found: Option<Vec<usize>> = one
        .members
        .iter()
        .map(|member| find(&member.name))
        .collect();
    found.is_some_and(|matched| same_as_matched(one, other, &matched))
}

/// What is recorded of a scenario that is drawn: links that lead somewhere, and how many problems there are.
fn recorded(scenario: &Scenario) -> (Vec<(String, Vec<String>)>, usize) {
    let site = scenario.declarations.site.as_ref().expect("it stands");
    let leads = site.drawn_links.iter().filter(|link| !link.to.is_empty());
    let row = |link: &SiteLink| (link.name.clone(), link.to.clone());
    let mut rows: Vec<(String, Vec<String>)> = leads.map(row).collect();
    rows.sort();
    (rows, site.problems.len())
}

#[test]
fn a_change_of_a_standing_example_is_found_if_and_only_if_it_makes_another_network() {
    let asked = std::env::var("DRAWN_CHANGES").ok();
    let changes = asked.map_or(CHANGES, |count| count.parse().expect("a number"));
    let mut draw = ChaCha8Rng::seed_from_u64(17);
    let (mut sound, mut by_links, mut by_problems, mut refused) = (0, 0, 0, 0);
    for name in [
        "filter",
        "multi-item",
        "bulk-column",
        "lift",
        "bench",
        "return",
    ] {
        let path = beside(&format!("../../scenarios/standing/{name}.ron"));
        let original = load(&path, &LoadOptions::default());
        let original = original.scenario.expect("it is sound");
        let outline = Outline::of(&original.network);
        let (links, problems) = recorded(&original);
        assert_eq!(problems, 0, "{name}");
        let text = std::fs::read_to_string(&path).expect("it is there");
        let drawing = Drawing::read(&text);
        for _ in 0..changes {
            let words = drawing.changed(&mut draw);
            let loaded: Loaded = load_text(&drawing.text(&words), &LoadOptions::default());
            let Some(scenario) = loaded.scenario else {
                refused += 1;
                continue;
            };
            let is_same = is_same(&outline, &Outline::of(&scenario.network));
            let (new_links, new_problems) = recorded(&scenario);
            match (new_links == links, new_problems) {
                (true, 0) => {
                    assert!(is_same, "{name}: not found: {words:?}");
                    sound += 1;
                }
                (true, _) => by_problems += 1,
                (false, _) => {
                    assert!(!is_same, "{name}: {words:?}");
                    by_links += 1;
                }
            }
        }
    }
    println!("{sound} sound, {by_links} by links, {by_problems} by problems, {refused} refused");
    for count in [sound, by_links, by_problems, refused] {
        assert!(
            count > changes / 4,
            "{sound} {by_links} {by_problems} {refused}"
        );
    }
}
