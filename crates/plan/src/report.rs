//! What is said of a plan: everything that the text and the JSON show, worked out once.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::Plan;
use crate::allocate::main_family;
use crate::boxes::items_a_box;
use crate::changes::ChangesReport;
use crate::fit::Place;
use crate::flow::{self, Filling};
use crate::hall::Sort;
use crate::lay::Laid;
use crate::parts::{Counts, Materials, Parts};
use crate::proof::Proof;
use crate::sight::{SeenFrom, Sight};
use crate::why::{GoodReport, reasons};
use crate::wing::PlannedWing;

/// Counts up when a field of the JSON changes its meaning or goes away.
pub const SCHEMA_VERSION: u32 = 3;

/// There are 20 ticks in a second.
pub const TICKS_PER_SECOND: u64 = 20;

/// The report of a plan. Field names carry their units.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct PlanReport {
    /// [`SCHEMA_VERSION`].
    pub schema_version: u32,
    /// What the hall is called.
    pub title: String,
    /// How many kinds there are.
    pub kinds: usize,
    /// How many sides have slices.
    pub sides: u64,
    /// How many lines there are in parallel.
    pub lines: u64,
    /// How many the loose goods need.
    pub lines_needed: u64,
    /// How many rows there are beside one another.
    pub rows: u64,
    /// How long a row may be, with the turn at its end.
    pub length_blocks: u64,
    /// The slices, sort by sort.
    pub slices: Vec<SliceReport>,
    /// Lengths to choose from.
    pub lengths: Vec<LengthReport>,
    /// What comes in, and what is full when.
    pub flow: FlowReport,
    /// The sections of the lines.
    pub sections: Vec<SectionReport>,
    /// The wing for what is kept in boxes, if anything is.
    pub wing: Option<WingReport>,
    /// The wished time from a stop until it is safe to close.
    pub stop_wished_ticks: u64,
    /// What came of it when it was run; `None` if it was not.
    pub proof: Option<Proof>,
    /// The sight line, if the hall describes one.
    pub sight: Option<SightReport>,
    /// The parts list.
    pub parts: PartsReport,
    /// The raw materials, if a costs table was given.
    pub materials: Option<MaterialsReport>,
    /// What lies where, in the order of the line.
    pub allocation: Vec<PlaceReport>,
    /// Why each kind lies where it lies, in the order of the catalogue.
    pub goods: Vec<GoodReport>,
    /// What changed, if the hall continues another.
    pub kept: Option<ChangesReport>,
    /// The digest of each file as it was written, by its name. So it is known which ones were edited.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub files: BTreeMap<String, String>,
}

/// One sort of slices.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct SliceReport {
    /// The sort.
    pub sort: &'static str,
    /// The width of one.
    pub width_blocks: u64,
    /// How many kinds are in them.
    pub kinds: usize,
    /// How many are in use.
    pub used_slices: u64,
    /// So many there must be at least.
    pub lower_bound_slices: usize,
    /// How many more than that are in use.
    pub above_bound_slices: usize,
    /// How many would be in use if families counted for nothing.
    pub without_families_slices: usize,
    /// How many are wished to be free.
    pub reserve_slices: u64,
    /// How many places are left out of the pattern.
    pub left_out_slices: u64,
    /// How many are free: their line is built, their filters and chests are not.
    pub free_slices: u64,
    /// What they hold of what they can hold, in stacks.
    pub used_stacks: u64,
    /// What those in use can hold.
    pub room_stacks: u64,
}

/// One length to choose.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct LengthReport {
    /// In so many rows
    pub rows: u64,
    /// the hall is at least so long.
    pub length_blocks: u64,
    /// Whether this is the planned length.
    pub is_planned: bool,
}

/// What comes in.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct FlowReport {
    /// All that comes down the line, in thousandths of an item an hour.
    pub inflow_thousandths_per_hour: u64,
    /// What comes in full boxes, in thousandths of an item an hour.
    pub boxed_thousandths_per_hour: u64,
    /// How many full boxes that is, in thousandths of a box an hour. As many empty ones are needed to fill them, and come
    /// back once they are emptied.
    pub boxes_thousandths_per_hour: u64,
    /// What a line carries.
    pub line_thousandths_per_hour: u64,
    /// The share of that, in tenths of a percent, rounded up.
    pub share_permille: u64,
    /// How many slices are full first, if all were empty and nothing was taken out.
    pub filling: Vec<FillingReport>,
}

/// When a slice would be full.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct FillingReport {
    /// Its section and its number.
    pub slice: String,
    /// Its kinds.
    pub kinds: Vec<String>,
    /// After so many hours, rounded down.
    pub full_after_hours: u64,
    /// How many hours of what it takes fill the overflow behind it: the chest for what no slice takes, or that of the
    /// box wing. `None` if what finds it full goes on to the next slice of its kind.
    pub overflow_full_after_hours: Option<u64>,
}

/// One section.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct SectionReport {
    /// Its name.
    pub name: String,
    /// In which of the parallel lines it is, from 1.
    pub line: u64,
    /// In which row it is, from 1; a way from row to row is in the one that it comes from.
    pub row: u64,
    /// How many places for slices it has.
    pub places: usize,
    /// How many hoppers its line has.
    pub line_hoppers: u64,
    /// What passes its head, in thousandths of an item an hour.
    pub inflow_thousandths_per_hour: u64,
    /// The share of what a line carries, in tenths of a percent, rounded up.
    pub share_permille: u64,
    /// From a stop until it is safe to close, at most.
    pub stop_at_most_ticks: u64,
}

/// The box wing.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct WingReport {
    /// How many columns it has.
    pub columns: usize,
    /// How many boxes have room in each.
    pub boxes_a_column: u64,
    /// The block with the smallest coordinates that it fills.
    pub from: [i64; 3],
    /// How many blocks long (x), high (y) and deep (z) it is.
    pub blocks: [u64; 3],
    /// From a stop until it is safe to close, at most.
    pub stop_at_most_ticks: u64,
}

/// The sight line.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct SightReport {
    /// Height of the eye.
    pub eye_blocks: f64,
    /// Distance from the wall.
    pub distance_blocks: f64,
    /// Height of the lower row.
    pub lower_blocks: f64,
    /// Height of the upper row.
    pub upper_blocks: f64,
    /// What is seen at once.
    pub view_degrees: f64,
    /// Whether both rows are.
    pub is_seen: bool,
    /// Both are seen from here and nearer; `None` if there is no such place.
    pub seen_up_to_blocks: Option<f64>,
    /// Both are seen from here and farther; 0 if from everywhere.
    pub seen_from_blocks: f64,
}

/// The parts list.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct PartsReport {
    /// Containers, hoppers and the like.
    pub items: Counts,
    /// What gives signals.
    pub signals: Counts,
    /// Goods that must lie in item filters from the start.
    pub goods_in_filters: u64,
    /// Slots of the containers of all slices.
    pub storage_slots: u64,
    /// Slots of other containers: buffers, the chest for the unsorted, and what stands in free slices.
    pub other_slots: u64,
    /// Hoppers on a block of the hall's length.
    pub hoppers_a_block: f64,
    /// Slots of slices for each hopper.
    pub storage_slots_a_hopper: f64,
}

/// The raw materials.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct MaterialsReport {
    /// How much of each.
    pub counts: Counts,
    /// Parts that the table has no costs of.
    pub without_costs: Vec<String>,
}

/// One place of a line.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct PlaceReport {
    /// The section.
    pub section: String,
    /// Its number along the line of its sort, from 1 at the input.
    pub slice: usize,
    /// The row, from 1 at the input; 0 in the box wing.
    pub row: u64,
    /// The side of its aisle, from 1.
    pub side: u64,
    /// The first block that it takes, from 0 at the input's end of the hall.
    pub first_block: u64,
    /// How many blocks it takes.
    pub width_blocks: u64,
    /// `used`, `free` or `left out`.
    pub state: &'static str,
    /// Its kinds.
    pub kinds: Vec<String>,
    /// The family with the greatest inflow.
    pub family: Option<String>,
    /// What its kinds need.
    pub used_stacks: u64,
    /// What it can hold.
    pub room_stacks: u64,
    /// What comes in, in thousandths of an item an hour.
    pub inflow_thousandths_per_hour: u64,
    /// After how many hours it is full, rounded down, if all were empty and nothing was taken out; `None` if nothing comes.
    pub full_after_hours: Option<u64>,
}

/// Works out the report.
#[must_use]
pub fn report(plan: &Plan, parts: &Parts, materials: Option<&Materials>) -> PlanReport {
    let layout = &plan.layout;
    let passing = flow::passing(plan);
    let sections = layout
        .laid
        .iter()
        .zip(passing)
        .map(|(laid, passing)| SectionReport {
            name: laid.section.name.clone(),
            line: laid.section.line + 1,
            row: laid.row + 1,
            places: laid.section.places,
            line_hoppers: laid.section.line_hoppers,
            inflow_thousandths_per_hour: passing.thousandths_per_hour,
            share_permille: passing.share_permille,
            stop_at_most_ticks: laid.stop_ticks(),
        });
    let lengths = layout.choices.iter().map(|choice| LengthReport {
        rows: choice.rows,
        length_blocks: choice.length_blocks,
        is_planned: choice.length_blocks == layout.length_blocks,
    });
    PlanReport {
        schema_version: SCHEMA_VERSION,
        title: plan.title.clone(),
        kinds: plan.catalogue.goods.len(),
        sides: plan.hall.sides,
        lines: plan.hall.lines,
        lines_needed: flow::lines_needed(&plan.catalogue, &plan.hall),
        rows: layout.rows,
        length_blocks: layout.length_blocks,
        slices: slices(plan),
        lengths: lengths.collect(),
        flow: flow_report(plan),
        sections: sections.collect(),
        stop_wished_ticks: plan.hall.stop_within_ticks,
        proof: None,
        sight: plan.hall.sight.as_ref().map(sight),
        parts: PartsReport {
            items: parts.items.clone(),
            signals: parts.signals.clone(),
            goods_in_filters: parts.goods,
            storage_slots: parts.storage_slots,
            other_slots: parts.other_slots,
            hoppers_a_block: rounded(parts.hoppers() as f64 / layout.length_blocks.max(1) as f64),
            storage_slots_a_hopper: rounded(
                parts.storage_slots as f64 / parts.hoppers().max(1) as f64,
            ),
        },
        materials: materials.map(|materials| MaterialsReport {
            counts: materials.counts.clone(),
            without_costs: materials.without_costs.clone(),
        }),
        allocation: plan
            .sections()
            .flat_map(|(laid, sort)| allocation(plan, laid, sort))
            .chain(columns(plan))
            .collect(),
        wing: plan.wing.as_ref().map(wing_report),
        goods: reasons(plan),
        kept: plan
            .allocation
            .changes
            .as_ref()
            .map(|changes| ChangesReport::new(plan, changes)),
        files: BTreeMap::new(),
    }
}

/// A number to two digits behind the point, as it is shown everywhere.
fn rounded(number: f64) -> f64 {
    (number * 100.0).round() / 100.0
}

fn slices(plan: &Plan) -> Vec<SliceReport> {
    let mut slices = Vec::new();
    for fitted in &plan.lines {
        let Some(slice) = plan.hall.slice(fitted.sort) else {
            continue;
        };
        let line = &plan.allocation.lines[fitted.sort.index()];
        slices.push(SliceReport {
            sort: fitted.sort.name(),
            width_blocks: slice.width_blocks,
            kinds: line.kinds(),
            used_slices: fitted.used,
            lower_bound_slices: line.lower_bound,
            above_bound_slices: line.distance(),
            without_families_slices: line.without_families,
            reserve_slices: fitted.reserve,
            left_out_slices: fitted.left_out(),
            free_slices: fitted.free(),
            used_stacks: line.stacks.iter().flatten().sum(),
            room_stacks: fitted.used * slice.room_stacks,
        });
    }
    slices
}

/// What the columns of the box wing are called, as a section.
pub const BOXES: &str = "bulk boxes";

/// So many slices are named that are full first.
const FIRST_FULL: usize = 5;

/// How many full boxes come in, in thousandths of a box an hour.
fn boxes_an_hour(plan: &Plan) -> u64 {
    let goods = plan.wing.iter().flat_map(|wing| &wing.goods);
    let goods = goods.map(|number| &plan.catalogue.goods[*number]);
    goods
        .map(|good| good.inflow_thousandths / items_a_box(u64::from(good.stack_limit)))
        .sum()
}

fn flow_report(plan: &Plan) -> FlowReport {
    let (inflow, boxed) = flow::inflow(&plan.catalogue, &plan.hall, &plan.allocation);
    let filling = flow::filling(plan, FIRST_FULL).into_iter();
    let filling = filling.map(|filling| filling_report(plan, &filling));
    FlowReport {
        inflow_thousandths_per_hour: inflow,
        boxed_thousandths_per_hour: boxed,
        boxes_thousandths_per_hour: boxes_an_hour(plan),
        line_thousandths_per_hour: flow::LINE_THOUSANDTHS_PER_HOUR,
        share_permille: (inflow * 1000).div_ceil(flow::LINE_THOUSANDTHS_PER_HOUR * plan.hall.lines),
        filling: filling.collect(),
    }
}

fn filling_report(plan: &Plan, filling: &Filling) -> FillingReport {
    let Filling {
        sort,
        number,
        hours,
    } = *filling;
    let goods = &plan.allocation.lines[sort.index()].slices[number];
    let kinds = goods.iter().map(|good| &plan.catalogue.goods[*good]);
    FillingReport {
        slice: plan.slice_name(sort, number),
        kinds: kinds.map(|good| good.name.clone()).collect(),
        full_after_hours: hours,
        overflow_full_after_hours: flow::overflow_hours(plan, sort, number),
    }
}

fn wing_report(planned: &PlannedWing) -> WingReport {
    let measures = planned.wing.measures();
    WingReport {
        columns: measures.columns,
        boxes_a_column: measures.boxes_a_column,
        from: [0, 1, 2].map(|axis: usize| planned.at[axis] + measures.from[axis]),
        blocks: measures.blocks,
        stop_at_most_ticks: measures.stop_at_most_ticks,
    }
}

/// The columns of the box wing, one after the other.
fn columns(plan: &Plan) -> Vec<PlaceReport> {
    let sort = Sort::Bulk;
    let (Some(wing), Some(slice)) = (&plan.wing, plan.hall.slice(sort)) else {
        return Vec::new();
    };
    let line = &plan.allocation.lines[sort.index()];
    let used = line.slices.iter().enumerate();
    let used = used.filter(|(_, goods)| !goods.is_empty());
    let places = used.zip(wing.wing.columns_at());
    let full = flow::full_after_hours(plan, sort);
    places
        .map(|((number, goods), x)| {
            let of_catalogue = goods.iter().map(|number| &plan.catalogue.goods[*number]);
            PlaceReport {
                section: BOXES.to_owned(),
                slice: number + 1,
                row: 0,
                side: 0,
                first_block: u64::try_from(wing.at[0] + x).unwrap_or(0),
                width_blocks: slice.width_blocks,
                state: "used",
                kinds: of_catalogue.clone().map(|good| good.name.clone()).collect(),
                family: main_family(&plan.catalogue, goods).map(str::to_owned),
                used_stacks: line.stacks_of(number),
                room_stacks: slice.room_stacks,
                inflow_thousandths_per_hour: of_catalogue.map(|good| good.inflow_thousandths).sum(),
                full_after_hours: full[number],
            }
        })
        .collect()
}

fn sight(sight: &Sight) -> SightReport {
    let (near, far) = match sight.seen_from() {
        SeenFrom::Everywhere => (None, 0.0),
        SeenFrom::Beyond(far) => (None, far),
        SeenFrom::NearOrBeyond(near, far) => (Some(near), far),
    };
    SightReport {
        eye_blocks: sight.eye_blocks,
        distance_blocks: sight.distance_blocks,
        lower_blocks: sight.lower_blocks,
        upper_blocks: sight.upper_blocks,
        view_degrees: sight.view_degrees,
        is_seen: sight.is_seen(),
        seen_up_to_blocks: near.map(rounded),
        seen_from_blocks: rounded(far),
    }
}

fn allocation(plan: &Plan, laid: &Laid, sort: Sort) -> Vec<PlaceReport> {
    let (Some(line), Some(slice)) = (plan.line(sort), plan.hall.slice(sort)) else {
        return Vec::new();
    };
    let section = &laid.section;
    let own = &plan.allocation.lines[sort.index()];
    let full = flow::full_after_hours(plan, sort);
    let places = 0..section.places;
    let places = places.map(|at| {
        let (state, used) = match line.places[section.first + at] {
            Place::Used(number) => ("used", Some(number)),
            Place::Free => ("free", None),
            Place::LeftOut => ("left out", None),
        };
        let goods = used.map_or(&[][..], |number| &own.slices[number]);
        // What comes in comes to the first of the slices of its kind.
        let coming = goods
            .iter()
            .filter(|good| used.is_some_and(|number| own.is_first(number, **good)));
        let blocks = i64::try_from(slice.width_blocks).unwrap_or(i64::MAX);
        let step = i64::from(laid.forward.step().x);
        let begins = i64::from(laid.at.x) + step * blocks * at as i64;
        let ends = begins + step * (blocks - 1);
        let of_catalogue = goods.iter().map(|number| &plan.catalogue.goods[*number]);
        PlaceReport {
            section: section.name.clone(),
            slice: section.first + at + 1,
            row: laid.row + 1,
            side: laid.side_of_aisle(plan.hall.sides),
            first_block: u64::try_from(begins.min(ends)).unwrap_or(0),
            width_blocks: slice.width_blocks,
            state,
            kinds: of_catalogue.map(|good| good.name.clone()).collect(),
            family: main_family(&plan.catalogue, goods).map(str::to_owned),
            used_stacks: used.map_or(0, |number| own.stacks_of(number)),
            room_stacks: slice.room_stacks,
            inflow_thousandths_per_hour: coming
                .map(|number| plan.catalogue.goods[*number].inflow_thousandths)
                .sum(),
            full_after_hours: used.and_then(|number| full[number]),
        }
    });
    places.collect()
}
