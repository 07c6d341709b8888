//! Findings in words.

use std::fmt;

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::Signal;
use hallwright_names::numbers::grouped;

use super::linked::{ear_words, role_words};
use super::{Counts, Detail, Finding, Rule};
use crate::network::{Ear, Role, ears};
use hallwright_declared::space::Block;

impl Finding {
    /// What is wrong, in a sentence: who, where, and what about whom.
    #[must_use]
    pub fn words(&self, network: &Network) -> String {
        let one = named(network, self.part, self.at, self.room.as_deref());
        let other = named(
            network,
            self.other,
            self.other_at,
            self.other_room.as_deref(),
        );
        match (self.rule, &self.detail) {
            (Rule::Overlap, _) => self.overlap_words(&one, &other),
            (Rule::Support, _) => self.support_words(&one, &other, network),
            (Rule::SideUnknown, detail) => self.side_words(&one, detail),
            (Rule::Faces, Detail::Faces(Some(side))) => format!("{one} cannot point to `{side}`"),
            (Rule::Faces, _) => format!("{one} does not say where it points"),
            (Rule::StreamPath, _) => format!("{one} does not flow on from the block before"),
            (Rule::StreamRun, Detail::Run(blocks)) => {
                format!("{one} is the ninth of {blocks} blocks at one height, and water runs 8")
            }
            (Rule::StreamRun, _) => format!("{one} is too far from its source"),
            (Rule::StreamOpen, _) => format!("{one} runs out into an open block beside it"),
            (Rule::OpenTop, _) => format!("{one} is open above, and takes in what falls there"),
            (Rule::ChestsJoin, _) => format!("{one} and {other} join to one double chest"),
            (Rule::Drinks, _) => format!("{one} drinks from {other} on the way"),
            (Rule::Drowned, _) => format!("{other} drowns what {one} reads through a full block"),
            (Rule::Armed, _) => {
                format!("{other} arms {one}: it fires at the next change beside it")
            }
            (Rule::Loss, Detail::Loss { declared, made, .. }) => {
                format!("{one} hears {other} with a loss of {made}, declared is {declared}")
            }
            (Rule::Loss, _) => format!("{one} hears {other} with another loss than declared"),
            (Rule::TooFast, detail) => too_fast(&one, &other, detail),
            (Rule::BetweenModules, detail) => between_words(&one, &other, detail),
            (Rule::LooseEnd, detail) => self.loose_words(&one, detail, network),
            (Rule::DrawsUnasked, _) => format!("{one} draws from {other}, and nobody declared it"),
            (Rule::PushesUnasked, _) => {
                format!("{one} hands on to {other}, and nobody declared it")
            }
            (Rule::LocksUnasked, _) => format!("{other} locks {one}, and nobody declared it"),
            (Rule::FiresUnasked, _) => format!("{other} triggers {one}, and nobody declared it"),
            (Rule::FeedsUnasked, _) => {
                format!("{one} takes notice of {other}, and nobody declared it")
            }
            (Rule::SignalApart | Rule::LockApart | Rule::TriggerApart, Detail::Ear(ear)) => {
                format!(
                    "{other} does not reach the {} of {one}",
                    self.ear(*ear, network)
                )
            }
            (Rule::SignalApart | Rule::LockApart | Rule::TriggerApart, _) => {
                format!("{other} does not reach {one}")
            }
            (Rule::ReadingApart, _) => format!("{one} does not read {other}"),
            (Rule::WatchingApart, _) => format!("{one} does not watch {other}"),
            (Rule::TargetApart | Rule::FrontApart, _) => {
                format!("{one} does not hand on to {other}")
            }
            (Rule::AboveApart, _) => format!("{one} does not draw from {other}"),
            (Rule::MouthApart, Detail::Link(Role::Mouth)) => {
                format!("{one} does not take in what rests at {other}")
            }
            (Rule::MouthApart, Detail::Nothing) => {
                format!("{one} has a block that is not beside the others")
            }
            (Rule::MouthApart, _) => format!("{one} does not lead to {other}"),
            (Rule::SideApart, _) => format!("{one} and {other} do not meet at a declared side"),
        }
    }

    fn loose_words(&self, one: &str, detail: &Detail, network: &Network) -> String {
        match detail {
            Detail::Unseen => format!("{one} has nothing to look at"),
            Detail::Ear(ear) => format!("nothing reaches the {} of {one}", self.ear(*ear, network)),
            Detail::Nothing | Detail::Link(_) | Detail::Loss { .. } | Detail::Delay { .. } => {
                format!("{one} leads nowhere")
            }
            Detail::Run(_) | Detail::Side(_) | Detail::Faces(_) => format!("{one} leads nowhere"),
        }
    }

    fn overlap_words(&self, one: &str, other: &str) -> String {
        match (self.part, self.at) {
            (None, Some(at)) if self.room.is_none() => {
                format!("a full block, wire or cap at {at} and {other} fill one block")
            }
            _ => format!("{one} and {other} fill one block"),
        }
    }

    fn support_words(&self, one: &str, other: &str, network: &Network) -> String {
        let signal = self.part.and_then(|part| network.part(part).signal());
        let is_fastened = matches!(
            signal,
            Some(Signal::Inverter { .. } | Signal::Lever { .. } | Signal::Button { .. })
        );
        if self.other_at.is_some() {
            return format!("{other} cannot carry {one}");
        }
        match self.hangs() {
            true => format!("{one} hangs from above, and cannot"),
            false if is_fastened => format!("{one} has no full block to be fastened to"),
            false => format!("{one} has no full block to carry it"),
        }
    }

    fn side_words(&self, one: &str, detail: &Detail) -> String {
        let Detail::Side(side) = detail else {
            return format!("{one} has no such side");
        };
        match self.other_at {
            Some(beyond) => format!("{one} has its side `{side}` at {beyond}, beyond its box"),
            None => format!("{one} has no side `{side}`"),
        }
    }

    /// How to mend it: what the rule asks, and where that would be.
    #[must_use]
    pub fn help(&self) -> String {
        let looks = matches!(self.rule, Rule::ReadingApart | Rule::WatchingApart);
        if looks && (self.room.is_some() || self.other_room.is_some()) {
            return ROOM_HELP.to_owned();
        }
        let mut help = self.rule.help().to_owned();
        for more in self.more() {
            help.push(' ');
            help.push_str(more);
        }
        help.push_str(&self.places());
        help
    }

    /// Where that would be, in a sentence behind a blank; empty if that is not known.
    pub(super) fn places(&self) -> String {
        let places = one_of(&self.wanted_at);
        places.map_or_else(String::new, |places| {
            format!(" {} {places}.", self.place_words())
        })
    }

    /// What there is to say besides what the rule asks.
    fn more(&self) -> Vec<&'static str> {
        let mut more = Vec::new();
        if self.rule == Rule::Support && self.other_at.is_some() {
            more.push("What is there now would have to move.");
        }
        if self.hangs() {
            more.push("Say with `on` on which side that is.");
        }
        if self.rule == Rule::SideUnknown {
            more.push(match self.other_at {
                Some(_) => "It is counted from the corner, within the `size`.",
                None => NAMES_OF_SIDES,
            });
        }
        more
    }

    /// What comes before the blocks that would do.
    fn place_words(&self) -> &'static str {
        match (self.rule, &self.detail) {
            (Rule::MouthApart, Detail::Nothing) => "Beside this block is",
            (
                Rule::TargetApart
                | Rule::AboveApart
                | Rule::MouthApart
                | Rule::FrontApart
                | Rule::SideApart,
                _,
            ) => "The other would have to be at",
            (Rule::SignalApart | Rule::LockApart | Rule::TriggerApart, _) => {
                "The signal has to come to"
            }
            (Rule::ReadingApart, _) => "It reads at",
            (Rule::WatchingApart, _) => "It looks at",
            (Rule::StreamPath, _) => "The next block would be",
            _ => "Here that is",
        }
    }

    /// Whether it is about an inverter that hangs from above: no block there would carry it.
    fn hangs(&self) -> bool {
        self.rule == Rule::Support && self.wanted_at.len() > 1
    }

    /// Where a signal is missed. An input is numbered only if there are several.
    fn ear(&self, ear: Ear, network: &Network) -> String {
        let all = self.part.map_or_else(Vec::new, |part| ears(network, part));
        let inputs = all.iter().filter(|(ear, _)| matches!(ear, Ear::Input(_)));
        if matches!(ear, Ear::Input(_)) && inputs.count() == 1 {
            return "input".to_owned();
        }
        ear.words()
    }
}

/// How it is mended that something is read or watched through the wall of a room.
const ROOM_HELP: &str = "Let it stand beside what it reads or watches, outside of any room; lead its signal to the room.";

/// What sides can be called.
const NAMES_OF_SIDES: &str = "A selector has `in`, `match`, `rest`, `when_full` and `matches`; a shuttle has its docks \
    and `release 1`, `release 2` and so on; a latch has `set`, `reset` and `out`; a clock has `out`; any other box has \
    `in`, or `in 1`, `in 2` and so on, and `out`; what is no box has none.";

/// `(0, 1, 0)`, or `one of (0, 1, 0) and (0, 0, 1)`; `None` if there is none.
fn one_of(blocks: &[Block]) -> Option<String> {
    let (last, first) = blocks.split_last()?;
    if first.is_empty() {
        return Some(last.to_string());
    }
    let first: Vec<String> = first.iter().map(Block::to_string).collect();
    Some(format!("one of {} and {last}", first.join(", ")))
}

/// That a part is linked to one of another module.
fn between_words(one: &str, other: &str, detail: &Detail) -> String {
    let words = match detail {
        Detail::Link(role) => role_words(*role),
        Detail::Ear(ear) => ear_words(*ear),
        Detail::Nothing | Detail::Unseen | Detail::Loss { .. } | Detail::Delay { .. } => "meets",
        Detail::Run(_) | Detail::Side(_) | Detail::Faces(_) => "meets",
    };
    format!("{one} {words} {other}, which is in another module")
}

/// That one part hears another sooner than it can.
fn too_fast(one: &str, other: &str, detail: &Detail) -> String {
    let Detail::Delay {
        distance_steps,
        needed_ticks,
        declared_ticks,
    } = detail
    else {
        return format!("{one} hears {other} too soon");
    };
    format!(
        "{one} hears {other}, {distance_steps} steps away, after {declared_ticks} ticks, and \
         {needed_ticks} are needed"
    )
}

/// A part with where it stands, or in which room; a room by its name, a block that is neither by where it is.
fn named(network: &Network, part: Option<PartId>, at: Option<Block>, room: Option<&str>) -> String {
    if let Some(room) = room {
        return match (part, at) {
            (Some(part), _) => format!("`{}` in the room `{room}`", network.name(part)),
            (None, Some(at)) => format!("the room `{room}` at {at}"),
            (None, None) => format!("the room `{room}`"),
        };
    }
    match (part, at) {
        (Some(part), Some(at)) => format!("`{}` at {at}", network.name(part)),
        (Some(part), None) => format!("`{}`", network.name(part)),
        (None, Some(at)) => format!("the block at {at}"),
        (None, None) => "a block".to_owned(),
    }
}

impl fmt::Display for Counts {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            parts,
            stand,
            links_proven,
            at_their_word,
            problems,
        } = self;
        let [parts, stand, links, word, problems] =
            [parts, stand, links_proven, at_their_word, problems]
                .map(|count| grouped(*count as u64));
        write!(
            formatter,
            "Built: {parts} parts, {stand} stand, {links} links proven, {word} taken at their word, \
             {problems} problems"
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_built_is_reported_in_a_line() {
        let counts = Counts {
            parts: 806,
            stand: 692,
            links_proven: 1_211,
            at_their_word: 38,
            problems: 0,
        };
        assert_eq!(
            counts.to_string(),
            "Built: 806 parts, 692 stand, 1,211 links proven, 38 taken at their word, 0 problems"
        );
    }
}
