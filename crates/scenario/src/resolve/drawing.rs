//! What the floors of a layout show: every word in its block. Worked out once for a module, however many
//! instances it has.

use hallwright_declared::space::Side;

use super::layouts::Layout;
use super::problems::Problems;
use crate::diagnostic::Diagnostic;
use crate::document::{
    BodyDocument, Expression, ExpressionKind, PartDocument, Placed, PlacingDocument,
};
use crate::ids;
use crate::source::Span;
use crate::text::{Entry, Name};

/// A word for an open block.
const OPEN: &str = ".";
/// One for a full block.
const FULL: &str = "#";
/// One for a block of wire.
const WIRE: &str = "~";
/// One for a block that closes the hopper below it, and is not full.
const CAP: &str = "_";

/// One block that is no part.
#[derive(Clone, Copy, Debug)]
pub(super) struct Plain {
    /// Where it is drawn.
    pub(super) spot: Spot,
    /// Where it is written.
    pub(super) span: Span,
}

/// Where a word stands: on which floor, at which place of its row, in which row.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) struct Spot {
    /// The number of the floor in the text.
    pub(super) floor: usize,
    /// How many words stand before it.
    pub(super) x: i32,
    /// How many rows stand above it.
    pub(super) z: i32,
}

/// One block of a part.
#[derive(Clone, Copy, Debug)]
pub(super) struct Word {
    /// Where it is drawn.
    pub(super) spot: Spot,
    /// The sign behind the name.
    pub(super) sign: Option<Side>,
    /// Where it is written.
    pub(super) span: Span,
}

/// All floors of a layout.
#[derive(Default)]
pub(super) struct Drawing<'d> {
    /// The height of each floor.
    pub(super) heights: Vec<&'d Expression>,
    /// Of each member its words; parts and signals come first among the members.
    pub(super) words: Vec<Vec<Word>>,
    /// Full blocks.
    pub(super) full: Vec<Plain>,
    /// Blocks of wire.
    pub(super) wires: Vec<Plain>,
    /// Blocks that close hoppers.
    pub(super) caps: Vec<Plain>,
    /// Whether every word names something: if not, the misspelt one is probably the part that is not drawn.
    is_whole: bool,
    /// Whether every part has to stand somewhere.
    places_all: bool,
}

impl<'d> Drawing<'d> {
    /// What the floors of a body show. What cannot be read is reported. In a flat layout parts may stand
    /// nowhere: it is written from others, of which only some need be placed.
    pub(super) fn new(
        body: &'d BodyDocument,
        is_flat: bool,
        number_of: impl Fn(&str) -> Option<usize>,
        problems: &mut Problems,
    ) -> Self {
        let parts = body.parts.list.iter().chain(&body.signals.list);
        let parts: Vec<&Entry<Placed<PartDocument>>> = parts.collect();
        let mut drawing = Self {
            heights: body.floors.iter().map(|floor| &floor.y).collect(),
            words: vec![Vec::new(); parts.len()],
            is_whole: body.is_whole(),
            places_all: !body.floors.is_empty() && !is_flat,
            ..Self::default()
        };
        let mut reader = WordReader {
            drawing: &mut drawing,
            number_of,
            body,
            parts: &parts,
            problems,
        };
        for (floor, document) in body.floors.iter().enumerate() {
            reader.floor(floor, &document.rows);
        }
        if !body.floors.is_empty() {
            drawing.check(&parts, problems);
        }
        drawing
    }

    /// Whether a part stands nowhere though it has to, which is reported. A dock is at a side of its shuttle, and the
    /// blocks of a wire that is `drawn: true` are among those of the floors, or it leads through a full block.
    pub(super) fn misses(&self, member: usize, part: &Placed<PartDocument>) -> bool {
        let placing = part.placing();
        let is_placed = placing.position.is_some() || !placing.path.is_empty();
        let is_dock = matches!(part.value, PartDocument::Dock(_));
        let drawn = placing.drawn.as_ref().map(|drawn| &drawn.kind);
        let is_elsewhere = is_dock || matches!(drawn, Some(ExpressionKind::Flag(true)));
        self.places_all && !self.has(member) && !is_placed && !is_elsewhere
    }

    /// Whether a member is drawn.
    pub(super) fn has(&self, member: usize) -> bool {
        self.words
            .get(member)
            .is_some_and(|words| !words.is_empty())
    }

    /// Reports parts that are drawn in more blocks than they fill, or in none.
    fn check(&self, parts: &[&Entry<Placed<PartDocument>>], problems: &mut Problems) {
        for (number, (entry, words)) in parts.iter().zip(&self.words).enumerate() {
            let Some(part) = &entry.value else { continue };
            let name = &entry.name.text;
            let at_its_own = own_place(part.placing());
            match (&words[..], at_its_own) {
                ([], _) if self.is_whole && self.misses(number, part) => {
                    let message = format!("`{name}` is never drawn");
                    let problem = Diagnostic::error(ids::NEVER_DRAWN, entry.name.span, message);
                    let help = "draw it on a floor, say its `position`, or leave it out";
                    problems.report(problem.help(help.to_owned()));
                }
                ([first, ..], Some(own)) => {
                    let message = format!("`{name}` is drawn already");
                    let problem = Diagnostic::error(ids::DRAWN_TWICE, own, message);
                    let problem = problem.context(first.span, "drawn here");
                    let help = "where it stands and points is drawn: leave this out".to_owned();
                    problems.report(problem.help(help));
                }
                ([first, second, ..], None) => {
                    let most = most_blocks(&part.value);
                    if words.len() <= most {
                        continue;
                    }
                    let again = if most == 1 { second } else { &words[most] };
                    let blocks = if most == 1 { "one block" } else { "two blocks" };
                    let message = format!("`{name}` is drawn again, and fills {blocks}");
                    let problem = Diagnostic::error(ids::DRAWN_TWICE, again.span, message);
                    let problem = problem.context(first.span, "first drawn here");
                    let help = "give the other one a name of its own".to_owned();
                    problems.report(problem.help(help));
                }
                _ => {}
            }
        }
    }
}

/// Where something is written that is drawn already, if the part is drawn.
fn own_place(placing: &PlacingDocument) -> Option<Span> {
    let positions = [&placing.position, &placing.size].into_iter().flatten();
    let position = positions.chain(&placing.path).next();
    let sides = [&placing.faces, &placing.along, &placing.on];
    let side = sides.into_iter().flatten().next();
    position
        .map(|position| position.span)
        .or_else(|| Some(side?.span))
}

/// How many blocks a part may fill.
fn most_blocks(part: &PartDocument) -> usize {
    use PartDocument as P;
    match part {
        P::DoubleChest(_) | P::Container(_) => 2,
        P::Chest(_) | P::Barrel(_) | P::Hopper(_) | P::Dropper(_) | P::Dispenser(_) => 1,
        P::Bench(_) | P::Lever(_) | P::Button(_) | P::Repeater(_) | P::Comparator(_) => 1,
        P::Inverter(_) | P::Observer(_) => 1,
        P::Mouth(_) | P::Stream(_) | P::Selector(_) | P::Dock(_) | P::Shuttle(_) => usize::MAX,
        P::Wire(_) | P::Hold(_) | P::Latch(_) | P::Toggle(_) | P::AllOf(_) => usize::MAX,
        P::NoneOf(_) | P::Clock(_) | P::DelayLine(_) => usize::MAX,
    }
}

/// Reads words.
struct WordReader<'r, 'd, N> {
    drawing: &'r mut Drawing<'d>,
    number_of: N,
    body: &'d BodyDocument,
    parts: &'r [&'d Entry<Placed<PartDocument>>],
    problems: &'r mut Problems,
}

impl<N: Fn(&str) -> Option<usize>> WordReader<'_, '_, N> {
    /// Reads one floor, whose rows must be of one length.
    fn floor(&mut self, floor: usize, rows: &[Name]) {
        let mut first: Option<(usize, Span)> = None;
        let mut is_even = true;
        for (z, row) in rows.iter().enumerate() {
            let mut count = 0;
            for (x, (at, word)) in words_of(&row.text).enumerate() {
                let (Ok(along), Ok(across)) = (i32::try_from(x), i32::try_from(z)) else {
                    return; // No text is so long.
                };
                let spot = Spot {
                    floor,
                    x: along,
                    z: across,
                };
                self.word(spot, word, part_of(row, at, word.len()));
                count += 1;
            }
            let (expected, span) = *first.get_or_insert((count, row.span));
            if count != expected && is_even {
                // Once a floor: if the first row is the wrong one, all others are.
                is_even = false;
                self.ragged(row, count, expected, span);
            }
        }
    }

    /// Reports a row that is longer or shorter than the first: at the first word too many, or at its end.
    fn ragged(&mut self, row: &Name, count: usize, expected: usize, first: Span) {
        let word = words_of(&row.text).nth(expected);
        let span = match word {
            Some((at, word)) => part_of(row, at, word.len()),
            None => part_of(row, row.text.trim_end().len(), 0),
        };
        let words = |count: usize| match count {
            1 => "1 word".to_owned(),
            count => format!("{count} words"),
        };
        let message = format!(
            "this row has {}, and the first row of its floor {}",
            words(count),
            words(expected)
        );
        let problem = Diagnostic::error(ids::RAGGED_ROWS, span, message);
        let problem = problem.context(first, "the first row");
        let help = "write one word a block, `.` for an open one".to_owned();
        self.problems.report(problem.help(help));
    }

    fn word(&mut self, spot: Spot, word: &str, span: Span) {
        match word {
            OPEN => return,
            FULL => return self.drawing.full.push(Plain { spot, span }),
            WIRE => return self.drawing.wires.push(Plain { spot, span }),
            CAP => return self.drawing.caps.push(Plain { spot, span }),
            _ => {}
        }
        let (name, sign) = signed(word, |name| (self.number_of)(name).is_some());
        let Some(number) = (self.number_of)(name) else {
            self.unknown(word, name, span);
            return;
        };
        let Some(words) = self.drawing.words.get_mut(number) else {
            let message = format!("`{name}` is a module in use, not a part");
            let problem = Diagnostic::error(ids::UNKNOWN_WORD, span, message);
            let help = "modules have floors of their own; set them down with `position`";
            self.problems.report(problem.help(help.to_owned()));
            return;
        };
        let part = self.parts.get(number);
        let part = part.and_then(|entry| entry.value.as_ref());
        if part.is_some_and(|part| matches!(part.value, PartDocument::Wire(_))) {
            let message = format!("`{name}` is a wire, which is drawn as `{WIRE}`");
            let problem = Diagnostic::error(ids::UNKNOWN_WORD, span, message);
            let help =
                format!("write `{WIRE}` in every block of it, and leave `{name}` out of the parts");
            self.problems.report(problem.help(help));
        }
        words.push(Word { spot, sign, span });
    }

    fn unknown(&mut self, word: &str, name: &str, span: Span) {
        self.drawing.is_whole = false;
        if !self.body.is_whole() {
            return; // It may be among what could not be read.
        }
        let message = format!("`{word}` names no part here");
        let problem = Diagnostic::error(ids::UNKNOWN_WORD, span, message);
        let names = Layout::member_names(self.body).map(|name| name.text.as_str());
        let help = format!("a word is the name of a part, `{OPEN}`, `{FULL}`, `{WIRE}` or `{CAP}`");
        self.problems
            .report_unknown(problem.help(help), name, names);
    }
}

/// The words of a row, each with the number of its first byte.
fn words_of(row: &str) -> impl Iterator<Item = (usize, &str)> {
    let start = row.as_ptr().addr();
    row.split_whitespace()
        .map(move |word| (word.as_ptr().addr() - start, word))
}

/// A word taken apart into name and sign. A sign that belongs to a name is part of it.
fn signed(word: &str, is_name: impl Fn(&str) -> bool) -> (&str, Option<Side>) {
    if is_name(word) {
        return (word, None);
    }
    let side = word.chars().next_back().and_then(Side::of_sign);
    match side {
        Some(side) => (word.strip_suffix(side.sign()).unwrap_or(word), Some(side)),
        None => (word, None),
    }
}

/// Where some bytes of a row's text stand in the file. In a row with escapes that is the whole row.
fn part_of(row: &Name, at: usize, length: usize) -> Span {
    let number = |bytes: usize| u32::try_from(bytes).unwrap_or(u32::MAX);
    let is_plain = row.span.end - row.span.start == number(row.text.len() + 2);
    if !is_plain {
        return row.span;
    }
    let start = row.span.start + 1 + number(at);
    Span {
        start,
        // The end of a row is shown at the quote behind it, or the blank.
        end: start + number(length.max(1)),
        ..row.span
    }
}
