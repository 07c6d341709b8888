//! Why deliveries found no room.

use hallwright_core::event::Event;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Action;
use hallwright_report::findings::Refusal;
use hallwright_report::units::{Rate, count, grouped, rate, time};
use hallwright_words::refusal_words;

use super::blockage::Blockage;
use super::signals::{Signals, Want};
use super::{Scene, TroubleCause};

/// For each place and kind that were refused: what the place holds, what was sent there and how fast,
/// and what took it away how fast.
pub(super) fn explain(scene: &Scene<'_>) -> Vec<TroubleCause> {
    let rows = scene.findings.account.refusals.iter();
    rows.map(|row| refusal(scene, row)).collect()
}

/// What was sent to a place.
#[derive(Default)]
struct Sent {
    items: u64,
    in_first_second: u64,
    first: Option<Tick>,
    last: Tick,
    /// The signal while which it comes in.
    while_on: Option<PartId>,
}

impl Sent {
    fn to(scene: &Scene<'_>, place: PartId) -> Self {
        let mut sent = Self::default();
        let second = u64::from(scene.findings.ticks_per_second);
        let entries = scene.setup.timeline.entries().iter();
        for (at, action) in entries.take_while(|(at, _)| *at < scene.end) {
            let Action::Deliver {
                place: to,
                count,
                terms,
                ..
            } = action
            else {
                continue;
            };
            if *to != place {
                continue;
            }
            let first = *sent.first.get_or_insert(*at);
            sent.items += u64::from(*count);
            if *at - first < second {
                sent.in_first_second += u64::from(*count);
            }
            sent.last = *at;
            sent.while_on = sent.while_on.or(terms.while_on);
        }
        sent
    }

    /// How much was sent, from the first on, and how fast.
    fn words(&self, first: Tick, ticks_per_second: u32) -> String {
        let fast = Rate {
            items: self.items,
            ticks: (self.last - first) + 1,
        };
        let fast = match self.items > self.in_first_second {
            true => format!(" ({})", rate(fast, "items", ticks_per_second)),
            false => String::new(),
        };
        format!(
            "{} sent there in the first second from {} on, {} in all{fast}",
            grouped(self.in_first_second),
            time(first.0, ticks_per_second),
            grouped(self.items)
        )
    }
}

/// Says that a place slept when it refused something first, if it did.
fn was_asleep(scene: &Scene<'_>, row: &Refusal, place: PartId, cause: &mut TroubleCause) -> bool {
    let Some(awake_at) = scene.history.spells.awake_at(place, row.first_at) else {
        return false;
    };
    let until = time(awake_at.0, scene.findings.ticks_per_second);
    let name = scene.name(place);
    cause.say(format!("{name} was asleep until {until}, and took nothing"));
    cause.advise("let what does not fit wait: `when_full: Wait`".to_owned());
    true
}

fn refusal(scene: &Scene<'_>, row: &Refusal) -> TroubleCause {
    let tps = scene.findings.ticks_per_second;
    let mut cause = TroubleCause::of(refusal_words(row, tps));
    let (Some(place), Some(kind)) = (scene.network.find(&row.place), scene.kind_named(&row.kind))
    else {
        return cause;
    };
    let name = scene.name(place);
    cause.shows(name, Some(row.first_at));
    let sent = Sent::to(scene, place);
    let Some(first) = sent.first else {
        return cause;
    };
    cause.say(sent.words(first, tps));
    if was_asleep(scene, row, place, &mut cause) {
        return cause;
    }
    let slots = scene.network.own_slots(place);
    let limit = u64::from(scene.network.kind(kind).stack_limit.items());
    if let Some(slots) = slots {
        cause.say(format!(
            "{name} has {}: it holds {} {} at most",
            count(slots.into(), "slot", "slots"),
            grouped(u64::from(slots) * limit),
            row.kind
        ));
    }
    // What is refused finds it full of what came before in the same tick, too.
    let engine = scene.at(row.first_at + 1);
    let view = engine.view();
    cause.say(format!(
        "at the first refusal it held {}",
        scene.held_words(&view, place)
    ));
    let pace = take_away(
        scene,
        (place, kind),
        (first, sent.last.max(row.first_at)),
        &mut cause,
    );
    if let Some(signal) = sent.while_on {
        while_on(scene, (signal, place), row, &mut cause);
    }
    if let Some(item) = scene.item_in(&view, place, Some(kind)) {
        Blockage { scene, view: &view }.follow(place, item, &mut cause);
    }
    if let Some(pace) = pace.filter(|_| sent.while_on.is_none()) {
        cause.advise(format!(
            "send {pace} at most, or let more take out of {name}"
        ));
    }
    cause.advise("let what does not fit wait: `when_full: Wait`".to_owned());
    let slots = count(row.items.div_ceil(limit), "more slot", "more slots");
    cause.advise(format!("give {name} {slots}"));
    cause
}

/// Says what took out of a place while things were sent there, and how fast. The pace, if that went on
/// for long enough to have one.
fn take_away(
    scene: &Scene<'_>,
    (place, kind): (PartId, KindId),
    (first, until): (Tick, Tick),
    cause: &mut TroubleCause,
) -> Option<String> {
    let tps = scene.findings.ticks_per_second;
    let name = scene.name(place);
    // What waited for room or for its signal may have come only after the last was due.
    let came = came_first(scene, place).unwrap_or(first);
    let until = until.max(came);
    let drained = Rate {
        items: drained(scene, place, (came, until)),
        ticks: (until - came) + 1,
    };
    let pace = match drained.ticks > u64::from(tps) {
        true => rate(drained, "items", tps),
        false => count(drained.items, "item", "items"),
    };
    let takers: Vec<PartId> = scene.hops(place, kind).iter().map(|(to, _)| *to).collect();
    match takers.is_empty() {
        true => cause.say(format!("nothing takes out of {name}")),
        false => cause.say(format!(
            "{} took {pace} out of it from {} on",
            scene.names(&takers),
            time(came.0, tps)
        )),
    }
    (drained.items > 0 && drained.ticks > u64::from(tps)).then_some(pace)
}

/// What has to wait for a signal comes at once when that goes on.
fn while_on(
    scene: &Scene<'_>,
    (signal, place): (PartId, PartId),
    row: &Refusal,
    cause: &mut TroubleCause,
) {
    let tps = scene.findings.ticks_per_second;
    let name = scene.name(signal);
    let mut back = scene
        .history
        .back_from(signal, scene.history.end_of(row.first_at));
    let went_on = back
        .find(|(_, entry)| matches!(entry.event, Event::SignalChanged { level, .. } if level > 0));
    let at = went_on.map(|(_, entry)| entry.tick());
    match at {
        Some(at) => cause.say(format!(
            "it comes in only while {name} is on, and what waited for that came at once when it went on at {}",
            time(at.0, tps)
        )),
        None => cause.say(format!("it comes in only while {name} is on, which is no word of room")),
    }
    let engine = scene.at(row.first_at);
    let view = engine.view();
    if let Some((kind, _)) = scene.held(&view, place).first() {
        // What would have had to hold the delivery back.
        let mut signals = Signals::new(scene, &view, *kind);
        signals.follow(signal, Want::AtMost(0), cause);
    }
    cause.advise(format!(
        "let {name} go off before {} is full",
        scene.name(place)
    ));
}

/// When something came into a place first.
fn came_first(scene: &Scene<'_>, place: PartId) -> Option<Tick> {
    let mut entries = scene.history.entries();
    let first = entries.find(
        |(_, entry)| matches!(entry.event, Event::Delivered { place: to, .. } if to == place),
    );
    first.map(|(_, entry)| entry.tick())
}

/// How many items left a place in some time.
fn drained(scene: &Scene<'_>, place: PartId, (from, until): (Tick, Tick)) -> u64 {
    let back = scene.history.back_from(place, scene.history.end_of(until));
    let back = back.take_while(|(_, entry)| entry.tick() >= from);
    let left = back.filter(|(_, entry)| match entry.event {
        Event::ItemMoved { from, .. } => from == place,
        Event::Thrown { dropper, .. } => dropper == place,
        _ => false,
    });
    left.count() as u64
}
