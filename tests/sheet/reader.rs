//! Reads the table of a sheet back, by what `docs/do/sheet.md` says of its columns and nothing else.

use std::collections::BTreeMap;

use hallwright_core::id::KindId;
use hallwright_core::part::ComparatorMode;
use hallwright_core::predicate::Predicate;
use hallwright_core::slot::Filling;
use hallwright_declared::space::{Block, Side};
use hallwright_site::blocks::{Declared, LiftedWhen, Opening, Piece, Settings, Shape, Use};
use hallwright_site::network::{Ear, Role};

/// A row, by its columns.
type Row = BTreeMap<String, String>;

/// What stands nowhere, or somewhere in a room: pieces of no block, all links of which the table has.
pub(crate) fn nowhere(table: &str, kinds: &[&str]) -> Vec<Piece> {
    let rows = rows(table).into_iter();
    rows.filter(|row| row["piece"].is_empty())
        .map(|row| piece(&[(0, row)], kinds))
        .collect()
}

fn rows(table: &str) -> Vec<Row> {
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let headers = reader.headers().expect("it has columns").clone();
    let records = reader.records();
    let row = |record: csv::Result<csv::StringRecord>| {
        let record = record.expect("it is a table");
        let cells = record.iter().map(str::to_owned);
        headers.iter().map(str::to_owned).zip(cells).collect()
    };
    records.map(row).collect()
}

/// The pieces that a table tells a builder to place. `kinds` are the names of all goods.
pub(crate) fn pieces(table: &str, kinds: &[&str]) -> Vec<Piece> {
    let mut pieces: BTreeMap<usize, Vec<(usize, Row)>> = BTreeMap::new();
    for row in rows(table) {
        // What has no number stands nowhere.
        if let Ok(piece) = row["piece"].parse() {
            let block = row["block"].parse().unwrap_or(0);
            pieces.entry(piece).or_default().push((block, row));
        }
    }
    let each = pieces.into_values().map(|mut rows| {
        rows.sort_by_key(|(block, _)| *block);
        piece(&rows, kinds)
    });
    each.collect()
}

fn piece(rows: &[(usize, Row)], kinds: &[&str]) -> Piece {
    let first = &rows[0].1;
    let of = |column: &str| first[column].as_str();
    let number = |text: &str| text.parse::<i32>().expect("a coordinate");
    let blocks = rows.iter().filter(|(block, _)| *block > 0);
    let blocks =
        blocks.map(|(_, row)| Block::new(number(&row["x"]), number(&row["y"]), number(&row["z"])));
    let shape = shape(of("what"));
    let points = !matches!(shape, Shape::DoubleChest | Shape::Stream);
    let mut piece = Piece::new(&name(of("name")), shape, blocks);
    piece.faces = Some(of("facing")).filter(|_| points).and_then(facing);
    piece.settings = settings(of("what"), of("settings"), kinds);
    piece.contents = Words::of(of("contents")).contents(kinds);
    piece.openings = separate(of("openings"))
        .iter()
        .map(|one| opening(one))
        .collect();
    piece.meant = Words::of(of("meant")).names();
    piece.declared = separate(of("declared"))
        .iter()
        .map(|one| declared(one))
        .collect();
    piece
}

fn name(cell: &str) -> String {
    match cell.starts_with('"') {
        true => Words::of(cell).quoted(),
        false => cell.to_owned(),
    }
}

fn facing(words: &str) -> Option<Side> {
    Some(match words {
        "to +x" => Side::PlusX,
        "to -x" => Side::MinusX,
        "to +z" => Side::PlusZ,
        "to -z" => Side::MinusZ,
        "up" => Side::PlusY,
        "down" => Side::MinusY,
        "" => return None,
        other => panic!("`{other}` is no facing"),
    })
}

fn shape(what: &str) -> Shape {
    match what {
        "full block" => Shape::Full,
        "cap" => Shape::Cap,
        "wire" => Shape::Wire,
        "hopper" => Shape::Hopper,
        "dropper" => Shape::Dropper,
        "dispenser" => Shape::Dispenser,
        "chest" => Shape::Chest,
        "chest apart" => Shape::ChestApart,
        "double chest" => Shape::DoubleChest,
        "barrel" => Shape::Barrel,
        "container" => Shape::Container,
        "observer" => Shape::Observer,
        "comparator" => Shape::Comparator,
        "repeater" => Shape::Repeater,
        "inverter" => Shape::Inverter,
        "lever" => Shape::Lever,
        "button" => Shape::Button,
        "bench" => Shape::Bench,
        "stream" => Shape::Stream,
        "mouth" => Shape::Mouth,
        _ => Shape::Word,
    }
}

fn settings(what: &str, cell: &str, kinds: &[&str]) -> Option<Settings> {
    // Names of goods, which come last, may have anything in them.
    let plain = cell.split("takes=").next().unwrap_or_default();
    let set: BTreeMap<&str, &str> = plain
        .split("; ")
        .filter_map(|one| one.split_once('='))
        .collect();
    let ticks = |name: &str| set[name].parse::<u32>().expect("a number of ticks");
    let slots = || set["slots"].parse().expect("a number of slots");
    Some(match what {
        "full block" | "cap" | "wire" | "room" => return None,
        "hopper" => Settings::Hopper,
        "dropper" | "dispenser" => Settings::Dropper,
        "chest" | "chest apart" | "double chest" | "barrel" | "container" => {
            Settings::Container { slots: slots() }
        }
        "observer" => Settings::Observer,
        "comparator" => Settings::Comparator {
            mode: match set["mode"] {
                "compare" => ComparatorMode::Compare,
                "subtract" => ComparatorMode::Subtract,
                other => panic!("`{other}` is no mode"),
            },
        },
        "repeater" => Settings::Repeater {
            delay_ticks: ticks("delay_ticks"),
        },
        "inverter" => Settings::Inverter,
        "lever" => Settings::Lever {
            starts_on: set["starts"] == "on",
        },
        "button" => Settings::Button {
            hold_ticks: ticks("hold_ticks"),
        },
        "bench" => Settings::Bench {
            lift: match set["lift"] {
                "empty" => LiftedWhen::Empty,
                "full" => LiftedWhen::Full,
                _ => LiftedWhen::Signal,
            },
            after_ticks: ticks("after_ticks"),
        },
        "stream" => Settings::Stream {
            transit_ticks: ticks("transit_ticks"),
        },
        "mouth" => Settings::Mouth,
        "dock" => Settings::Dock,
        _ => of_word(what, cell, &set, kinds),
    })
}

/// The settings of what is taken at its word.
fn of_word(what: &str, cell: &str, set: &BTreeMap<&str, &str>, kinds: &[&str]) -> Settings {
    let ticks = |name: &str| set[name].parse::<u32>().expect("a number of ticks");
    let inputs = || set["inputs"].parse().expect("a number of inputs");
    match what {
        "selector" => Settings::Selector {
            latency_ticks: ticks("latency_ticks"),
            interval_ticks: ticks("interval_ticks"),
            holds: ticks("holds"),
            takes: {
                let (_, takes) = cell.split_once("takes=").expect("it takes something");
                Words::of(takes).predicate(kinds)
            },
        },
        "shuttle" => Settings::Shuttle {
            slots: set["slots"].parse().expect("a number of slots"),
            stops: set["stops"]
                .split(' ')
                .map(|stop| {
                    let (travel, dwell) = stop.split_once('/').expect("two times");
                    let number = |text: &str| text.parse().expect("a number of ticks");
                    (number(travel), number(dwell))
                })
                .collect(),
        },
        "clock" => Settings::Clock {
            period_ticks: ticks("period_ticks"),
            high_ticks: ticks("high_ticks"),
            phase_ticks: set["phase_ticks"].parse().expect("a number of ticks"),
        },
        "latch" => Settings::Latch,
        "toggle" => Settings::Toggle,
        "hold" => Settings::Hold {
            hold_ticks: ticks("hold_ticks"),
        },
        "all of" => Settings::AllOf { inputs: inputs() },
        "none of" => Settings::NoneOf { inputs: inputs() },
        "delay line" => Settings::DelayLine {
            delay_ticks: ticks("delay_ticks"),
        },
        other => panic!("nobody knows what a `{other}` is"),
    }
}

/// The items of a cell between which `; ` stands, outside of quotes.
fn separate(cell: &str) -> Vec<String> {
    let mut all = vec![String::new()];
    let (mut is_quoted, mut is_escaped) = (false, false);
    for letter in cell.chars() {
        if letter == ';' && !is_quoted {
            all.push(String::new());
            continue;
        }
        is_quoted ^= letter == '"' && !is_escaped;
        is_escaped = letter == '\\' && !is_escaped;
        all.last_mut().expect("there is one").push(letter);
    }
    let trimmed = all.iter().map(|one| one.trim().to_owned());
    trimmed.filter(|one| !one.is_empty()).collect()
}

fn ear(words: &str) -> Ear {
    let (word, number) = words.split_once(' ').unwrap_or((words, ""));
    let index = || number.parse::<usize>().expect("a number from 1") - 1;
    match word {
        "lock" => Ear::Lock,
        "trigger" => Ear::Trigger,
        "input" => Ear::Input(index()),
        "rear" => Ear::Rear,
        "side" => Ear::Side,
        "watched" => Ear::Watch,
        "release" => Ear::Release(index()),
        "lift" => Ear::Lift,
        other => panic!("`{other}` is no ear"),
    }
}

fn role(words: &str) -> Role {
    match words {
        "match" => Role::Match,
        "rest" => Role::Rest,
        "when full" => Role::WhenFull,
        "loose" => Role::Loose,
        "end" => Role::End,
        "into" => Role::Into,
        "target" => Role::Target,
        "above" => Role::Above,
        other => {
            let number = other.strip_prefix("stop ").expect("a stop of a shuttle");
            Role::Stop(number.parse::<usize>().expect("a number from 1") - 1)
        }
    }
}

/// `(1, 2, 3) +x hears lock`.
fn opening(words: &str) -> Opening {
    let (block, rest) = words.split_once(") ").expect("a block in front");
    let at: Vec<i32> = block
        .trim_start_matches('(')
        .split(", ")
        .map(|number| number.parse().expect("a coordinate"))
        .collect();
    let (side, usage) = rest
        .split_once(' ')
        .expect("a side, then what goes through it");
    let (word, more) = usage.split_once(' ').unwrap_or((usage, ""));
    Opening {
        block: Block::new(at[0], at[1], at[2]),
        side: Side::named(side).expect("a side"),
        usage: match word {
            "hears" => Use::Hears(ear(more)),
            "gives" => Use::Gives,
            "takes" => Use::Takes,
            "hands" => Use::HandsOn(role(more.trim_start_matches("on "))),
            "docks" => Use::Docks(Words::of(more).quoted()),
            "shows" => Use::ShowsMatches,
            other => panic!("nothing `{other}`"),
        },
    }
}

/// `stop 1 "quay"`, or `hears lift "lever" less 2`.
fn declared(words: &str) -> Declared {
    let quote = words.find('"').expect("a name");
    let mut rest = Words::of(&words[quote..]);
    let other = rest.quoted();
    let before = words[..quote].trim();
    match before.strip_prefix("hears ") {
        None => Declared::Link(role(before), other),
        Some(words) => {
            let loss = rest.0.trim().trim_start_matches("less ");
            Declared::Signal(ear(words), other, loss.parse().expect("a loss"))
        }
    }
}

/// What is left of a cell.
struct Words<'a>(&'a str);

impl<'a> Words<'a> {
    fn of(cell: &'a str) -> Self {
        Self(cell.trim_start())
    }

    /// Takes this, if it comes next.
    fn takes(&mut self, next: &str) -> bool {
        let rest = self.0.strip_prefix(next);
        self.0 = rest.unwrap_or(self.0).trim_start();
        rest.is_some()
    }

    fn number(&mut self) -> u16 {
        let end = self.0.find(|letter: char| !letter.is_ascii_digit());
        let (number, rest) = self.0.split_at(end.unwrap_or(self.0.len()));
        self.0 = rest.trim_start();
        number.parse().expect("a number")
    }

    /// A text as JSON has it.
    fn quoted(&mut self) -> String {
        let mut texts = serde_json::Deserializer::from_str(self.0).into_iter::<String>();
        let text = texts.next().expect("a text").expect("in quotes");
        let end = texts.byte_offset();
        self.0 = self.0[end..].trim_start();
        text
    }

    fn names(&mut self) -> Vec<String> {
        let mut names = Vec::new();
        while self.0.starts_with('"') {
            names.push(self.quoted());
            self.takes(",");
        }
        names
    }

    fn kind(&mut self, kinds: &[&str]) -> KindId {
        let name = self.quoted();
        let index = kinds.iter().position(|kind| *kind == name);
        KindId::from_index(index.expect("goods of the list"))
    }

    /// `0: 41 "barley", 1: 1 "crate" {0: 64 "barley"}`.
    fn contents(&mut self, kinds: &[&str]) -> Vec<Filling> {
        let mut contents = Vec::new();
        while self.0.starts_with(|letter: char| letter.is_ascii_digit()) {
            let slot = self.number();
            assert!(self.takes(":"), "a slot, then what is in it");
            let count = u8::try_from(self.number()).expect("a stack");
            let kind = self.kind(kinds);
            let inner = match self.takes("{") {
                true => {
                    let inner = self.contents(kinds);
                    assert!(self.takes("}"), "what a box holds ends");
                    inner
                }
                false => Vec::new(),
            };
            contents.push(Filling {
                slot,
                kind,
                count,
                contents: inner,
            });
            self.takes(",");
        }
        contents
    }

    /// `any(kinds("barley"), not(box()))`.
    fn predicate(&mut self, kinds: &[&str]) -> Predicate {
        let (word, rest) = self.0.split_once('(').expect("a condition");
        self.0 = rest.trim_start();
        let mut names = Vec::new();
        let mut nested = Vec::new();
        while !self.takes(")") {
            match self.0.starts_with('"') {
                true => names.push(self.kind(kinds)),
                false => nested.push(self.predicate(kinds)),
            }
            self.takes(",");
        }
        match word {
            "kinds" => Predicate::Kinds(names),
            "box_of" => Predicate::BoxOf(names),
            "box_full" => Predicate::BoxFull,
            "box_empty" => Predicate::BoxEmpty,
            "box" => Predicate::Box,
            "single" => Predicate::Single,
            "all" => Predicate::All(nested),
            "any" => Predicate::Any(nested),
            "not" => Predicate::Not(Box::new(nested.remove(0))),
            other => panic!("`{other}` is no condition"),
        }
    }
}
