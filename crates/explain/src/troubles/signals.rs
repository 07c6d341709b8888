//! Why a signal stays as it is, followed back to what would have to change.

use std::collections::BTreeSet;

use hallwright_core::engine::View;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::part::{Signal, Watched};
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Action;
use hallwright_report::units::time;

use super::{Scene, TroubleCause};

/// How many signals are gone along at most.
const MOST_STEPS: usize = 8;

/// What a signal would have to be.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Want {
    /// At most this level; 0 for off.
    AtMost(u8),
    /// At least this level; 1 for on.
    AtLeast(u8),
}

impl Want {
    pub(super) fn is_so(self, level: u8) -> bool {
        match self {
            Self::AtMost(most) => level <= most,
            Self::AtLeast(least) => level >= least,
        }
    }

    pub(super) fn words(self) -> String {
        match self {
            Self::AtMost(0) => "0".to_owned(),
            Self::AtMost(most) => format!("{most} or less"),
            Self::AtLeast(least) => format!("{least} or more"),
        }
    }

    /// What a signal that is only off or fully on has to be.
    fn full(self) -> Self {
        match self {
            Self::AtMost(_) => Self::AtMost(0),
            Self::AtLeast(_) => Self::AtLeast(1),
        }
    }

    fn turned(self) -> Self {
        match self {
            Self::AtMost(_) => Self::AtLeast(1),
            Self::AtLeast(_) => Self::AtMost(0),
        }
    }
}

/// Goes back along signals.
pub(super) struct Signals<'s, 'v> {
    pub(super) scene: &'s Scene<'s>,
    pub(super) view: &'s View<'v>,
    /// The goods that wait.
    pub(super) kind: KindId,
    /// The hopper whose lock is asked about.
    pub(super) locked: Option<PartId>,
    /// The wires on the way with what they lose.
    pub(super) losses: Vec<(PartId, PartId, u8)>,
    seen: BTreeSet<PartId>,
}

impl<'s, 'v> Signals<'s, 'v> {
    pub(super) fn new(scene: &'s Scene<'s>, view: &'s View<'v>, kind: KindId) -> Self {
        Self {
            scene,
            view,
            kind,
            locked: None,
            losses: Vec::new(),
            seen: BTreeSet::new(),
        }
    }

    /// Notes which hopper it is whose lock is asked about.
    pub(super) fn of_lock(&mut self, locked: PartId) {
        self.locked = Some(locked);
    }

    /// Says why a signal is not as wanted, and what that hangs on.
    pub(super) fn follow(&mut self, part: PartId, want: Want, cause: &mut TroubleCause) {
        let level = self.view.level(part);
        if want.is_so(level) || self.seen.contains(&part) {
            return;
        }
        if self.seen.len() == MOST_STEPS {
            cause.say(format!("and so on, back from {}", self.scene.name(part)));
            return;
        }
        self.seen.insert(part);
        let Some(signal) = self.scene.network.signal(part) else {
            return;
        };
        let name = self.scene.name(part);
        let is = if level == 0 { "off" } else { "on" };
        if self.is_spellbound(part, is, cause) {
            return;
        }
        match signal {
            Signal::Lever { .. } | Signal::Button { .. } => self.operated(part, signal, cause),
            Signal::Comparator { rear, side, mode } => {
                self.comparator(part, (*rear, *side, *mode), want, cause);
            }
            Signal::Wire { inputs } => self.wire(part, inputs, want, cause),
            Signal::Inverter { input } => {
                let other = if level == 0 { "on" } else { "off" };
                let input_name = self.scene.name(*input);
                cause.say(format!("{name} is {is} as long as {input_name} is {other}"));
                self.follow(*input, want.turned(), cause);
            }
            Signal::Repeater {
                lock: Some(lock), ..
            } if self.view.level(*lock) > 0 => {
                cause.say(format!(
                    "{name} stays {is} while {} is on",
                    self.scene.name(*lock)
                ));
                self.follow(*lock, Want::AtMost(0), cause);
            }
            Signal::Repeater { input, .. } | Signal::Hold { input, .. } => {
                cause.say(format!("{name} is {is} as {} is", self.scene.name(*input)));
                self.follow(*input, want.full(), cause);
            }
            Signal::DelayLine { input, .. } => {
                cause.say(format!("{name} is {is} as {} is", self.scene.name(*input)));
                self.follow(*input, want, cause);
            }
            Signal::AllOf { inputs } | Signal::NoneOf { inputs } => {
                let is_all = matches!(signal, Signal::AllOf { .. });
                self.gate(part, inputs, (want, is_all), cause);
            }
            Signal::Latch { set, reset } => self.latch(part, (*set, *reset), want, cause),
            Signal::Toggle { input } => {
                let input = self.scene.name(*input);
                cause.say(format!("{name} is {is} until {input} goes on again"));
            }
            Signal::Observer { watches } => {
                let watched = match *watches {
                    Watched::Signal(part) | Watched::Lock(part) => part,
                    Watched::Trigger(part) | Watched::Matches(part) => part,
                };
                let watched = self.scene.name(watched);
                cause.say(format!(
                    "{name} gives a pulse only when something changes at {watched}"
                ));
            }
            Signal::Clock { .. } => cause.say(format!("{name} is a clock, and {is} just then")),
        }
    }

    /// Says that a signal is as it is because it is stuck or sleeps, if it does.
    fn is_spellbound(&self, part: PartId, is: &str, cause: &mut TroubleCause) -> bool {
        let name = self.scene.name(part);
        let until = |tick: Tick| time(tick.0, self.scene.findings.ticks_per_second);
        if let Some(free_at) = self.view.free_at(part) {
            let until = until(free_at);
            cause.say(format!("{name} is stuck {is} until {until}"));
            return true;
        }
        if let Some(awake_at) = self.view.awake_at(part) {
            let until = until(awake_at);
            cause.say(format!("{name} is asleep until {until}, and stays {is}"));
            return true;
        }
        false
    }

    fn operated(&self, part: PartId, signal: &Signal, cause: &mut TroubleCause) {
        let name = self.scene.name(part);
        let entries = self.scene.setup.timeline.entries().iter();
        let mut moves = entries.filter_map(|(at, action)| match action {
            Action::MoveLever { lever, .. } => (*lever == part).then_some(*at),
            Action::Press { button } => (*button == part).then_some(*at),
            _ => None,
        });
        let last = moves.rfind(|at| *at < self.scene.end);
        let stops = self
            .scene
            .declared
            .stops
            .iter()
            .flat_map(|stop| &stop.actions);
        let is_of_stop =
            |action: &Action| matches!(action, Action::MoveLever { lever, .. } if *lever == part);
        if stops.into_iter().any(is_of_stop) && last.is_some() {
            cause.say(format!("{name} is moved by the stop"));
            if let Some(locked) = self.locked {
                cause.advise(format!(
                    "lock {} only when it is empty, and not at once by {name}",
                    self.scene.name(locked)
                ));
            }
            return;
        }
        let done = match signal {
            Signal::Button { .. } => "pressed",
            _ => "moved",
        };
        let is = if self.view.level(part) == 0 {
            "off"
        } else {
            "on"
        };
        let words = match last {
            Some(at) => {
                let at = time(at.0, self.scene.findings.ticks_per_second);
                format!("{name} is {is}: it is {done} last at {at}")
            }
            None => format!("{name} is {is}, and never {done} in this run"),
        };
        cause.say(words);
        let other = if is == "off" { "on" } else { "off" };
        cause.advise(match signal {
            Signal::Button { .. } => format!("let the operator press {name}"),
            _ => format!("let the operator turn {name} {other}"),
        });
    }

    fn wire(
        &mut self,
        part: PartId,
        inputs: &[(PartId, u8)],
        want: Want,
        cause: &mut TroubleCause,
    ) {
        let name = self.scene.name(part);
        let level = self.view.level(part);
        let through = |(input, loss): &(PartId, u8)| {
            let input = self.scene.name(*input);
            match loss {
                0 => input.to_owned(),
                loss => format!("{input} less {loss}"),
            }
        };
        let all: Vec<String> = inputs.iter().map(through).collect();
        let all = match all.as_slice() {
            [] => "no input".to_owned(),
            [one] => one.clone(),
            several => format!("the highest of {}", several.join(", ")),
        };
        let is = match level {
            0 => "off".to_owned(),
            level => format!("at {level}"),
        };
        cause.say(format!("{name} is {is}: it is {all}"));
        for (place, (input, loss)) in inputs.iter().enumerate() {
            let (wanted, counts) = match want {
                Want::AtLeast(least) => (Want::AtLeast(least.saturating_add(*loss)), true),
                // Only what comes through keeps it on.
                Want::AtMost(most) => {
                    let most = most.saturating_add(*loss);
                    (Want::AtMost(most), self.view.level(*input) > most)
                }
            };
            // Any of its inputs would do to raise it, and the first is followed.
            let is_enough = matches!(want, Want::AtLeast(_)) && place > 0;
            if counts && !is_enough {
                self.losses.push((part, *input, *loss));
                self.follow(*input, wanted, cause);
                self.losses.pop();
            }
        }
    }

    fn gate(
        &mut self,
        part: PartId,
        inputs: &[PartId],
        (want, is_all): (Want, bool),
        cause: &mut TroubleCause,
    ) {
        let name = self.scene.name(part);
        // What its inputs have to be for it to be as wanted: all of them, or any.
        let (wanted, needs_all) = match (want, is_all) {
            (Want::AtLeast(_), true) => (Want::AtLeast(1), true),
            (Want::AtLeast(_), false) => (Want::AtMost(0), true),
            (Want::AtMost(_), true) => (Want::AtMost(0), false),
            (Want::AtMost(_), false) => (Want::AtLeast(1), false),
        };
        let is = if self.view.level(part) == 0 {
            "off"
        } else {
            "on"
        };
        let other = if wanted == Want::AtMost(0) {
            "on"
        } else {
            "off"
        };
        let wrong = inputs.iter().copied();
        let wrong: Vec<PartId> = wrong
            .filter(|input| !wanted.is_so(self.view.level(*input)))
            .collect();
        let names = self.scene.names(&wrong);
        let are = if wrong.len() == 1 { "is" } else { "are" };
        match needs_all || wrong.len() == 1 {
            true => cause.say(format!("{name} is {is} because {names} {are} {other}")),
            false => cause.say(format!("{name} is {is} as long as {names} all are {other}")),
        }
        // A clock comes by itself; of those of which one would do, one is followed.
        let is_clock = |input: &PartId| {
            matches!(
                self.scene.network.signal(*input),
                Some(Signal::Clock { .. })
            )
        };
        let others: Vec<PartId> = wrong.iter().copied().filter(|one| !is_clock(one)).collect();
        let followed = if others.is_empty() { wrong } else { others };
        let most = if needs_all { usize::MAX } else { 1 };
        for input in followed.into_iter().take(most) {
            self.follow(input, wanted, cause);
        }
    }

    fn latch(
        &mut self,
        part: PartId,
        (set, reset): (PartId, PartId),
        want: Want,
        cause: &mut TroubleCause,
    ) {
        let name = self.scene.name(part);
        let (set_name, reset_name) = (self.scene.name(set), self.scene.name(reset));
        match want {
            Want::AtMost(_) => {
                cause.say(format!("{name} stays on until {reset_name} resets it"));
                self.follow(reset, Want::AtLeast(1), cause);
            }
            Want::AtLeast(_) if self.view.level(reset) > 0 => {
                cause.say(format!("{name} stays off while {reset_name} is on"));
                self.follow(reset, Want::AtMost(0), cause);
            }
            Want::AtLeast(_) => {
                cause.say(format!("{name} stays off until {set_name} sets it"));
                self.follow(set, Want::AtLeast(1), cause);
            }
        }
    }
}
