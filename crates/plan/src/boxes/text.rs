//! A wing as text: a module file of its own, and what the scenario that uses it needs.

use std::fmt::Write as _;

use super::measures::ROOM_BLOCKS;
use super::{MODULES_FILE, Stream, Wing, boxes_a_column, items_a_box, x_of_half};

/// How many blocks of a stream one source is good for.
const BLOCKS_A_SOURCE: usize = 8;

/// The boxes with which a wing is tried: so many of each kind, one kind after another.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Haul {
    /// Full boxes of each kind; at most as many count as have room in its columns.
    pub boxes_a_kind: u64,
    /// When they come, in ticks.
    pub at_ticks: u64,
}

/// What a scenario with a wing is written of. Entries are indented as in a scenario and end in a comma and a
/// newline; all names begin with `boxes`.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct WingText {
    /// The whole module file, which includes [`MODULES_FILE`]. It declares the empty box among the goods.
    pub module_file: String,
    /// The entry of `uses`.
    pub uses: String,
    /// The entries of `arrivals`.
    pub arrivals: String,
    /// The entries of `goals`: each kind in its own columns, and every lock on while nothing calls.
    pub goals: String,
    /// The kinds with several columns, for the goal `SharedHome`.
    pub shared_homes: Vec<String>,
}

impl Wing {
    /// The wing as text, with its first column at this block.
    #[must_use]
    pub fn text(&self, origin: [i64; 3], haul: Haul) -> WingText {
        WingText {
            module_file: self.module_file(),
            uses: format!(
                "        \"boxes\": One(\n            module: \"box wing\",\n            position: {},\n            \
                 with: {{\"run\": {}}},\n        ),\n",
                block(origin),
                quoted(&self.wanted.run)
            ),
            arrivals: self.arrivals(haul),
            goals: self.goals(haul),
            shared_homes: self.shared_homes(),
        }
    }

    fn module_file(&self) -> String {
        let mut text = format!(
            "// The box wing of this hall: its columns and what leads to them. The modules it is built of, and how\n\
             // they stand, are in {MODULES_FILE}.\n(\n    include: [{}],\n    goods: {{{}: Box}},\n    \
             modules: {{\n        \"box wing\": (\n            \
             // The switch of the hall.\n            parameters: {{\"run\": Name}},\n            \
             ports: {{\"inlet\": \"quay.inlet\"}},\n",
            quoted(MODULES_FILE),
            quoted(&self.wanted.box_name),
        );
        self.write_parts(&mut text);
        self.write_signals(&mut text);
        self.write_uses(&mut text);
        self.write_rooms(&mut text);
        text.push_str(
            "            stores: {\"unsorted\": (parts: \"unsorted\", overflow: true)},\n        ),\n    },\n)\n",
        );
        text
    }

    fn write_parts(&self, text: &mut String) {
        let top = self.top();
        text.push_str("            parts: {\n                \"one kind only\": Selector(\n                    takes: All([\n                        BoxFull,\n                        Any([\n");
        for kind in &self.wanted.kinds {
            let _ = writeln!(
                text,
                "                            BoxOf([{}]),",
                quoted(&kind.name)
            );
        }
        let _ = writeln!(
            text,
            "                        ]),\n                    ]),\n                    \
             match: \"half 0.inlet\",\n                    rest: \"quay.others\",\n                    \
             latency: \"4t\",\n                    interval: \"8t\",\n                    position: {},\n                    \
             sides: {{\"in\": \"-x\", \"match\": \"+x\", \"rest\": \"-y\"}},\n                ),",
            block([-2, top + 1, 0])
        );
        for (number, stream) in self.streams().into_iter().enumerate() {
            write_stream(number, stream, top, text);
        }
        let last = self.halves().len() - 1;
        let behind = x_of_half(last) + self.halves()[last].len() as i64;
        let _ = writeln!(
            text,
            "                \"unsorted\": DoubleChest(position: {}, along: \"+z\"),\n            }},",
            block([behind, top, 0])
        );
    }

    fn write_signals(&self, text: &mut String) {
        text.push_str("            signals: {\n");
        for (number, stream) in self.streams().into_iter().enumerate() {
            let halves = stream.first_half..stream.first_half + stream.halves;
            let passing: Vec<String> = halves
                .map(|half| format!("\"half {half}.passing\""))
                .collect();
            let _ = writeln!(
                text,
                "                \"coming {number}\": Wire(inputs: [{}]),",
                passing.join(", ")
            );
        }
        let halves = (0..self.halves().len()).map(|half| self.room_of_half(half));
        for room in halves.chain([self.quay_room()]) {
            if let Some(heard) = self.delayed_run(room) {
                let _ = writeln!(
                    text,
                    "                {}: DelayLine(input: \"$run\", delay: \"{}t\"),",
                    quoted(&heard),
                    self.run_ticks(room)
                );
            }
        }
        text.push_str("            },\n");
    }

    /// The name of the switch's signal as it is heard in a room, if it takes time to get there.
    fn delayed_run(&self, room: [i64; 3]) -> Option<String> {
        (self.run_ticks(room) > 0).then(|| format!("run at {}", room[0]))
    }

    /// That name, or the switch's own.
    fn run_in(&self, room: [i64; 3]) -> String {
        quoted(&self.delayed_run(room).unwrap_or_else(|| "$run".to_owned()))
    }

    fn write_uses(&self, text: &mut String) {
        let top = self.top();
        let _ = writeln!(
            text,
            "            uses: {{\n                \"quay\": One(\n                    \
             module: \"box quay\",\n                    position: {},\n                    \
             with: {{\"run\": {}, \"full_boxes\": \"one kind only\"}},\n                ),",
            block([-3, top + 1, 0]),
            self.run_in(self.quay_room())
        );
        for half in 0..self.halves().len() {
            self.write_half(half, text);
        }
        for (number, stream) in self.streams().into_iter().enumerate() {
            let _ = writeln!(
                text,
                "                \"overflow {number}\": One(\n                    \
                 module: \"box overflow\",\n                    position: {},\n                    with: {{\n                        \
                 \"stream\": \"stream {number}\",\n                        \"coming\": \"coming {number}\",\n                        \
                 \"transit\": {},\n                        \"from\": {},\n                    }},\n                ),",
                block([x_of_half(stream.first_half), top, 0]),
                stream.transit_ticks(),
                stream.blocks_over_eyes - 1
            );
        }
        text.push_str("            },\n");
    }

    fn write_half(&self, half: usize, text: &mut String) {
        let halves = self.halves();
        let columns = halves[half];
        let kinds: Vec<String> = columns
            .iter()
            .map(|column| quoted(&self.wanted.kinds[column.kind].name))
            .collect();
        let spills: Vec<String> = columns
            .iter()
            .map(|column| u8::from(column.spills).to_string())
            .collect();
        let (beyond, leaves_at) = if half + 1 < halves.len() {
            (format!("half {}.inlet", half + 1), 1)
        } else {
            ("unsorted".to_owned(), 0)
        };
        let _ = writeln!(
            text,
            "                \"half {half}\": One(\n                    module: \"box half\",\n                    \
             position: {},\n                    with: {{\n                        \
             \"kinds\": [{}],\n                        \"spills\": [{}],\n                        \
             \"levels\": {},\n                        \"run\": {},\n                        \
             \"spill\": \"stream {}\",\n                        \
             \"beyond\": {},\n                        \"leaves_at\": {leaves_at},\n                    }},\n                ),",
            block([x_of_half(half), 0, 0]),
            kinds.join(", "),
            spills.join(", "),
            self.wanted.levels,
            self.run_in(self.room_of_half(half)),
            half / super::HALVES_A_STREAM,
            quoted(&beyond),
        );
    }

    fn write_rooms(&self, text: &mut String) {
        let size = block([ROOM_BLOCKS; 3]);
        let _ = writeln!(
            text,
            "            rooms: {{\n                \
             \"quay room\": (position: {}, size: {size}, parts: \"quay\"),",
            block(self.quay_room())
        );
        for half in 0..self.halves().len() {
            let stream = half / super::HALVES_A_STREAM;
            let also = if half.is_multiple_of(super::HALVES_A_STREAM) {
                format!(", \"overflow {stream}\", \"coming {stream}\"")
            } else {
                String::new()
            };
            let _ = writeln!(
                text,
                "                \"room {half}\": (\n                    position: {},\n                    \
                 size: {size},\n                    parts: [\"half {half}\"{also}],\n                ),",
                block(self.room_of_half(half))
            );
        }
        text.push_str("            },\n");
    }

    fn arrivals(&self, haul: Haul) -> String {
        let mut text = String::new();
        for (number, kind) in self.wanted.kinds.iter().enumerate() {
            let _ = writeln!(
                text,
                "        {}: AllAtOnce(\n            place: \"boxes.inlet\",\n            kind: Full({}),\n            \
                 count: {},\n            at: \"{}t\",\n            when_full: Wait,\n        ),",
                quoted(&format!("boxes of {}", kind.name)),
                quoted(&kind.name),
                self.boxes_of(number, haul),
                haul.at_ticks
            );
        }
        text
    }

    /// How many boxes of a kind come with a haul.
    fn boxes_of(&self, kind: usize, haul: Haul) -> u64 {
        let columns = self.columns.iter().filter(|column| column.kind == kind);
        let room = columns.count() as u64 * boxes_a_column(self.wanted.levels);
        haul.boxes_a_kind.min(room)
    }

    fn goals(&self, haul: Haul) -> String {
        let mut text = String::new();
        for (number, kind) in self.wanted.kinds.iter().enumerate() {
            let items = self.boxes_of(number, haul) * items_a_box(kind.stack_limit);
            let _ = writeln!(text, "        Contents(\n            parts: [");
            for (at, _) in self
                .columns
                .iter()
                .enumerate()
                .filter(|(_, column)| column.kind == number)
            {
                let (half, column) = (at / super::COLUMNS_A_HALF, at % super::COLUMNS_A_HALF);
                let name = format!("boxes.half {half}.column[{column}]");
                let _ = writeln!(
                    text,
                    "                \"{name}.gate\", \"{name}.level[*].chest\",\n                \
                     \"{name}.level[*].under\", \"{name}.rack\","
                );
            }
            let _ = writeln!(
                text,
                "            ],\n            kinds: {},\n            at_least: {items},\n            \
                 at_most: {items},\n        ),",
                quoted(&kind.name)
            );
        }
        for section in self.sections() {
            let _ = writeln!(
                text,
                "        LockCoverAtLeast(section: {}, share: 1.0),",
                quoted(&section)
            );
        }
        text
    }

    /// The names of its sections, as the scenario that uses it has them.
    #[must_use]
    pub fn sections(&self) -> Vec<String> {
        let halves = (0..self.halves().len()).map(|half| format!("boxes.half {half}.columns"));
        let overflows =
            (0..self.streams().len()).map(|stream| format!("boxes.overflow {stream}.overflow"));
        let quay = std::iter::once("boxes.quay.quay".to_owned());
        quay.chain(halves).chain(overflows).collect()
    }

    fn shared_homes(&self) -> Vec<String> {
        let several = self.columns.iter().filter(|column| !column.spills);
        let mut kinds: Vec<usize> = several.map(|column| column.kind).collect();
        kinds.dedup();
        let name = |kind: usize| self.wanted.kinds[kind].name.clone();
        kinds.into_iter().map(name).collect()
    }
}

/// A stream: its path by the ends of its straight runs, with a source for every eight blocks.
fn write_stream(number: usize, stream: Stream, top: i64, text: &mut String) {
    let path = stream.path(top);
    let over_eyes = usize::try_from(stream.blocks_over_eyes).unwrap_or(0);
    // It turns at the last block over the eyes, two further, and beside that.
    let mut turns = vec![
        0,
        over_eyes - 1,
        over_eyes + 1,
        over_eyes + 2,
        over_eyes + 3,
    ];
    turns.dedup();
    let corners: Vec<String> = turns.into_iter().map(|at| block(path[at])).collect();
    let sources = path.iter().skip(BLOCKS_A_SOURCE).step_by(BLOCKS_A_SOURCE);
    let sources: Vec<String> = sources.map(|at| block(*at)).collect();
    let _ = writeln!(
        text,
        "                \"stream {number}\": Stream(\n                    \
         mouth: \"overflow {number}.mouth\",\n                    path: [{}],\n                    \
         sources: [{}],\n                ),",
        corners.join(", "),
        sources.join(", ")
    );
}

/// A block as it is written.
fn block([x, y, z]: [i64; 3]) -> String {
    format!("({x}, {y}, {z})")
}

/// A text in quotes. Names are checked to need no escapes.
fn quoted(text: &str) -> String {
    format!("{text:?}")
}
