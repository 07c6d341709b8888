//! A wing as text: a module file of its own, and what the scenario that uses it needs.

use super::hearing::Hearing;
use super::lines::{Lines, block, listed, quoted};
use super::rooms::{HATCH, QUAY, half_name};
use super::{HALVES_A_STREAM, Haul, MODULES_FILE, Stream, Wing, x_of_half};

/// How many blocks of a stream one source is good for.
const BLOCKS_A_SOURCE: usize = 8;

/// What a scenario with a wing is written of. Entries are indented as in a scenario and end in a comma and a
/// newline; all names begin with `boxes`.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct WingText {
    /// The whole module file, which includes [`MODULES_FILE`]. It declares the empty box and the tallies among
    /// the goods.
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
        let mut uses = Lines::at(2);
        write_use(&mut uses, "boxes", "box wing", origin, |lines| {
            lines.line(format!("\"run\": {},", quoted(&self.wanted.run)));
        });
        WingText {
            module_file: self.module_file(),
            uses: uses.into_text(),
            arrivals: self.arrivals(haul),
            operator: self.requests(haul),
            goals: self.goals(haul),
            shared_homes: self.shared_homes(),
            without_home: self.wanted.tally_name.iter().cloned().collect(),
        }
    }

    fn module_file(&self) -> String {
        let mut lines = Lines::at(0);
        lines.line("// The box wing of this hall: its columns and what leads to them. The modules that it is");
        lines.line(format!(
            "// built of are in {MODULES_FILE}, and so is how they stand."
        ));
        lines.within("(", ")", |lines| {
            lines.line(format!("include: [{}],", quoted(MODULES_FILE)));
            lines.within("goods: {", "},", |lines| {
                lines.line(format!("{}: Box,", quoted(&self.wanted.box_name)));
                if let Some(tally) = &self.wanted.tally_name {
                    lines.line(format!("{}: 64,", quoted(tally)));
                }
            });
            lines.within("modules: {", "},", |lines| {
                lines.within("\"box wing\": (", "),", |lines| self.write_wing(lines));
            });
        });
        lines.into_text()
    }

    fn write_wing(&self, lines: &mut Lines) {
        let hearing = self.hearing();
        lines.line("// The switch of the hall.");
        lines.line("parameters: {\"run\": Name},");
        lines.line("ports: {\"inlet\": \"quay.inlet\"},");
        lines.within("parts: {", "},", |lines| self.write_parts(lines));
        lines.within("signals: {", "},", |lines| {
            self.write_signals(&hearing, lines);
        });
        lines.within("uses: {", "},", |lines| {
            self.write_uses(&hearing, lines);
        });
        lines.within("rooms: {", "},", |lines| {
            self.write_rooms(&hearing, lines);
        });
        lines.line("stores: {\"unsorted\": (parts: \"unsorted\", overflow: true)},");
    }

    fn write_parts(&self, lines: &mut Lines) {
        let top = self.top();
        lines.line("// Full boxes of one kind; one of two such kinds belongs in neither column.");
        lines.within("\"one kind only\": Selector(", "),", |lines| {
            lines.within("takes: All([", "]),", |lines| {
                lines.line("BoxFull,");
                lines.within("Any([", "]),", |lines| {
                    for kind in &self.wanted.kinds {
                        lines.line(format!("BoxOf([{}]),", quoted(&kind.name)));
                    }
                });
            });
            lines.line("match: \"half 0.inlet\",");
            lines.line("rest: \"quay.others\",");
            lines.line("latency: \"4t\",");
            lines.line("interval: \"8t\",");
            lines.line(format!("position: {},", block([-2, top + 1, 0])));
            lines.line("sides: {\"in\": \"-x\", \"match\": \"+x\", \"rest\": \"-y\"},");
        });
        for (number, stream) in self.streams().into_iter().enumerate() {
            if stream.is_built {
                write_stream(number, stream, top, lines);
            }
            self.write_barge(number, stream, lines);
        }
        let halves = self.halves();
        let last = halves.len() - 1;
        let behind = block([x_of_half(last) + halves[last].len() as i64, top, 0]);
        lines.line("// What came past all columns.");
        lines.line(format!(
            "\"unsorted\": DoubleChest(position: {behind}, along: \"+z\"),"
        ));
    }

    fn write_signals(&self, hearing: &Hearing, lines: &mut Lines) {
        let streams = self.streams().into_iter().enumerate();
        for (number, stream) in streams.filter(|(_, stream)| stream.is_built) {
            let halves = stream.first_half..stream.first_half + stream.halves;
            let passing = listed(halves.map(|half| format!("half {half}.passing")));
            lines.line(format!("\"coming {number}\": Wire(inputs: [{passing}]),"));
        }
        for (room, from) in &hearing.relays {
            for name in &room.parts {
                let (name, from) = (quoted(name), quoted(from));
                lines.line(format!("{name}: Repeater(input: {from}),"));
            }
        }
    }

    fn write_uses(&self, hearing: &Hearing, lines: &mut Lines) {
        let top = self.top();
        write_use(lines, QUAY, "box quay", [-3, top + 1, 0], |lines| {
            let run = quoted(hearing.run_of(QUAY));
            lines.line(format!("\"run\": {run},"));
            lines.line("\"full_boxes\": \"one kind only\",");
        });
        if self.wanted.has_hatch {
            write_use(lines, HATCH, "box hatch", [0, 0, 3], |lines| {
                let kind = quoted(&self.wanted.kinds[0].name);
                lines.line("\"store\": \"half 0.column[0].rack\",");
                lines.line(format!("\"kind\": {kind},"));
                lines.line(format!("\"run\": {},", quoted(hearing.run_of(HATCH))));
                lines.line(format!("\"box\": {},", quoted(&self.wanted.box_name)));
            });
        }
        for half in 0..self.halves().len() {
            let name = half_name(half);
            let at = [x_of_half(half), 0, 0];
            write_use(lines, &name, "box half", at, |lines| {
                self.write_half(half, hearing, lines)
            });
        }
        for (number, stream) in self.streams().into_iter().enumerate() {
            let name = format!("overflow {number}");
            let at = [x_of_half(stream.first_half), top, 0];
            if stream.is_built {
                write_use(lines, &name, "box overflow", at, |lines| {
                    lines.line(format!("\"stream\": \"stream {number}\","));
                    lines.line(format!("\"coming\": \"coming {number}\","));
                    lines.line(format!("\"transit\": {},", stream.transit_ticks()));
                    lines.line(format!("\"from\": {},", stream.blocks_over_eyes - 1));
                });
            }
            self.write_desks(number, stream, hearing, lines);
        }
    }

    fn write_half(&self, half: usize, hearing: &Hearing, lines: &mut Lines) {
        let halves = self.halves();
        let (columns, number) = (halves[half], half / HALVES_A_STREAM);
        let stream = self.streams()[number];
        let kinds = columns
            .iter()
            .map(|column| &self.wanted.kinds[column.kind].name);
        let spills = columns
            .iter()
            .map(|column| u8::from(column.spills).to_string());
        let is_last = half + 1 == halves.len();
        let (beyond, leaves_at) = if is_last {
            ("unsorted".to_owned(), 0)
        } else {
            (format!("half {}.inlet", half + 1), 1)
        };
        lines.line(format!("\"kinds\": [{}],", listed(kinds)));
        lines.line(format!(
            "\"spills\": [{}],",
            spills.collect::<Vec<_>>().join(", ")
        ));
        lines.line(format!("\"levels\": {},", self.wanted.levels));
        let run = quoted(hearing.run_of(&half_name(half)));
        lines.line(format!("\"run\": {run},"));
        // Without a stream nothing spills.
        let spill = match stream.is_built {
            true => format!("stream {number}"),
            false => "unsorted".to_owned(),
        };
        lines.line(format!("\"spill\": {},", quoted(&spill)));
        lines.line(format!("\"beyond\": {},", quoted(&beyond)));
        lines.line(format!("\"leaves_at\": {leaves_at},"));
        // Else boxes above a rack could not be got out until others come.
        let mut wake = Vec::new();
        if !self.desks(stream).is_empty() {
            wake.push(format!("counter {number}.permit"));
        }
        if half == 0 && self.wanted.has_hatch {
            wake.push("hatch.permit".to_owned());
        }
        if !wake.is_empty() {
            lines.line(format!("\"wake\": [{}],", listed(wake)));
        }
    }

    fn write_rooms(&self, hearing: &Hearing, lines: &mut Lines) {
        let relays = hearing.relays.iter().map(|(room, _)| room.clone());
        for room in self.rooms().into_iter().chain(relays) {
            lines.within(format!("{}: (", quoted(&room.name)), "),", |lines| {
                lines.line(format!("position: {},", block(room.at)));
                lines.line(format!("size: {},", block(room.size)));
                lines.line(format!("parts: [{}],", listed(&room.parts)));
            });
        }
    }

    fn shared_homes(&self) -> Vec<String> {
        let several = self.columns.iter().filter(|column| !column.spills);
        let mut kinds: Vec<usize> = several.map(|column| column.kind).collect();
        kinds.dedup();
        let name = |kind: usize| self.wanted.kinds[kind].name.clone();
        kinds.into_iter().map(name).collect()
    }
}

/// A module in use, with what is given to it.
pub(super) fn write_use(
    lines: &mut Lines,
    name: &str,
    module: &str,
    at: [i64; 3],
    with: impl FnOnce(&mut Lines),
) {
    lines.within(format!("{}: One(", quoted(name)), "),", |lines| {
        lines.line(format!("module: {},", quoted(module)));
        lines.line(format!("position: {},", block(at)));
        lines.within("with: {", "},", with);
    });
}

/// A stream: its path by the ends of its straight runs, with a source for every eight blocks.
fn write_stream(number: usize, stream: Stream, top: i64, lines: &mut Lines) {
    let path = stream.path(top);
    let sources = path.iter().skip(BLOCKS_A_SOURCE).step_by(BLOCKS_A_SOURCE);
    let sources: Vec<String> = sources.map(|at| block(*at)).collect();
    // A block at which it goes on as it came is no corner.
    let is_corner = |at: usize| {
        let (Some(before), Some(after)) = (at.checked_sub(1), path.get(at + 1)) else {
            return true;
        };
        (0..3).any(|axis| path[at][axis] - path[before][axis] != after[axis] - path[at][axis])
    };
    let corners = (0..path.len()).filter(|at| is_corner(*at));
    let corners: Vec<String> = corners.map(|at| block(path[at])).collect();
    lines.within(format!("\"stream {number}\": Stream("), "),", |lines| {
        lines.line(format!("mouth: \"overflow {number}.mouth\","));
        lines.line(format!("path: [{}],", corners.join(", ")));
        lines.line(format!("sources: [{}],", sources.join(", ")));
    });
}
