//! Reads worked traces: `tests/data/worked-traces/README.md` describes the format.

use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::order::{Order, Orders};
use hallwright_core::part::{
    Bench, ComparatorMode, Container, Dropper, Hopper, Intake, Leg, Lift, Outlet, Part, Rear,
    Selector, Shuttle, Signal, Stream, Watched,
};
use hallwright_core::predicate::Predicate;
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;
use hallwright_core::slot::Filling;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms, Timeline};
use serde_json::{Map, Value, json};

use crate::outcome::Outcome;

/// A network, a run of it, and what must come of it.
pub(crate) struct TraceCase {
    pub(crate) about: String,
    pub(crate) network: Network,
    pub(crate) setup: Setup,
    /// Ticks 0 to `ticks` - 1 are run.
    pub(crate) ticks: u64,
    /// Its costs and contents name only some parts, perhaps.
    pub(crate) expected: Outcome,
}

/// Reads one case.
///
/// # Panics
///
/// If the text is not in the format.
pub(crate) fn read_case(text: &str) -> TraceCase {
    let case: Value = serde_json::from_str(text).expect("a worked trace is JSON");
    assert_eq!(case["format"], 2, "this reads format 2");
    let reader = NetworkReader::new(&case["network"]);
    let timeline = Timeline::new(
        rows(&case["network"]["inputs"])
            .map(|row| reader.input(row))
            .collect(),
    );
    let orders = Orders {
        update: Order::Listed(reader.parts(&case["order"])),
        signal: reader.signal_order(&case["network"]["signal_order"]),
    };
    TraceCase {
        about: text_of(&case["about"]).to_owned(),
        setup: Setup {
            seed: 0,
            orders,
            timeline,
        },
        ticks: case["ticks"].as_u64().expect("`ticks` is a number"),
        expected: Outcome {
            trace: rows(&case["trace"]).cloned().collect(),
            cost: object(&case["cost"]),
            contents: object(&case["contents"]),
            lost: object(&case["lost"])
                .into_iter()
                .filter(|(_, count)| *count != json!(0))
                .collect(),
        },
        network: reader.build(),
    }
}

fn rows(list: &Value) -> impl Iterator<Item = &Value> {
    list.as_array().into_iter().flatten()
}

fn object(value: &Value) -> Map<String, Value> {
    value.as_object().cloned().unwrap_or_default()
}

fn text_of(value: &Value) -> &str {
    value
        .as_str()
        .unwrap_or_else(|| panic!("{value} is no text"))
}

fn number<N: TryFrom<u64>>(value: &Value) -> N {
    value
        .as_u64()
        .and_then(|number| N::try_from(number).ok())
        .unwrap_or_else(|| panic!("{value} is no such number"))
}

fn number_or<N: TryFrom<u64>>(value: &Value, otherwise: N) -> N {
    if value.is_null() {
        otherwise
    } else {
        number(value)
    }
}

/// Declares every part by its name, then reads what each one is.
struct NetworkReader<'a> {
    document: &'a Value,
    builder: NetworkBuilder,
    /// Declared names in the order of their ids.
    names: Vec<String>,
    /// Kinds in the order of their ids.
    kinds: Vec<String>,
}

impl<'a> NetworkReader<'a> {
    fn new(document: &'a Value) -> Self {
        let mut reader = Self {
            document,
            builder: NetworkBuilder::new(rules(&document["rules"])),
            names: Vec::new(),
            kinds: Vec::new(),
        };
        reader.read_kinds();
        reader.declare_parts();
        reader.declare_open_places();
        reader.define_parts();
        reader
    }

    fn build(self) -> Network {
        self.builder
            .build()
            .expect("a worked trace's network is sound")
    }

    fn section(&self, name: &str) -> Vec<(&'a str, &'a Value)> {
        self.document[name]
            .as_object()
            .into_iter()
            .flatten()
            .map(|(name, part)| (name.as_str(), part))
            .collect()
    }

    fn read_kinds(&mut self) {
        let boxes = &self.document["boxes"];
        for (name, limit) in self.section("kinds") {
            if rows(boxes).any(|boxed| boxed == name) {
                self.builder.box_kind(name);
            } else {
                let limit = StackLimit::from_items(number(limit)).expect("a known stack limit");
                self.builder.kind(name, limit);
            }
            self.kinds.push(name.to_owned());
        }
    }

    fn declare(&mut self, name: &str) {
        if !self.names.iter().any(|known| known == name) {
            self.builder.declare(name);
            self.names.push(name.to_owned());
        }
    }

    /// Hoppers first, then selectors, droppers, signals: the order of declaration.
    fn declare_parts(&mut self) {
        let sections = [
            "hoppers",
            "selectors",
            "droppers",
            "signals",
            "containers",
            "benches",
            "shuttles",
            "streams",
        ];
        for section in sections {
            for (name, _) in self.section(section) {
                self.declare(name);
            }
        }
    }

    /// The places of shuttles, and every name that is nothing else: a mouth.
    fn declare_open_places(&mut self) {
        for (_, shuttle) in self.section("shuttles") {
            for stop in rows(&shuttle["stops"]) {
                let place = text_of(&stop["place"]);
                if !self.names.iter().any(|known| known == place) {
                    self.declare(place);
                    self.define(place, Part::Dock);
                }
            }
        }
        let fields = [
            ("hoppers", "mouth"),
            ("droppers", "out"),
            ("streams", "to"),
            ("benches", "out"),
            ("selectors", "match"),
            ("selectors", "rest"),
            ("selectors", "when_full"),
        ];
        for (section, field) in fields {
            for (_, part) in self.section(section) {
                if let Some(name) = part[field].as_str() {
                    self.declare_mouth(name);
                }
            }
        }
        // Sleeps and reopenings name what is known from elsewhere, or a mouth.
        for input in rows(&self.document["inputs"]) {
            for name in input[2].as_array().into_iter().flatten().chain([&input[2]]) {
                if let Some(name) = name.as_str() {
                    self.declare_mouth(name);
                }
            }
        }
    }

    fn declare_mouth(&mut self, name: &str) {
        if !self.names.iter().any(|known| known == name) {
            self.declare(name);
            self.define(name, Part::Mouth);
        }
    }

    fn define(&mut self, name: &str, part: Part) {
        let id = self.named(name);
        self.builder.define(id, part);
    }

    fn define_parts(&mut self) {
        self.define_section("containers", |_, part| {
            Part::Container(Container {
                slots: number_or(&part["slots"], 27),
            })
        });
        self.define_section("hoppers", |reader, part| Part::Hopper(reader.hopper(part)));
        self.define_section("droppers", |reader, part| {
            Part::Dropper(reader.dropper(part))
        });
        self.define_section("streams", |reader, part| {
            Part::Stream(Stream {
                transit_ticks: number(&part["ticks"]),
                mouth: reader.part(&part["to"]),
            })
        });
        self.define_section("benches", |reader, part| Part::Bench(reader.bench(part)));
        self.define_section("selectors", |reader, part| {
            Part::Selector(Box::new(reader.selector(part)))
        });
        self.define_section("shuttles", |reader, part| {
            Part::Shuttle(Box::new(reader.shuttle(part)))
        });
        self.define_section("signals", |reader, part| Part::Signal(reader.signal(part)));
    }

    fn define_section(&mut self, section: &str, read: impl Fn(&Self, &Value) -> Part) {
        for (name, document) in self.section(section) {
            let part = read(self, document);
            self.define(name, part);
            for filling in self.fillings(&document["has"]) {
                let id = self.named(name);
                self.builder.fill(id, filling);
            }
        }
    }

    fn named(&self, name: &str) -> PartId {
        let index = self.names.iter().position(|known| known == name);
        PartId::from_index(index.unwrap_or_else(|| panic!("there is no `{name}`")))
    }

    fn part(&self, name: &Value) -> PartId {
        self.named(text_of(name))
    }

    fn part_if_any(&self, name: &Value) -> Option<PartId> {
        name.as_str().map(|name| self.named(name))
    }

    fn parts(&self, names: &Value) -> Vec<PartId> {
        rows(names).map(|name| self.part(name)).collect()
    }

    fn kind(&self, name: &Value) -> KindId {
        let name = text_of(name);
        let index = self.kinds.iter().position(|known| known == name);
        KindId::from_index(index.unwrap_or_else(|| panic!("there is no kind `{name}`")))
    }

    fn fillings(&self, entries: &Value) -> Vec<Filling> {
        rows(entries)
            .map(|entry| Filling {
                slot: number(&entry[0]),
                kind: self.kind(&entry[1]),
                count: number(&entry[2]),
                contents: self.fillings(&entry[3]),
            })
            .collect()
    }

    fn hopper(&self, part: &Value) -> Hopper {
        let above = self.part_if_any(&part["above"]).map(Intake::Above);
        let mouth = self.part_if_any(&part["mouth"]).map(Intake::Mouth);
        Hopper {
            target: self.part_if_any(&part["target"]),
            intake: above.or(mouth).unwrap_or(Intake::Cap),
            lock: self.part_if_any(&part["lock"]),
        }
    }

    fn dropper(&self, part: &Value) -> Dropper {
        let target = self.part_if_any(&part["target"]).map(Outlet::Into);
        let bench = self.part_if_any(&part["bench"]).map(Outlet::Bench);
        let out = self.part_if_any(&part["out"]).map(Outlet::Loose);
        Dropper {
            trigger: self.part_if_any(&part["trigger"]),
            outlet: target.or(bench).or(out).expect("a dropper has an outlet"),
        }
    }

    fn bench(&self, part: &Value) -> Bench {
        let (condition, signal) = only_entry(&part["lift"]);
        Bench {
            lift: match condition {
                "empty" => Lift::Empty,
                "full" => Lift::Full,
                "signal" => Lift::Signal(self.part(signal)),
                other => panic!("no bench lifts when {other}"),
            },
            after_ticks: number_or(&part["after"], 0),
            output: self.part(&part["out"]),
        }
    }

    fn selector(&self, part: &Value) -> Selector {
        Selector {
            latency_ticks: number(&part["latency"]),
            interval_ticks: number(&part["interval"]),
            holds: number_or(&part["holds"], 1),
            takes: self.predicate(&part["takes"]),
            match_target: self.part(&part["match"]),
            rest_target: self.part(&part["rest"]),
            when_full: self.part_if_any(&part["when_full"]),
            lock: self.part_if_any(&part["lock"]),
        }
    }

    fn predicate(&self, predicate: &Value) -> Predicate {
        let (word, of) = only_entry(predicate);
        let kinds = || rows(of).map(|kind| self.kind(kind)).collect();
        let several = || rows(of).map(|one| self.predicate(one)).collect();
        match word {
            "kinds" => Predicate::Kinds(kinds()),
            "box_of" => Predicate::BoxOf(kinds()),
            "box_full" => Predicate::BoxFull,
            "box_empty" => Predicate::BoxEmpty,
            "box" => Predicate::Box,
            "single" => Predicate::Single,
            "all" => Predicate::All(several()),
            "any" => Predicate::Any(several()),
            "not" => Predicate::Not(Box::new(self.predicate(of))),
            other => panic!("no predicate is called {other}"),
        }
    }

    fn shuttle(&self, part: &Value) -> Shuttle {
        let stop = |stop: &Value| Leg {
            dock: self.part(&stop["place"]),
            travel_ticks: number(&stop["travel"]),
            dwell_ticks: number_or(&stop["dwell"], 0),
            release: self.part_if_any(&stop["release"]),
        };
        Shuttle {
            slots: number(&part["slots"]),
            stops: rows(&part["stops"]).map(stop).collect(),
        }
    }

    fn signal(&self, part: &Value) -> Signal {
        let input = || self.part(&part["in"]);
        let ticks = || number(&part["ticks"]);
        match text_of(&part["kind"]) {
            "lever" => Signal::Lever {
                starts_on: part["start"].as_bool().unwrap_or(false),
            },
            "button" => Signal::Button {
                hold_ticks: ticks(),
            },
            "wire" => Signal::Wire {
                inputs: rows(&part["in"])
                    .map(|entry| (self.part(&entry[0]), number(&entry[1])))
                    .collect(),
            },
            "repeater" => Signal::Repeater {
                input: input(),
                delay_ticks: number(&part["delay"]),
                lock: self.part_if_any(&part["lock"]),
            },
            "comparator" => self.comparator(part),
            "inverter" => Signal::Inverter { input: input() },
            "observer" => self.observer(part),
            "hold" => Signal::Hold {
                input: input(),
                hold_ticks: ticks(),
            },
            "latch" => Signal::Latch {
                set: self.part(&part["set"]),
                reset: self.part(&part["reset"]),
            },
            "toggle" => Signal::Toggle { input: input() },
            "allof" => Signal::AllOf {
                inputs: self.parts(&part["in"]),
            },
            "noneof" => Signal::NoneOf {
                inputs: self.parts(&part["in"]),
            },
            "clock" => Signal::Clock {
                period_ticks: number(&part["period"]),
                high_ticks: number(&part["high"]),
                phase_ticks: part["phase"].as_i64().unwrap_or(0),
            },
            "line" => Signal::DelayLine {
                input: input(),
                delay_ticks: ticks(),
            },
            other => panic!("no signal is called {other}"),
        }
    }

    fn comparator(&self, part: &Value) -> Signal {
        let reads = self.part_if_any(&part["reads"]).map(Rear::Inventory);
        let rear = self.part_if_any(&part["rear"]).map(Rear::Signal);
        Signal::Comparator {
            rear: reads.or(rear).expect("a comparator has a rear"),
            side: self.part_if_any(&part["side"]),
            mode: match part["mode"].as_str() {
                None | Some("compare") => ComparatorMode::Compare,
                Some("subtract") => ComparatorMode::Subtract,
                Some(other) => panic!("no mode is called {other}"),
            },
        }
    }

    fn observer(&self, part: &Value) -> Signal {
        let of = self.part(&part["of"]);
        Signal::Observer {
            watches: match text_of(&part["what"]) {
                "signal" => Watched::Signal(of),
                "lock" => Watched::Lock(of),
                "trigger" => Watched::Trigger(of),
                "match" => Watched::Matches(of),
                other => panic!("nothing called {other} is watched"),
            },
        }
    }

    fn signal_order(&self, names: &Value) -> Order {
        if names.is_null() {
            Order::Declared
        } else {
            Order::Listed(self.parts(names))
        }
    }

    fn input(&self, row: &Value) -> (Tick, Action) {
        let place = || self.part(&row[2]);
        let action = match text_of(&row[1]) {
            "lever" => Action::MoveLever {
                lever: place(),
                on: row[3] != json!(0) && row[3] != json!(false),
            },
            "press" => Action::Press { button: place() },
            "deliver" => Action::Deliver {
                place: place(),
                kind: self.kind(&row[3]),
                count: number(&row[4]),
                contents: self.fillings(&row[5]),
                terms: Terms::default(),
            },
            "withdraw" => Action::Withdraw {
                place: place(),
                count: number(&row[3]),
            },
            "sleep" => Action::Sleep {
                parts: self.parts(&row[2]),
                sleep_ticks: number(&row[3]),
            },
            "reopen" => Action::Reopen {
                orders: Orders {
                    update: Order::Listed(self.parts(&row[2])),
                    signal: Order::Listed(self.parts(&row[3])),
                },
            },
            other => panic!("no input is called {other}"),
        };
        (Tick(number(&row[0])), action)
    }
}

/// The one key of an object, and its value.
fn only_entry(object: &Value) -> (&str, &Value) {
    let entries = object.as_object().expect("an object of one key");
    let (key, value) = entries.iter().next().expect("an object of one key");
    (key, value)
}

/// The default rules with what a case overrides.
fn rules(overrides: &Value) -> Rules {
    let mut rules = Rules::default();
    for (name, value) in object(overrides) {
        let field = match name.as_str() {
            "cooldown" => &mut rules.cooldown_ticks,
            "arrival" => &mut rules.arrival_ticks,
            "dropper_delay" => &mut rules.dropper_delay_ticks,
            "delay" => &mut rules.signal_delay_ticks,
            "observer_pulse" => &mut rules.observer_pulse_ticks,
            "despawn" => &mut rules.despawn_ticks,
            "w_idle" => &mut rules.work_idle,
            "w_try" => &mut rules.work_try,
            "w_mouth" => &mut rules.work_mouth,
            "w_cap" => &mut rules.work_cap,
            other => panic!("no rule is called {other}"),
        };
        *field = number(&value);
    }
    rules
}
