//! The description of a hall to plan, as it is written. What it means is the planner's business.

use std::path::Path;

use hallwright_scenario::parse_time;
use hallwright_text::diagnostic::{Diagnostic, tidy};
use hallwright_text::ids;
use hallwright_text::read::read_text;
use hallwright_text::source::{Sources, Span};
use hallwright_text::text::{self, Decode, Name, Node, Reader, choices, document};

/// A value with its place.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Written<T> {
    /// The value.
    pub value: T,
    /// Where it stands.
    pub span: Span,
}

impl Decode for Written<f64> {
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        let number: Option<f64> = ron::from_str(node.text).ok();
        let Some(value) = number.filter(|number| number.is_finite()) else {
            reader.wrong_type(node, "a number");
            return None;
        };
        let span = node.span;
        Some(Self { value, span })
    }
}

impl Decode for Written<u64> {
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        let Ok(value) = ron::from_str(node.text) else {
            reader.wrong_type(node, "a whole number, 0 or more");
            return None;
        };
        let span = node.span;
        Some(Self { value, span })
    }
}

impl Decode for Written<bool> {
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        let Ok(value) = ron::from_str(node.text) else {
            reader.wrong_type(node, "`true` or `false`");
            return None;
        };
        let span = node.span;
        Some(Self { value, span })
    }
}

impl Decode for Written<String> {
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        let name = Name::decode(node, reader)?;
        let span = name.span;
        Some(Self {
            value: name.text,
            span,
        })
    }
}

document! {
    /// The description of a hall.
    struct HallDocument {
        sides: Option<Written<u64>>,
        length_blocks: Option<Written<u64>>,
        rows: Option<Written<u64>>,
        lines: Option<Written<u64>>,
        stop_within: Option<Written<String>>,
        filler: Option<Written<String>>,
        families: Option<FamiliesDocument>,
        bulk_share: Option<Written<f64>>,
        growth: Option<GrowthDocument>,
        left_out: Vec<LeftOutDocument>,
        sight: Option<SightDocument>,
        boxes: Option<BoxesDocument>,
        bulk: Option<SliceDocument>,
        multi: Option<SliceDocument>,
        oddments: Option<SliceDocument>,
    }

    /// One sort of slice.
    struct SliceDocument {
        width_blocks: Written<u64>,
        slots: Written<u64>,
        kinds: Written<u64>,
        sections: Option<Written<u64>>,
    }

    /// Columns that keep bulk goods in boxes.
    struct BoxesDocument {
        levels: Written<u64>,
        hatch: Option<Written<bool>>,
    }

    /// Slices left out of the pattern.
    struct LeftOutDocument {
        slices: Written<String>,
        from: Written<u64>,
        count: Written<u64>,
    }

    /// Two display rows and who looks at them.
    struct SightDocument {
        eye_blocks: Written<f64>,
        distance_blocks: Written<f64>,
        lower_blocks: Written<f64>,
        upper_blocks: Written<f64>,
        view_degrees: Written<f64>,
    }

    /// New kinds a year.
    struct NewKindsDocument {
        a_year: Written<u64>,
        years: Written<u64>,
    }

    /// Free slices by sort.
    struct FreeSlicesDocument {
        bulk: Option<Written<u64>>,
        multi: Option<Written<u64>>,
        oddments: Option<Written<u64>>,
    }
}

impl text::Payload for Written<f64> {
    fn from_payload(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        let values = text::positions(node, 1, reader)?;
        Self::decode(values[0], reader)
    }
}

choices! {
    /// What is kept free for goods to come.
    enum GrowthDocument {
        /// A share of the slices in use.
        Share(Written<f64>),
        /// So many slices of each sort.
        Slices(FreeSlicesDocument),
        /// New kinds a year, for so many years.
        NewKinds(NewKindsDocument),
    }
}

choices! {
    /// What is done about families.
    enum FamiliesDocument {
        /// Nothing.
        Mixed,
        /// Goods of a family share slices.
        Together,
        /// And their slices are neighbours.
        Neighbours,
    }
}

/// How goods of one family are kept.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Families {
    /// Families count for nothing.
    Mixed,
    /// Goods of a family share slices.
    Together,
    /// Goods of a family share slices, and these stand next to one another.
    Neighbours,
}

/// What is kept free for goods to come.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Growth {
    /// A share of the slices in use.
    Share(Written<f64>),
    /// So many slices of each sort: bulk, multi, oddments.
    Slices([u64; 3]),
    /// New kinds a year, and the years.
    NewKinds(Written<u64>, Written<u64>),
}

/// One sort of slice as it is written.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct WrittenSlice {
    /// Its width in blocks.
    pub width_blocks: Written<u64>,
    /// How many slots it has.
    pub slots: Written<u64>,
    /// How many kinds it may take.
    pub kinds: Written<u64>,
    /// Into how many sections its line is divided, if that is laid down.
    pub sections: Option<Written<u64>>,
    /// Where it is written.
    pub span: Span,
}

/// Columns that keep bulk goods in boxes, as they are written.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct WrittenBoxes {
    /// How many double chests a column has.
    pub levels: Written<u64>,
    /// Whether the first kind is shown at a serving hatch.
    pub has_hatch: Option<bool>,
    /// Where it is written.
    pub span: Span,
}

/// Slices left out of the pattern.
#[derive(Clone, PartialEq, Debug)]
pub struct WrittenGap {
    /// Of which sort.
    pub slices: Written<String>,
    /// The number of the first, from 1 along its line.
    pub from: Written<u64>,
    /// How many.
    pub count: Written<u64>,
}

/// Two display rows and who looks at them.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct WrittenSight {
    /// Height of the eye.
    pub eye_blocks: Written<f64>,
    /// Distance of the eye from the wall with the rows.
    pub distance_blocks: Written<f64>,
    /// Height of the lower row.
    pub lower_blocks: Written<f64>,
    /// Height of the upper row.
    pub upper_blocks: Written<f64>,
    /// The vertical angle that is seen at once.
    pub view_degrees: Written<f64>,
}

/// The description of a hall as it is written. What is left out is `None`.
#[derive(Clone, PartialEq, Debug)]
pub struct WrittenHall {
    /// How many sides have slices.
    pub sides: Option<Written<u64>>,
    /// How long it is, if that is laid down.
    pub length_blocks: Option<Written<u64>>,
    /// In how many rows its lines stand at most, if that is laid down.
    pub rows: Option<Written<u64>>,
    /// How many lines there are in parallel, if that is laid down.
    pub lines: Option<Written<u64>>,
    /// The wished time from a stop until it is safe to close, in ticks.
    pub stop_within_ticks: Option<Written<u64>>,
    /// The goods that fill up item filters.
    pub filler: Option<Written<String>>,
    /// How families are kept.
    pub families: Option<Families>,
    /// The share of a multi-item slice's room above which goods are bulk.
    pub bulk_share: Option<Written<f64>>,
    /// What is kept free.
    pub growth: Option<Growth>,
    /// What is left out of the pattern.
    pub left_out: Vec<WrittenGap>,
    /// The sight line to be looked at.
    pub sight: Option<WrittenSight>,
    /// The columns that keep bulk goods in boxes, in place of bulk slices.
    pub boxes: Option<WrittenBoxes>,
    /// The sorts of slices: bulk, multi, oddments.
    pub slices: [Option<WrittenSlice>; 3],
    /// Where it is written.
    pub span: Span,
}

/// Reads the description of a hall. `None` if anything is wrong with it, which is reported.
pub fn read_hall(
    path: &Path,
    sources: &mut Sources,
    problems: &mut Vec<Diagnostic>,
) -> Option<WrittenHall> {
    match read_text(path) {
        Ok(text) => read_hall_text(path, text, sources, problems),
        Err((id, message)) => {
            problems.push(Diagnostic::general(id, message));
            None
        }
    }
}

/// Reads a hall from a text that is at hand; the path is for messages.
pub fn read_hall_text(
    path: &Path,
    text: String,
    sources: &mut Sources,
    problems: &mut Vec<Diagnostic>,
) -> Option<WrittenHall> {
    let file = sources.add(path, text);
    let mut reported = Vec::new();
    let document: Option<HallDocument> = text::read(file, &sources.file(file).text, &mut reported);
    let hall = document.map(|document| document.written(&mut reported));
    let is_sound = reported.is_empty();
    tidy(&mut reported);
    problems.append(&mut reported);
    hall.filter(|_| is_sound)
}

impl HallDocument {
    fn written(self, problems: &mut Vec<Diagnostic>) -> WrittenHall {
        let stop_within_ticks = self.stop_within.and_then(|time| {
            let ticks = parse_time(&time.value, TICKS_PER_SECOND);
            match ticks.map(u64::try_from) {
                Ok(Ok(value)) => Some(Written {
                    value,
                    span: time.span,
                }),
                wrong => {
                    let message = match wrong {
                        Err(message) => message,
                        Ok(_) => "a time cannot be negative here".to_owned(),
                    };
                    let problem = Diagnostic::error(ids::BAD_TIME, time.span, message);
                    let help = "write ticks `600t` or seconds `30s`".to_owned();
                    problems.push(problem.help(help));
                    None
                }
            }
        });
        WrittenHall {
            sides: self.sides,
            length_blocks: self.length_blocks,
            rows: self.rows,
            lines: self.lines,
            stop_within_ticks,
            filler: self.filler,
            families: self.families.map(FamiliesDocument::written),
            bulk_share: self.bulk_share,
            growth: self.growth.map(GrowthDocument::written),
            left_out: self
                .left_out
                .into_iter()
                .map(LeftOutDocument::written)
                .collect(),
            sight: self.sight.map(SightDocument::written),
            boxes: self.boxes.map(|boxes| WrittenBoxes {
                levels: boxes.levels,
                has_hatch: boxes.hatch.map(|hatch| hatch.value),
                span: boxes.head,
            }),
            slices: [self.bulk, self.multi, self.oddments]
                .map(|slice| slice.map(SliceDocument::written)),
            span: self.head,
        }
    }
}

/// Halls are planned for the world's own rules.
const TICKS_PER_SECOND: u32 = 20;

impl SliceDocument {
    fn written(self) -> WrittenSlice {
        WrittenSlice {
            width_blocks: self.width_blocks,
            slots: self.slots,
            kinds: self.kinds,
            sections: self.sections,
            span: self.head,
        }
    }
}

impl LeftOutDocument {
    fn written(self) -> WrittenGap {
        WrittenGap {
            slices: self.slices,
            from: self.from,
            count: self.count,
        }
    }
}

impl SightDocument {
    fn written(self) -> WrittenSight {
        WrittenSight {
            eye_blocks: self.eye_blocks,
            distance_blocks: self.distance_blocks,
            lower_blocks: self.lower_blocks,
            upper_blocks: self.upper_blocks,
            view_degrees: self.view_degrees,
        }
    }
}

impl GrowthDocument {
    fn written(self) -> Growth {
        let number = |written: Option<Written<u64>>| written.map_or(0, |written| written.value);
        match self {
            Self::Share(share) => Growth::Share(share),
            Self::Slices(slices) => {
                Growth::Slices([slices.bulk, slices.multi, slices.oddments].map(number))
            }
            Self::NewKinds(kinds) => Growth::NewKinds(kinds.a_year, kinds.years),
        }
    }
}

impl FamiliesDocument {
    fn written(self) -> Families {
        match self {
            Self::Mixed => Families::Mixed,
            Self::Together => Families::Together,
            Self::Neighbours => Families::Neighbours,
        }
    }
}
