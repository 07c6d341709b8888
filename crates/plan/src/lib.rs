//! Plans a storage hall: from a catalogue of goods to slices, a length, a parts list and a scenario.
//!
//! 1. [`catalogue`] and [`hall`] read what is wanted; every mistake is reported with its place.
//! 2. [`allocate`] gives every sort of goods its place, [`fit`] adds what is kept free, [`sections`] divides the lines
//!    so that the hall stops in time, [`lay`] says where they stand, [`sight`] looks at the display.
//! 3. [`write`](mod@write) makes a scenario of it, with tables that its rows read. Loaded again by the
//!    scenario's own crate, it gives the network that [`parts`] counts.
//!
//! Nothing here is left to chance: planned twice, it is byte for byte the same. No file is written
//! either; that is the command's business.

pub mod allocate;
pub mod boxes;
pub mod catalogue;
pub mod changes;
pub mod fit;
pub mod flow;
pub mod hall;
pub mod ids;
pub mod kept;
pub mod lay;
pub mod parts;
pub mod proof;
pub mod report;
pub mod schedule;
pub mod sections;
pub mod sight;
pub mod stamp;
pub mod why;
pub mod wing;
pub mod write;
pub mod written;

use hallwright_scenario::Diagnostic;

use allocate::Allocation;
use catalogue::Catalogue;
use fit::{FittedLine, MOST_FREE, Place};
use hall::{Hall, MOST_LINES, Sort};
use kept::Kept;
use lay::{Laid, Layout};
use wing::PlannedWing;

/// A planned hall.
#[derive(Clone, PartialEq, Debug)]
pub struct Plan {
    /// What the scenario is called.
    pub title: String,
    /// The goods.
    pub catalogue: Catalogue,
    /// The hall as it was described.
    pub hall: Hall,
    /// Which goods go into which slice.
    pub allocation: Allocation,
    /// What each place along the lines is for.
    pub lines: Vec<FittedLine>,
    /// Where the sections of the lines stand, in the order in which goods pass them.
    pub layout: Layout,
    /// The wing for what is kept in boxes, if anything is.
    pub wing: Option<PlannedWing>,
}

impl Plan {
    /// The line of a sort.
    #[must_use]
    pub fn line(&self, sort: Sort) -> Option<&FittedLine> {
        self.lines.iter().find(|line| line.sort == sort)
    }

    /// The chests in which ends what no slice takes, one for each parallel line.
    #[must_use]
    pub fn unsorted(&self) -> Vec<String> {
        let lines = 1..=self.layout.unsorted.len();
        let name = |line| match line {
            1 => "unsorted".to_owned(),
            line => format!("unsorted {line}"),
        };
        lines.map(name).collect()
    }

    /// Where loose goods come in, as scenarios write it; `None` if the hall has no line.
    #[must_use]
    pub fn inlet(&self) -> Option<String> {
        let firsts: Vec<&Laid> = self.layout.firsts().collect();
        match &firsts[..] {
            [] => None,
            [first] => Some(format!("{} head.inlet", first.section.name)),
            _ => Some("fork.inlet".to_owned()),
        }
    }

    /// The time from a stop until it is safe to close, at most.
    #[must_use]
    pub fn stop_ticks(&self) -> u64 {
        let laid = self.layout.laid.iter().map(Laid::stop_ticks);
        let wing = self.wing.iter();
        let wing = wing.map(|wing| wing.wing.measures().stop_at_most_ticks);
        laid.chain(wing).max().unwrap_or(0)
    }

    /// The sections that have slices.
    pub fn sections(&self) -> impl Iterator<Item = (&Laid, Sort)> {
        let laid = self.layout.laid.iter();
        laid.filter_map(|laid| Some((laid, laid.section.sort?)))
    }

    /// What a slice is called: its section, and its number along the line of its sort.
    #[must_use]
    pub fn slice_name(&self, sort: Sort, number: usize) -> String {
        let line = self
            .line(sort)
            .filter(|_| !flow::is_boxed(&self.hall, sort));
        let place = line.and_then(|line| line.place_of(number));
        let mut sections = self.sections();
        let found = place.and_then(|place| {
            let (laid, _) = sections.find(|(laid, of)| {
                let own = laid.section.first..laid.section.first + laid.section.places;
                *of == sort && own.contains(&place)
            })?;
            Some((laid.section.name.as_str(), place))
        });
        match found {
            Some((section, place)) => format!("{section}, {}", place + 1),
            None => format!("{}, {}", report::BOXES, number + 1),
        }
    }

    /// The slices of a section that are in use: which of its places each has, and its goods, as numbers in the
    /// catalogue.
    pub fn used<'p>(
        &'p self,
        laid: &'p Laid,
        sort: Sort,
    ) -> impl Iterator<Item = (usize, &'p Vec<usize>)> + Clone {
        let places = self.line(sort).map_or(&[][..], |line| &line.places[..]);
        let section = &laid.section;
        let own = places.iter().skip(section.first).take(section.places);
        let slices = &self.allocation.lines[sort.index()].slices;
        own.enumerate().filter_map(move |(at, place)| match place {
            Place::Used(number) => Some((at, &slices[*number])),
            Place::Free | Place::LeftOut => None,
        })
    }
}

/// One file of a planned hall.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PlannedFile {
    /// Its name.
    pub name: &'static str,
    /// Its text.
    pub text: String,
}

/// The file with the scenario itself.
pub const SCENARIO_FILE: &str = "scenario.ron";

/// The table of one stack of every kind.
pub const ARRIVALS_FILE: &str = "arrivals.csv";

/// The table of the whole stock.
pub const STOCK_FILE: &str = "stock.csv";

/// Plans a hall. `None` if the goods do not fit, which is reported; so is whatever is worth a warning.
pub fn plan(
    title: String,
    catalogue: Catalogue,
    hall: Hall,
    problems: &mut Vec<Diagnostic>,
) -> Option<Plan> {
    continued(title, catalogue, hall, None, problems)
}

/// As [`plan`]; what lies in a hall that is kept stays there.
pub fn continued(
    title: String,
    catalogue: Catalogue,
    mut hall: Hall,
    kept: Option<&Kept>,
    problems: &mut Vec<Diagnostic>,
) -> Option<Plan> {
    if hall.lines == 0 {
        hall.lines = flow::lines_needed(&catalogue, &hall).min(MOST_LINES);
    }
    let allocation = allocate::allocate(&catalogue, &hall, kept, problems)?;
    if fit::has_too_many_free(&allocation, &hall) {
        let message = format!("the growth comes to more than {MOST_FREE} free slices of a sort");
        let problem = Diagnostic::general(ids::OUT_OF_RANGE, message);
        problems.push(problem.help("wish for less `growth`".to_owned()));
        return None;
    }
    // Rows as long as before, so that what stands there stands where it stood.
    let before = kept.and_then(|kept| stand(&allocation, &kept.as_long(&hall)?, &mut Vec::new()));
    let (lines, layout) = match before {
        Some(before) => before,
        None => stand(&allocation, &hall, problems)?,
    };
    let reported = problems.len();
    flow::check(&catalogue, &hall, &allocation, &layout, &lines, problems);
    if problems.len() > reported {
        return None;
    }
    if hall.lines > 1 && layout.laid.iter().all(|laid| laid.section.line == 0) {
        // There is nothing for a second line to lead to.
        hall.lines = 1;
        return continued(title, catalogue, hall, kept, problems);
    }
    let wing = match wing::wing(&catalogue, &hall, &allocation, &layout) {
        Ok(wing) => wing,
        Err(error) => {
            let slice = hall.slice(Sort::Bulk)?;
            let problem = Diagnostic::error(ids::OUT_OF_RANGE, slice.span, error.to_string());
            problems.push(problem);
            return None;
        }
    };
    let plan = Plan {
        title,
        catalogue,
        hall,
        allocation,
        lines,
        layout,
        wing,
    };
    warn_of_slow_stop(&plan, problems);
    check_sides(&plan, problems).then_some(plan)
}

/// The warning of a stop that takes longer than wished.
fn warn_of_slow_stop(plan: &Plan, problems: &mut Vec<Diagnostic>) {
    let laid = plan.layout.laid.iter();
    let stops = laid.map(|laid| {
        let stop = (laid.stop_ticks(), laid.section.name.as_str());
        (stop, laid.section.sort)
    });
    let wing = plan.wing.iter().map(|wing| {
        let ticks = wing.wing.measures().stop_at_most_ticks;
        ((ticks, "the box wing"), Some(Sort::Bulk))
    });
    let Some(((ticks, name), sort)) = stops.chain(wing).max_by_key(|(stop, _)| stop.0) else {
        return;
    };
    let wished = plan.hall.stop_within_ticks;
    if ticks <= wished {
        return;
    }
    let own = sort.and_then(|sort| plan.hall.slice(sort));
    let Some(slice) = own.or_else(|| plan.hall.slices.iter().flatten().next()) else {
        return;
    };
    let message = format!("a stop of {name} takes up to {ticks} ticks, and {wished} are wished");
    let help = if slice.box_levels.is_some() {
        "fewer `levels` stop earlier, or allow more time with `stop_within`"
    } else {
        "divide them into more `sections`, or allow more time with `stop_within`"
    };
    let problem = Diagnostic::warning(ids::SLOW_STOP, slice.span, message);
    problems.push(problem.help(help.to_owned()));
}

/// Whether goods with a wish for a side stand there. Reports those that do not: that a line became longer may have
/// turned it.
fn check_sides(plan: &Plan, problems: &mut Vec<Diagnostic>) -> bool {
    let reported = problems.len();
    for (laid, sort) in plan.sections() {
        let side = laid.side_of_aisle(plan.hall.sides);
        for number in plan.used(laid, sort).flat_map(|(_, goods)| goods) {
            let good = &plan.catalogue.goods[*number];
            if good.wish.side.is_some_and(|wished| wished != side) {
                let message = format!("`{}` would stand on side {side}", good.name);
                let problem = Diagnostic::error(ids::BAD_WISH, good.wish_span, message);
                let help = "wish for no side, or for a slice that is on the other one";
                problems.push(problem.help(help.to_owned()));
            }
        }
    }
    problems.len() == reported
}

/// Lays out what is in use and as much of the reserve as there is room for. `None` if there is too little room for what is
/// in use, which is reported; a short reserve is warned of.
fn stand(
    allocation: &Allocation,
    hall: &Hall,
    problems: &mut Vec<Diagnostic>,
) -> Option<(Vec<FittedLine>, Layout)> {
    let laid_with = |reserve_tenths: u64| {
        let lines = fit::fit(allocation, hall, reserve_tenths);
        let sections = sections::sections(&lines, hall);
        lay::lay(&sections, hall).map(|layout| (lines, layout))
    };
    let wished = match laid_with(10) {
        Ok(laid) => return Some(laid),
        Err(wished) => wished,
    };
    let would_do = |choice: &Option<lay::LengthChoice>| {
        choice.map(|choice| {
            let (blocks, rows) = (choice.length_blocks, choice.rows);
            format!("{blocks} blocks in {rows} rows have room for it")
        })
    };
    let span = hall
        .length_blocks
        .or(hall.rows)
        .map(|laid_down| laid_down.span);
    let report = |id, message: &str, is_error: bool| match span {
        Some(span) if is_error => Diagnostic::error(id, span, message),
        Some(span) => Diagnostic::warning(id, span, message),
        None => Diagnostic::general(id, message),
    };
    for tenths in (0..10).rev() {
        if let Ok(laid) = laid_with(tenths) {
            let problem = report(
                ids::SHORT_RESERVE,
                "there is too little room for the reserve",
                false,
            );
            problems.push(problem.help(would_do(&wished)));
            return Some(laid);
        }
    }
    let needed = laid_with(0).err().flatten();
    let problem = report(ids::TOO_SHORT, "the hall is too short for the goods", true);
    let help = would_do(&needed).map(|help| match would_do(&wished) {
        Some(wished) if wished != help => format!("{help}; with the reserve, {wished}"),
        _ => help,
    });
    problems.push(problem.help(help));
    None
}

/// The scenario of a plan, with the files that it reads.
#[must_use]
pub fn scenario_files(plan: &Plan) -> Vec<PlannedFile> {
    let schedule = schedule::schedule(plan);
    let file = |name, text| PlannedFile { name, text };
    let mut files = vec![
        file(SCENARIO_FILE, write::scenario(plan, &schedule)),
        file("allocation.csv", write::allocation(plan)),
        file(ARRIVALS_FILE, write::stacks(plan, &schedule)),
        file(STOCK_FILE, write::stock(plan)),
        file("modules.ron", write::MODULES.to_owned()),
    ];
    if let Some(text) = wing::text(plan) {
        files.push(file(boxes::WING_FILE, text.module_file));
        files.push(file(boxes::MODULES_FILE, boxes::MODULES.to_owned()));
    }
    files
}
