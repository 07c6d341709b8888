//! Where boxes are asked for: a desk and a loader for each kind, a barge that goes round them, and the
//! counter to which it brings what it fetched.

use super::hearing::Hearing;
use super::lines::{Lines, block, listed, quoted};
use super::rooms::counter_name;
use super::text::write_use;
use super::{COLUMNS_A_HALF, Stream, Wing, x_of_half};

/// How long the barge is on its way from dock to dock, and home from the last one, in ticks.
const BARGE_TICKS: u64 = 40;
pub(super) const BARGE_HOME_TICKS: u64 = 80;

/// Where a kind is asked for.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Desk {
    /// The number of the kind.
    pub(super) kind: usize,
    /// The number of its first column, below which it stands.
    column: usize,
}

impl Desk {
    /// What its loader is called in the wing.
    pub(super) fn name(self) -> String {
        format!("loader {}", self.kind)
    }

    /// The number of its half, and of its column there.
    pub(super) fn half(self) -> usize {
        self.column / COLUMNS_A_HALF
    }

    fn column_of_half(self) -> usize {
        self.column % COLUMNS_A_HALF
    }

    /// Where it stands along x.
    fn x(self) -> i64 {
        x_of_half(self.half()) + self.column_of_half() as i64
    }
}

impl Wing {
    /// The desks behind a stream's halves: of each kind whose first column is there. One barge goes round
    /// them.
    pub(super) fn desks(&self, stream: Stream) -> Vec<Desk> {
        if self.wanted.tally_name.is_none() {
            return Vec::new();
        }
        let first = stream.first_half * COLUMNS_A_HALF;
        let columns = self.columns.iter().enumerate().skip(first);
        let columns = columns.take(stream.halves * COLUMNS_A_HALF);
        // Below the very first column there may be a hatch.
        let is_first = |at: usize| match at {
            0 => !self.wanted.has_hatch,
            _ => self.columns[at - 1].spills,
        };
        let first_ones = columns.filter(|(at, _)| is_first(*at));
        let desk = |(column, of): (usize, &super::Column)| Desk {
            kind: of.kind,
            column,
        };
        first_ones.map(desk).collect()
    }

    /// The barge of a stream's halves, as long as its way.
    pub(super) fn write_barge(&self, number: usize, stream: Stream, lines: &mut Lines) {
        let desks = self.desks(stream);
        let Some(last) = desks.last() else {
            return;
        };
        let x = x_of_half(stream.first_half);
        let (at, long) = (block([x, -4, -1]), last.x() - x + 1);
        let open =
            format!("\"barge {number}\": Shuttle(position: {at}, size: ({long}, 1, 1), stops: [");
        let stop = |dock: &str, travel: u64, release: &str| {
            format!(
                "(dock: {dock:?}, travel: \"{travel}t\", dwell: \"20t\", release: {release:?}),"
            )
        };
        lines.within(open, "]),", |lines| {
            let counter = counter_name(number);
            let (home, send) = (format!("{counter}.home"), format!("{counter}.send"));
            lines.line(stop(&home, BARGE_HOME_TICKS, &send));
            for desk in desks {
                let name = desk.name();
                let (dock, go_on) = (format!("{name}.dock"), format!("{name}.go on"));
                lines.line(stop(&dock, BARGE_TICKS, &go_on));
            }
        });
    }

    /// The loaders of a stream's halves, each with its desk, and their counter.
    pub(super) fn write_desks(
        &self,
        number: usize,
        stream: Stream,
        hearing: &Hearing,
        lines: &mut Lines,
    ) {
        let desks = self.desks(stream);
        let tally = self.wanted.tally_name.as_ref();
        let Some(tally) = tally.filter(|_| !desks.is_empty()) else {
            return;
        };
        let counter = counter_name(number);
        for desk in &desks {
            let at = [desk.x(), -1, 0];
            write_use(lines, &desk.name(), "box loader", at, |lines| {
                let (half, column) = (desk.half(), desk.column_of_half());
                let kind = quoted(&self.wanted.kinds[desk.kind].name);
                lines.line(format!("\"store\": \"half {half}.column[{column}].rack\","));
                lines.line(format!("\"kind\": {kind},"));
                lines.line(format!("\"tally\": {},", quoted(tally)));
                for port in ["permit", "beat", "counter"] {
                    lines.line(format!("\"{port}\": \"{counter}.{port}\","));
                }
            });
        }
        let at = [x_of_half(stream.first_half), 0, 0];
        write_use(lines, &counter, "box counter", at, |lines| {
            let kinds = desks.iter();
            let kinds = kinds.map(|desk| quoted(&self.wanted.kinds[desk.kind].name));
            lines.line(format!("\"run\": {},", quoted(hearing.run_of(&counter))));
            lines.line(format!("\"barge\": \"barge {number}\","));
            lines.list("\"kinds\"", kinds);
            for (list, part) in [("fetches", "fetch"), ("stages", "stage"), ("works", "work")] {
                let parts = listed(desks.iter().map(|desk| format!("{}.{part}", desk.name())));
                lines.line(format!("\"{list}\": [{parts}],"));
            }
        });
    }
}
