//! The catalogue of figures: everything that can be said of a run in one number.
//!
//! Each figure is written down once, in the file of its topic: its words, its key for programs, its
//! unit, which way is better, and how it is worked out from what was measured. Goals, recorded
//! figures, comparisons, searches, pages and reports read it here. Amounts are exact until they are
//! written.

mod cost;
mod flow;
mod lamps;
mod quantity;
mod retrieval;
mod scope;
mod sorting;
mod stopping;
mod unit;

use std::cmp::Ordering;

use hallwright_core::tick::Tick;
use hallwright_declared::declarations::Mark;

pub use self::quantity::{Amount, Quantity};
pub(crate) use self::retrieval::slowest as slowest_request;
use self::scope::scopes;
pub use self::scope::{Of, Scope, subsystem};
pub use self::unit::Unit;
use crate::findings::{
    Amounts, DeskFinding, Findings, FlowFinding, GatherFinding, LampFinding, LeftBehind, Measured,
    RequestFinding, SectionFinding,
};
use crate::goals::{Verdict, mark_of};

/// What is measured: an entry of the catalogue.
#[derive(Clone, Copy)]
pub struct Name(&'static Definition);

/// What a figure reports of.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Topic {
    /// How it stops and starts again.
    Stopping,
    /// Where items end.
    Sorting,
    /// How fast they come through.
    Flow,
    /// How goods come out again.
    Retrieval,
    /// What lamps show.
    Lamps,
    /// What it costs to build and to run.
    Cost,
}

/// Which way a figure is better.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Better {
    /// More of it.
    More,
    /// Less of it.
    Less,
    /// Neither.
    Neither,
}

/// When in a run a figure is measured.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum When {
    /// Before it: it says what was built.
    Before,
    /// All the time.
    Throughout,
    /// When it is over.
    AtTheEnd,
}

/// An entry of the catalogue.
struct Definition {
    words: &'static str,
    key: &'static str,
    unit: Unit,
    topic: Topic,
    better: Better,
    when: When,
    take: Take,
    compared: Compared,
    /// What it is called among recorded figures, if it is recorded.
    recorded: Option<&'static str>,
    /// Whether reports report it of each section beside what they report of sections anyway.
    noted: bool,
    /// What a goal about it is called, where that is not its words.
    subject: Option<&'static str>,
    /// When what it counts first happened.
    first_at: Option<fn(&Measured) -> Option<Tick>>,
    /// Of what it counts: goods, those in boxes among them, and boxes, where it may be either.
    things: Option<fn(&Measured) -> Amounts>,
    /// Why a goal about it cannot be judged, though there is an amount.
    why_not: fn(&Measured, &Of) -> Option<String>,
    /// Why it cannot if there is none.
    why_nothing: &'static str,
}

impl Definition {
    /// What most figures have in common.
    const BASE: Self = Self {
        words: "",
        key: "",
        unit: Unit::Items,
        topic: Topic::Sorting,
        better: Better::Less,
        when: When::Throughout,
        take: Take::Whole(|_| None),
        compared: Compared::Not,
        recorded: None,
        noted: false,
        subject: None,
        first_at: None,
        things: None,
        why_not: |_, _| None,
        why_nothing: "nothing was measured",
    };
}

/// How a figure is worked out. `None` where there is nothing to measure.
enum Take {
    /// Of all that was measured.
    Whole(fn(&Measured) -> Option<Amount>),
    /// Of the goals.
    Goals(fn(&[Verdict]) -> Option<Amount>),
    /// After each stop, or after the restart behind it.
    Stops(Mark),
    /// Of a flow in a world of so many ticks a second.
    Flow(fn(&FlowFinding, u32) -> Option<Amount>),
    /// Of some sections together.
    Sections(fn(&[&SectionFinding]) -> Option<Amount>),
    /// Of some sections together, or of the whole design, in which there is more.
    Hall {
        whole: fn(&Measured) -> Option<Amount>,
        sections: fn(&[&SectionFinding]) -> Option<Amount>,
    },
    /// Of a lamp.
    Lamp(fn(&LampFinding) -> Option<Amount>),
    /// Of a desk.
    Desk(fn(&DeskFinding) -> Option<Amount>),
    /// Of a request.
    Request(fn(&RequestFinding) -> Option<Amount>),
    /// Of a gather.
    Gather(fn(&GatherFinding) -> Option<Amount>),
    /// Of some declarations of open places together.
    Open(fn(&[&LeftBehind]) -> Option<Amount>),
    /// Of the contents that a goal asks for.
    Contents,
}

/// Of what designs are compared in a figure.
enum Compared {
    /// Of nothing.
    Not,
    /// Of all of it, where this holds.
    Whole(fn(&Measured) -> bool),
    /// Of each flow.
    Flows,
    /// Of all of it, of each subsystem and of each section.
    Sections,
}

/// What a figure came to, and of which stop.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Reading {
    /// What it came to.
    pub quantity: Quantity,
    /// The stop, by its place among the stops of the run.
    pub stop: Option<usize>,
}

/// A figure of something, as designs are compared in it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Figure {
    /// What is measured.
    pub name: Name,
    /// Of what.
    pub scope: Scope,
    /// In which unit.
    pub unit: Unit,
}

/// Defines the figures of a topic, in the order in which they are reported.
macro_rules! figures {
    ($($(#[$meta:meta])* $name:ident: $definition:expr;)*) => {
        impl super::Name {
            $($(#[$meta])* pub const $name: Self = Self(&$definition);)*
        }

        /// The figures of this topic.
        pub(super) const ALL: &[super::Name] = &[$(super::Name::$name,)*];
    };
}
use figures;

/// The figures, topic by topic.
const TOPICS: [&[Name]; 6] = [
    stopping::ALL,
    sorting::ALL,
    flow::ALL,
    retrieval::ALL,
    lamps::ALL,
    cost::ALL,
];

impl Name {
    /// Every figure, in the order in which they are reported.
    pub fn all() -> impl Iterator<Item = Self> {
        TOPICS.into_iter().flatten().copied()
    }

    /// Those in which designs are compared.
    pub fn all_compared() -> impl Iterator<Item = Self> {
        Self::all().filter(|name| !matches!(name.0.compared, Compared::Not))
    }

    /// Those that reports report of each section beside what they report of sections anyway.
    pub fn all_noted() -> impl Iterator<Item = Self> {
        Self::all().filter(|name| name.0.noted)
    }

    /// As it is written.
    #[must_use]
    pub fn words(self) -> &'static str {
        self.0.words
    }

    /// Its name for programs, with its unit at the end.
    #[must_use]
    pub fn key(self) -> &'static str {
        self.0.key
    }

    /// In what it is measured; of a flow of boxes, items are boxes.
    #[must_use]
    pub fn unit(self) -> Unit {
        self.0.unit
    }

    /// What it reports of.
    #[must_use]
    pub fn topic(self) -> Topic {
        self.0.topic
    }

    /// Which way it is better.
    #[must_use]
    pub fn better(self) -> Better {
        self.0.better
    }

    /// Whether more of it is better.
    #[must_use]
    pub fn more_is_better(self) -> bool {
        self.0.better == Better::More
    }

    /// Whether it says what a design does, rather than what it costs.
    #[must_use]
    pub fn is_function(self) -> bool {
        self.topic() != Topic::Cost
    }

    /// When in a run it is measured.
    #[must_use]
    pub fn when(self) -> When {
        self.0.when
    }

    /// When what it counts first happened, if it did and that is known.
    pub(crate) fn first_at(self, found: &Measured) -> Option<Tick> {
        self.0.first_at.and_then(|first_at| first_at(found))
    }

    /// Why a goal about it cannot be judged, though there is an amount.
    pub(crate) fn why_not(self, found: &Measured, of: &Of) -> Option<String> {
        (self.0.why_not)(found, of)
    }

    /// Why a goal about it cannot be judged if there is no amount.
    pub(crate) fn why_nothing(self) -> &'static str {
        self.0.why_nothing
    }

    /// What a goal about it is called: `misplaced`, `"main line" cleared`, `throughput of "quay"`.
    pub(crate) fn subject(self, found: &Measured, of: &Of) -> String {
        let words = self.0.subject.unwrap_or(self.0.words);
        let behind = |name: &str| format!("{words} of \"{name}\"");
        match of {
            Of::Whole => words.to_owned(),
            Of::Sections(sections) => {
                let names = sections
                    .iter()
                    .map(|place| found.sections[*place].name.as_str());
                format!("\"{}\" {words}", names.collect::<Vec<_>>().join("\", \""))
            }
            Of::Flow(place) => behind(&found.flows[*place].name),
            Of::Lamp(place) => behind(&found.lamps[*place].name),
            Of::Gather(place) => behind(&found.gathers[*place].name),
            Of::Open(place) => behind(&found.left_behind[*place].name),
            Of::Desk(place) | Of::Request(place, _) => {
                format!("{words} for {}", found.desks[*place].kind)
            }
            Of::Contents(goal) => found
                .contents_for(*goal)
                .map_or_else(|| words.to_owned(), sorting::contents_words),
        }
    }

    /// What it came to: after each stop that was reached for marks, else once. Nothing where there was
    /// nothing to measure.
    ///
    /// # Panics
    ///
    /// If the run does not have what it is to be measured of.
    #[must_use]
    pub fn readings(self, found: &Measured, of: &Of) -> Vec<Reading> {
        if let Take::Stops(mark) = self.0.take {
            return self.after_stops(mark, found, of);
        }
        let reading = self.amount(found, of).map(|amount| Reading {
            quantity: Quantity {
                amount,
                unit: self.unit_of(found, of),
            },
            stop: None,
        });
        reading.into_iter().collect()
    }

    fn after_stops(self, mark: Mark, found: &Measured, of: &Of) -> Vec<Reading> {
        let sections = match of {
            Of::Sections(sections) => sections.iter().copied().map(Some).collect(),
            _ => vec![None],
        };
        let of_section = |section: Option<usize>| {
            let stops = found.stops.iter().enumerate();
            stops.filter_map(move |(place, stop)| {
                let ticks = mark_of(stop, mark, section)?;
                Some(Reading {
                    quantity: Quantity {
                        amount: Amount::Ticks(ticks),
                        unit: self.0.unit,
                    },
                    stop: Some(place),
                })
            })
        };
        sections.into_iter().flat_map(of_section).collect()
    }

    /// What it came to at worst: of marks, after the worst stop, and of several sections, of the worst.
    ///
    /// # Panics
    ///
    /// As [`Name::readings`].
    #[must_use]
    pub fn worst(self, found: &Measured, of: &Of) -> Option<Quantity> {
        let readings = self.readings(found, of).into_iter();
        let quantities = readings.map(|reading| reading.quantity);
        quantities.max_by(|one, two| {
            let never = |quantity: &Quantity| quantity.amount.is_never();
            let value = |quantity: &Quantity| quantity.value().unwrap_or(0.0);
            let badness = value(one).total_cmp(&value(two));
            let badness = if self.more_is_better() {
                badness.reverse()
            } else {
                badness
            };
            never(one).cmp(&never(two)).then(badness)
        })
    }

    /// What it came to in the whole run, as a number of things; 0 where there was nothing to measure.
    #[must_use]
    pub fn count(self, found: &Measured) -> u64 {
        let worst = self.worst(found, &Of::Whole);
        worst.and_then(Quantity::whole).unwrap_or(0)
    }

    fn amount(self, found: &Measured, of: &Of) -> Option<Amount> {
        let sections = || -> Vec<&SectionFinding> {
            let sections = of.sections(found).into_iter();
            sections.map(|place| &found.sections[place]).collect()
        };
        match (&self.0.take, of) {
            (Take::Whole(take), _) | (Take::Hall { whole: take, .. }, Of::Whole) => take(found),
            (Take::Hall { sections: take, .. } | Take::Sections(take), _) => {
                let sections = sections();
                (!sections.is_empty()).then(|| take(&sections)).flatten()
            }
            (Take::Flow(take), Of::Flow(place)) => {
                take(&found.flows[*place], found.ticks_per_second)
            }
            (Take::Lamp(take), Of::Lamp(place)) => take(&found.lamps[*place]),
            (Take::Desk(take), Of::Desk(place)) => take(&found.desks[*place]),
            (Take::Request(take), Of::Request(desk, place)) => {
                take(&found.desks[*desk].requests[*place])
            }
            (Take::Gather(take), Of::Gather(place)) => take(&found.gathers[*place]),
            (Take::Open(take), Of::Open(place)) => take(&[&found.left_behind[*place]]),
            (Take::Open(take), Of::Whole) => {
                let all: Vec<&LeftBehind> = found.left_behind.iter().collect();
                (!all.is_empty()).then(|| take(&all)).flatten()
            }
            (Take::Contents, Of::Contents(goal)) => {
                let contents = found.contents_for(*goal);
                contents.map(|contents| Amount::Count(contents.items))
            }
            _ => None,
        }
    }

    fn unit_of(self, found: &Measured, of: &Of) -> Unit {
        if let Some(things) = self.0.things {
            return match things(found) {
                Amounts { boxes: 0, .. } => Unit::Items,
                Amounts { goods: 0, .. } => Unit::Boxes,
                _ => Unit::ItemsAndBoxes,
            };
        }
        match of {
            Of::Flow(place) if found.flows[*place].counts_boxes => self.0.unit.of_boxes(),
            _ => self.0.unit,
        }
    }

    /// What designs are compared in: the figure of each scope, with what it came to at worst; `None`
    /// where there was nothing to measure. Runs of one design have the same figures in the same order.
    #[must_use]
    pub fn compared(self, found: &Findings) -> Vec<(Figure, Option<Quantity>)> {
        if let (Some(things), Compared::Whole(is_reported)) = (self.0.things, &self.0.compared) {
            return self.goods_and_boxes(things(found), is_reported(found), found);
        }
        let of_each: Vec<(Scope, Of)> = match self.0.compared {
            Compared::Not => Vec::new(),
            Compared::Whole(_) => vec![(Scope::All, Of::Whole)],
            Compared::Flows => {
                let flows = found.flows.iter().enumerate();
                flows
                    .map(|(place, flow)| (Scope::Flow(flow.name.clone()), Of::Flow(place)))
                    .collect()
            }
            Compared::Sections => {
                let sections = found.sections.iter();
                scopes(&sections.map(|each| each.name.as_str()).collect::<Vec<_>>())
            }
        };
        let is_reported = match self.0.compared {
            Compared::Whole(holds) => holds(found),
            _ => true,
        };
        let figures = of_each.into_iter().map(|(scope, of)| {
            let quantity = match self.0.take {
                Take::Goals(take) => take(&found.verdicts).map(|amount| Quantity {
                    amount,
                    unit: self.0.unit,
                }),
                _ => self.worst(found, &of),
            };
            let figure = Figure {
                name: self,
                scope,
                unit: self.unit_of(found, &of),
            };
            (figure, quantity.filter(|_| is_reported))
        });
        figures.collect()
    }

    /// Goods and boxes apart: a sum of both says of neither how many there are.
    fn goods_and_boxes(
        self,
        things: Amounts,
        is_reported: bool,
        found: &Measured,
    ) -> Vec<(Figure, Option<Quantity>)> {
        let has_boxes = found.account.kinds.iter().any(|kind| kind.is_box);
        let figure = |unit, number, is_reported: bool| {
            let figure = Figure {
                name: self,
                scope: Scope::All,
                unit,
            };
            let amount = Amount::Count(number);
            (figure, is_reported.then_some(Quantity { amount, unit }))
        };
        vec![
            figure(Unit::Items, things.goods, is_reported),
            figure(Unit::Boxes, things.boxes, is_reported && has_boxes),
        ]
    }

    /// What is recorded of it: each by the name that it has there.
    #[must_use]
    pub fn recorded(self, found: &Measured) -> Vec<(String, Quantity)> {
        let Some(words) = self.0.recorded else {
            return Vec::new();
        };
        if let Take::Stops(mark) = self.0.take {
            let readings = self.after_stops(mark, found, &Of::Whole).into_iter();
            let rows = readings.map(|reading| {
                let stop = reading.stop.map_or(0, |stop| stop + 1);
                (format!("stop {stop}: {words}"), reading.quantity)
            });
            return rows.collect();
        }
        let each = self.recorded_of(found).into_iter();
        let rows = each.filter_map(|(of, name)| {
            let name = match name {
                Some(name) => format!("{name}: {words}"),
                None => words.to_owned(),
            };
            let mut quantity = self.worst(found, &of)?;
            if self.0.things.is_some() {
                // A record names the unit of the catalogue, whatever was counted.
                quantity.unit = self.0.unit;
            }
            Some((name, quantity))
        });
        rows.collect()
    }

    /// Of what it is recorded, with the name of that.
    fn recorded_of(self, found: &Measured) -> Vec<(Of, Option<String>)> {
        fn each<T>(
            all: &[T],
            name: fn(&T) -> &String,
            of: impl Fn(usize) -> Of,
        ) -> Vec<(Of, Option<String>)> {
            let rows = all.iter().enumerate();
            rows.map(|(place, one)| (of(place), Some(name(one).clone())))
                .collect()
        }
        match self.0.take {
            Take::Flow(_) => each(&found.flows, |one| &one.name, Of::Flow),
            Take::Sections(_) => each(
                &found.sections,
                |one| &one.name,
                |place| Of::section(Some(place)),
            ),
            Take::Lamp(_) => each(&found.lamps, |one| &one.name, Of::Lamp),
            Take::Desk(_) => each(&found.desks, |one| &one.name, Of::Desk),
            Take::Gather(_) => each(&found.gathers, |one| &one.name, Of::Gather),
            Take::Open(_) => each(&found.left_behind, |one| &one.name, Of::Open),
            Take::Request(_) => {
                let desks = found.desks.iter().enumerate();
                let rows = desks.flat_map(|(place, desk)| {
                    (0..desk.requests.len()).map(move |request| {
                        let name = format!("{}: request {}", desk.name, request + 1);
                        (Of::Request(place, request), Some(name))
                    })
                });
                rows.collect()
            }
            Take::Whole(_) | Take::Hall { .. } => vec![(Of::Whole, None)],
            Take::Goals(_) | Take::Stops(_) | Take::Contents => Vec::new(),
        }
    }
}

impl PartialEq for Name {
    fn eq(&self, other: &Self) -> bool {
        self.key() == other.key()
    }
}

impl Eq for Name {}

impl PartialOrd for Name {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

/// In the order in which they are reported.
impl Ord for Name {
    fn cmp(&self, other: &Self) -> Ordering {
        let place = |name: &Self| Self::all().position(|each| each == *name);
        place(self).cmp(&place(other))
    }
}

impl std::fmt::Debug for Name {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str(self.key())
    }
}

impl Topic {
    /// All of them, in the order in which they are reported.
    pub const ALL: [Self; 6] = [
        Self::Stopping,
        Self::Sorting,
        Self::Flow,
        Self::Retrieval,
        Self::Lamps,
        Self::Cost,
    ];

    /// As it is written.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Stopping => "Stopping",
            Self::Sorting => "Sorting",
            Self::Flow => "Flow",
            Self::Retrieval => "Retrieval",
            Self::Lamps => "Lamps",
            Self::Cost => "Cost",
        }
    }
}

impl Figure {
    /// Name and scope: `safe to close`, `cleared of line`, `throughput of over the quay`; `lost, boxes`
    /// where boxes are counted beside items.
    #[must_use]
    pub fn words(&self) -> String {
        let name = self.name.words();
        if self.name.0.things.is_some() && self.unit == Unit::Boxes {
            return format!("{name}, boxes");
        }
        match self.scope.name() {
            None => name.to_owned(),
            Some(scope) => format!("{name} of {scope}"),
        }
    }

    /// As it stands in a sentence before its value: a name that the builder gave is in quotes, and of
    /// boxes the value says that it counts them.
    #[must_use]
    pub fn in_a_sentence(&self) -> String {
        let name = self.name.words();
        match self.scope.name() {
            None => name.to_owned(),
            Some(scope) => format!("{name} of \"{scope}\""),
        }
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn each_figure_has_a_key_of_its_own_and_stands_with_its_topic() {
        let keys: BTreeSet<&str> = Name::all().map(Name::key).collect();
        assert_eq!(keys.len(), Name::all().count());
        for (figures, topic) in TOPICS.iter().zip(Topic::ALL) {
            for name in *figures {
                assert_eq!(name.topic(), topic, "{name:?}");
                assert!(!name.words().is_empty() && !name.key().is_empty());
            }
        }
        let compared: BTreeSet<&str> = Name::all_compared().map(Name::words).collect();
        assert_eq!(
            compared.len(),
            Name::all_compared().count(),
            "they are chosen by words"
        );
    }

    #[test]
    fn names_are_ordered_as_they_are_reported() {
        assert!(Name::CLEARED < Name::SORTED);
        assert!(Name::GOALS_MISSED < Name::THROUGHPUT);
        assert!(Name::PARTS < Name::LOCK_COVER);
    }
}
