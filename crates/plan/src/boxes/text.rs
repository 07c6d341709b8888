//! A wing as text: a module file of its own, and what the scenario that uses it needs.

use std::fmt::Write as _;

use super::measures::{BARGE_HOME_TICKS, BARGE_TICKS};
use super::rooms::ROOM_BLOCKS;
use super::{
    COLUMNS_A_HALF, HALVES_A_STREAM, Haul, MODULES_FILE, Stream, Wing, x_of_column, x_of_half,
};

/// How many blocks of a stream one source is good for.
const BLOCKS_A_SOURCE: usize = 8;

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
    /// The entry of `operator`: a request for each kind. Empty if nothing is fetched by barge; otherwise a desk
    /// at which nobody ever asks is warned of.
    pub operator: String,
    /// The entries of `goals`: each kind in its own columns, and every lock on while nothing calls.
    pub goals: String,
    /// The kinds with several columns, for the goal `SharedHome`.
    pub shared_homes: Vec<String>,
    /// The tallies, if there are any, for the goal `WithoutHome`.
    pub without_home: Vec<String>,
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
            operator: self.requests(haul),
            goals: self.goals(haul),
            shared_homes: self.shared_homes(),
            without_home: self.wanted.tally_name.iter().cloned().collect(),
        }
    }

    fn module_file(&self) -> String {
        let mut goods = vec![format!("{}: Box", quoted(&self.wanted.box_name))];
        let tally = self.wanted.tally_name.iter();
        goods.extend(tally.map(|tally| format!("{}: 64", quoted(tally))));
        let mut text = format!(
            "// The box wing of this hall: its columns and what leads to them. The modules it is built of, and how\n\
             // they stand, are in {MODULES_FILE}.\n(\n    include: [{}],\n    goods: {{{}}},\n    \
             modules: {{\n        \"box wing\": (\n            \
             // The switch of the hall.\n            parameters: {{\"run\": Name}},\n            \
             ports: {{\"inlet\": \"quay.inlet\"}},\n",
            quoted(MODULES_FILE),
            goods.join(", "),
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
            self.write_barge(number, stream, text);
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
        for room in self.rooms() {
            let ticks = self.run_ticks(&room);
            if ticks > 0 {
                let _ = writeln!(
                    text,
                    "                {}: DelayLine(input: \"$run\", delay: \"{ticks}t\"),",
                    quoted(&self.run_in(&room))
                );
            }
        }
        text.push_str("            },\n");
    }

    fn write_uses(&self, text: &mut String) {
        let top = self.top();
        let _ = writeln!(
            text,
            "            uses: {{\n                \"quay\": One(\n                    \
             module: \"box quay\",\n                    position: {},\n                    \
             with: {{\"run\": {}, \"full_boxes\": \"one kind only\"}},\n                ),",
            block([-3, top + 1, 0]),
            quoted(&self.run_in(&self.quay_room()))
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
            self.write_desks(number, stream, text);
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
        let number = half / HALVES_A_STREAM;
        let wake = match self.desks(self.streams()[number]).as_slice() {
            [] => String::new(),
            _ => format!("\"counter {number}.permit\""),
        };
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
             \"beyond\": {},\n                        \"leaves_at\": {leaves_at},\n                        \
             \"wake\": [{wake}],\n                    }},\n                ),",
            block([x_of_half(half), 0, 0]),
            kinds.join(", "),
            spills.join(", "),
            self.wanted.levels,
            quoted(&self.run_in(&self.half_room(half))),
            number,
            quoted(&beyond),
        );
    }

    fn write_rooms(&self, text: &mut String) {
        let size = block([ROOM_BLOCKS; 3]);
        text.push_str("            rooms: {\n");
        for room in self.rooms() {
            let _ = writeln!(
                text,
                "                {}: (\n                    position: {},\n                    \
                 size: {size},\n                    parts: [{}],\n                ),",
                quoted(&room.name),
                block(room.at),
                listed(&room.parts)
            );
        }
        text.push_str("            },\n");
    }

    /// The barge of a stream's halves: round all of their desks.
    fn write_barge(&self, number: usize, stream: Stream, text: &mut String) {
        let desks = self.desks(stream);
        let Some(last) = desks.last() else {
            return;
        };
        let x = x_of_half(stream.first_half);
        let _ = writeln!(
            text,
            "                \"barge {number}\": Shuttle(position: {}, size: ({}, 1, 1), stops: [\n                    \
             (dock: \"counter {number}.home\", travel: \"{BARGE_HOME_TICKS}t\", dwell: \"20t\", \
             release: \"counter {number}.send\"),",
            block([x, -4, -1]),
            x_of_column(last.column) - x + 1
        );
        for desk in desks {
            let name = desk.name();
            let _ = writeln!(
                text,
                "                    (dock: \"{name}.dock\", travel: \"{BARGE_TICKS}t\", dwell: \"20t\", \
                 release: \"{name}.go on\"),"
            );
        }
        text.push_str("                ]),\n");
    }

    /// The desks of a stream's halves with their loaders, and their counter.
    fn write_desks(&self, number: usize, stream: Stream, text: &mut String) {
        let (desks, Some(tally)) = (self.desks(stream), &self.wanted.tally_name) else {
            return;
        };
        let Some(room) = self.desk_room(stream.first_half) else {
            return;
        };
        for desk in &desks {
            let column = desk.column % COLUMNS_A_HALF;
            let _ = writeln!(
                text,
                "                {}: One(\n                    module: \"box loader\",\n                    \
                 position: {},\n                    with: {{\n                        \
                 \"store\": \"half {}.column[{column}].rack\",\n                        \
                 \"kind\": {},\n                        \"tally\": {},\n                        \
                 \"permit\": \"counter {number}.permit\",\n                        \
                 \"beat\": \"counter {number}.beat\",\n                        \
                 \"counter\": \"counter {number}.counter\",\n                    }},\n                ),",
                quoted(&desk.name()),
                block([x_of_column(desk.column), -1, 0]),
                desk.half(),
                quoted(&self.wanted.kinds[desk.kind].name),
                quoted(tally)
            );
        }
        let of_all = |part: &str| {
            let names = desks.iter().map(|desk| format!("{}.{part}", desk.name()));
            listed(&names.collect::<Vec<_>>())
        };
        let kinds = desks.iter();
        let kinds = kinds.map(|desk| self.wanted.kinds[desk.kind].name.clone());
        let _ = writeln!(
            text,
            "                \"counter {number}\": One(\n                    module: \"box counter\",\n                    \
             position: {},\n                    with: {{\n                        \
             \"run\": {},\n                        \"barge\": \"barge {number}\",\n                        \
             \"kinds\": [{}],\n                        \"fetches\": [{}],\n                        \
             \"stages\": [{}],\n                        \"works\": [{}],\n                    }},\n                ),",
            block([x_of_half(stream.first_half), 0, 0]),
            quoted(&self.run_in(&room)),
            listed(&kinds.collect::<Vec<_>>()),
            of_all("fetch"),
            of_all("stage"),
            of_all("work")
        );
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

/// Texts in quotes, with commas between them.
fn listed(texts: &[String]) -> String {
    let texts: Vec<String> = texts.iter().map(|text| quoted(text)).collect();
    texts.join(", ")
}

/// A block as it is written.
fn block([x, y, z]: [i64; 3]) -> String {
    format!("({x}, {y}, {z})")
}

/// A text in quotes. Names are checked to need no escapes.
pub(super) fn quoted(text: &str) -> String {
    format!("{text:?}")
}
