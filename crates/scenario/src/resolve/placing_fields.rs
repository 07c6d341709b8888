//! Which of the fields that say where a part stands its sort has a use for.

use super::Resolver;
use super::sort;
use crate::diagnostic::Diagnostic;
use crate::document::{PartDocument, PlacingDocument};
use crate::ids;
use crate::source::Span;

/// A field, whether a part has a use for it, and who has.
struct Field {
    name: &'static str,
    span: fn(&PlacingDocument) -> Option<Span>,
    fits: fn(&PartDocument) -> bool,
    who: &'static str,
}

const FIELDS: [Field; 9] = [
    Field {
        name: "faces",
        span: |placing| Some(placing.faces.as_ref()?.span),
        fits: |part| {
            use PartDocument as P;
            matches!(part, P::Hopper(_) | P::Dropper(_) | P::Dispenser(_))
                || matches!(part, P::Observer(_) | P::Repeater(_) | P::Comparator(_))
        },
        who: "hoppers, droppers, dispensers, observers, repeaters and comparators",
    },
    Field {
        name: "along",
        span: |placing| Some(placing.along.as_ref()?.span),
        fits: |part| {
            matches!(
                part,
                PartDocument::DoubleChest(_) | PartDocument::Container(_)
            )
        },
        who: "double chests",
    },
    Field {
        name: "on",
        span: |placing| Some(placing.on.as_ref()?.span),
        fits: |part| {
            use PartDocument as P;
            matches!(part, P::Inverter(_) | P::Lever(_) | P::Button(_))
        },
        who: "inverters, levers and buttons",
    },
    Field {
        name: "path",
        span: |placing| Some(placing.path.first()?.span),
        fits: |part| {
            use PartDocument as P;
            matches!(part, P::Stream(_) | P::Wire(_) | P::Mouth(_))
        },
        who: "streams, wires and mouths",
    },
    Field {
        name: "sources",
        span: |placing| Some(placing.sources.first()?.span),
        fits: |part| matches!(part, PartDocument::Stream(_)),
        who: "streams",
    },
    Field {
        name: "apart",
        span: |placing| Some(placing.apart.as_ref()?.span),
        fits: |part| matches!(part, PartDocument::Chest(_)),
        who: "single chests",
    },
    Field {
        name: "drawn",
        span: |placing| Some(placing.drawn.as_ref()?.span),
        fits: |part| matches!(part, PartDocument::Wire(_)),
        who: "wires",
    },
    Field {
        name: "size",
        span: |placing| Some(placing.size.as_ref()?.span),
        fits: is_box,
        who: "what is taken at its word",
    },
    Field {
        name: "sides",
        span: |placing| Some(placing.sides.list.first()?.name.span),
        fits: is_box,
        who: "what is taken at its word",
    },
];

/// Whether a part is a box of which only the behaviour is declared.
fn is_box(part: &PartDocument) -> bool {
    use PartDocument as P;
    matches!(part, P::Selector(_) | P::Dock(_) | P::Shuttle(_))
        || matches!(part, P::Hold(_) | P::Latch(_) | P::Toggle(_) | P::AllOf(_))
        || matches!(part, P::NoneOf(_) | P::Clock(_) | P::DelayLine(_))
}

impl Resolver<'_> {
    /// Reports every field that says nothing of a part of this sort, and a path beside a position.
    pub(super) fn check_placing_fields(&mut self, placing: &PlacingDocument, part: &PartDocument) {
        for field in &FIELDS {
            let Some(span) = (field.span)(placing).filter(|_| !(field.fits)(part)) else {
                continue;
            };
            let (name, sort) = (field.name, sort::in_words(part));
            let message = format!("`{name}` says nothing of {sort}");
            let help = format!("leave it out; only {} have it", field.who);
            let problem = Diagnostic::error(ids::UNKNOWN_FIELD, span, message);
            self.problems.report(problem.help(help));
        }
        if let (Some(position), false) = (&placing.position, placing.path.is_empty()) {
            self.report_one_of(position.span, "`position` and `path`", 2);
        }
    }
}
