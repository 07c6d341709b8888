//! Settings, contents and directions in words that a builder reads and a program takes apart again.

use hallwright_core::goods::Kind;
use hallwright_core::part::ComparatorMode;
use hallwright_core::predicate::Predicate;
use hallwright_core::slot::Filling;
use hallwright_declared::space::Side;
use hallwright_site::blocks::{Declared, LiftedWhen, Opening, Settings, Use};
use hallwright_site::network::Role;

/// A side in words. None begins like a formula, for the sake of spreadsheets.
#[must_use]
pub const fn side(side: Side) -> &'static str {
    match side {
        Side::PlusX => "to +x",
        Side::MinusX => "to -x",
        Side::MinusZ => "to -z",
        Side::PlusZ => "to +z",
        Side::PlusY => "up",
        Side::MinusY => "down",
    }
}

/// A name in quotes, whatever is in it: as JSON writes texts.
#[must_use]
pub fn quoted(name: &str) -> String {
    let quoted = serde_json::Value::from(name).to_string();
    hallwright_names::json(&quoted).into_owned()
}

/// The settings of a part, each as `name=value`, with `; ` between them. Empty if nothing is set.
#[must_use]
pub fn settings(settings: &Settings, kinds: &[Kind]) -> String {
    match settings {
        Settings::Container { slots } => format!("slots={slots}"),
        Settings::Stream { transit_ticks } => format!("transit_ticks={transit_ticks}"),
        Settings::Bench { lift, after_ticks } => {
            let lift = match lift {
                LiftedWhen::Empty => "empty",
                LiftedWhen::Full => "full",
                LiftedWhen::Signal => "signal",
            };
            format!("lift={lift}; after_ticks={after_ticks}")
        }
        Settings::Selector {
            latency_ticks,
            interval_ticks,
            holds,
            takes,
        } => format!(
            "latency_ticks={latency_ticks}; interval_ticks={interval_ticks}; holds={holds}; takes={}",
            predicate(takes, kinds)
        ),
        Settings::Shuttle { slots, stops } => {
            let stops: Vec<String> = stops
                .iter()
                .map(|(travel_ticks, dwell_ticks)| format!("{travel_ticks}/{dwell_ticks}"))
                .collect();
            format!("slots={slots}; stops={}", stops.join(" "))
        }
        Settings::Lever { starts_on } => format!("starts={}", on_or_off(*starts_on)),
        Settings::Button { hold_ticks } | Settings::Hold { hold_ticks } => {
            format!("hold_ticks={hold_ticks}")
        }
        Settings::Repeater { delay_ticks } | Settings::DelayLine { delay_ticks } => {
            format!("delay_ticks={delay_ticks}")
        }
        Settings::Comparator { mode } => match mode {
            ComparatorMode::Compare => "mode=compare".to_owned(),
            ComparatorMode::Subtract => "mode=subtract".to_owned(),
        },
        Settings::AllOf { inputs } | Settings::NoneOf { inputs } => format!("inputs={inputs}"),
        Settings::Clock {
            period_ticks,
            high_ticks,
            phase_ticks,
        } => format!(
            "period_ticks={period_ticks}; high_ticks={high_ticks}; phase_ticks={phase_ticks}"
        ),
        Settings::Hopper | Settings::Dropper | Settings::Mouth | Settings::Dock => String::new(),
        Settings::Inverter | Settings::Observer | Settings::Latch | Settings::Toggle => {
            String::new()
        }
    }
}

/// `on` or `off`.
#[must_use]
pub const fn on_or_off(on: bool) -> &'static str {
    if on { "on" } else { "off" }
}

/// What a selector takes: `kinds("barley", "flax")`, `not(box_full())`.
fn predicate(takes: &Predicate, kinds: &[Kind]) -> String {
    let named = |word: &str, listed: &[hallwright_core::id::KindId]| {
        let names: Vec<String> = listed
            .iter()
            .map(|kind| quoted(&kinds[kind.index()].name))
            .collect();
        format!("{word}({})", names.join(", "))
    };
    let nested = |word: &str, all: &[Predicate]| {
        let all: Vec<String> = all.iter().map(|one| predicate(one, kinds)).collect();
        format!("{word}({})", all.join(", "))
    };
    match takes {
        Predicate::Kinds(listed) => named("kinds", listed),
        Predicate::BoxOf(listed) => named("box_of", listed),
        Predicate::BoxFull => "box_full()".to_owned(),
        Predicate::BoxEmpty => "box_empty()".to_owned(),
        Predicate::Box => "box()".to_owned(),
        Predicate::Single => "single()".to_owned(),
        Predicate::All(all) => nested("all", all),
        Predicate::Any(any) => nested("any", any),
        Predicate::Not(one) => nested("not", std::slice::from_ref(one)),
    }
}

/// What something holds, slot by slot: `0: 41 "barley", 1: 1 "peg"`. What a box holds stands behind it in
/// braces.
#[must_use]
pub fn contents(contents: &[Filling], kinds: &[Kind]) -> String {
    let each: Vec<String> = contents
        .iter()
        .map(|filling| {
            let name = quoted(&kinds[filling.kind.index()].name);
            let held = match filling.contents.as_slice() {
                [] => String::new(),
                held => format!(" {{{}}}", self::contents(held, kinds)),
            };
            format!("{}: {} {name}{held}", filling.slot, filling.count)
        })
        .collect();
    each.join(", ")
}

/// The openings of a box, each as block, side and what goes through it, with `; ` between them.
#[must_use]
pub fn openings(openings: &[Opening]) -> String {
    let each: Vec<String> = openings
        .iter()
        .map(|opening| {
            let usage = match &opening.usage {
                Use::Hears(ear) => format!("hears {}", ear.words()),
                Use::Gives => "gives".to_owned(),
                Use::Takes => "takes".to_owned(),
                Use::HandsOn(role) => format!("hands on {}", self::role(*role)),
                Use::Docks(dock) => format!("docks {}", quoted(dock)),
                Use::ShowsMatches => "shows matches".to_owned(),
            };
            format!("{} {} {usage}", opening.block, opening.side)
        })
        .collect();
    each.join("; ")
}

/// What is taken at its word of a part, with `; ` between the links.
#[must_use]
pub fn declared(declared: &[Declared]) -> String {
    let each: Vec<String> = declared
        .iter()
        .map(|declared| match declared {
            Declared::Link(role, name) => format!("{} {}", self::role(*role), quoted(name)),
            Declared::Signal(ear, name, loss) => {
                format!("hears {} {} less {loss}", ear.words(), quoted(name))
            }
        })
        .collect();
    each.join("; ")
}

/// What a link is for.
#[must_use]
pub fn role(role: Role) -> String {
    match role {
        Role::Target => "target".to_owned(),
        Role::Above => "above".to_owned(),
        Role::Mouth => "mouth".to_owned(),
        Role::Drinks => "drinks".to_owned(),
        Role::Into => "into".to_owned(),
        Role::Bench => "bench".to_owned(),
        Role::Loose => "loose".to_owned(),
        Role::End => "end".to_owned(),
        Role::Out => "out".to_owned(),
        Role::Match => "match".to_owned(),
        Role::Rest => "rest".to_owned(),
        Role::WhenFull => "when full".to_owned(),
        Role::Stop(number) => format!("stop {}", number + 1),
        Role::Reads => "reads".to_owned(),
        Role::WatchesSignal => "watches signal".to_owned(),
        Role::WatchesLock => "watches lock".to_owned(),
        Role::WatchesTrigger => "watches trigger".to_owned(),
        Role::WatchesMatches => "watches matches".to_owned(),
    }
}
