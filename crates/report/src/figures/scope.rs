//! Of what a figure is reported.

use crate::findings::Measured;

/// Of what a figure is measured, by its place in the findings.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Of {
    /// All of the design.
    Whole,
    /// A flow.
    Flow(usize),
    /// Sections together.
    Sections(Vec<usize>),
    /// A lamp.
    Lamp(usize),
    /// A desk: its slowest request.
    Desk(usize),
    /// A request at a desk.
    Request(usize, usize),
    /// A gather.
    Gather(usize),
    /// A declaration of open places.
    Open(usize),
    /// The contents that a goal asks for, by the place of the goal.
    Contents(usize),
}

impl Of {
    /// A section, or all of the design.
    #[must_use]
    pub fn section(section: Option<usize>) -> Self {
        section.map_or(Self::Whole, |section| Self::Sections(vec![section]))
    }

    /// The sections that it is about.
    pub(super) fn sections(&self, found: &Measured) -> Vec<usize> {
        match self {
            Self::Sections(sections) => sections.clone(),
            _ => (0..found.sections.len()).collect(),
        }
    }
}

/// Of what a figure is reported, by name.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Scope {
    /// All of the design.
    All,
    /// One flow.
    Flow(String),
    /// All sections whose names begin alike, up to the first dot or bracket.
    Subsystem(String),
    /// One section.
    Section(String),
}

impl Scope {
    /// What it is called; `None` for all.
    #[must_use]
    pub fn name(&self) -> Option<&str> {
        match self {
            Self::All => None,
            Self::Flow(name) | Self::Subsystem(name) | Self::Section(name) => Some(name),
        }
    }

    /// Which sort of scope it is.
    #[must_use]
    pub fn sort(&self) -> &'static str {
        match self {
            Self::All => "all",
            Self::Flow(_) => "flow",
            Self::Subsystem(_) => "subsystem",
            Self::Section(_) => "section",
        }
    }

    /// Whole designs come first, single sections last.
    #[must_use]
    pub fn rank(&self) -> u8 {
        match self {
            Self::All => 0,
            Self::Flow(_) => 1,
            Self::Subsystem(_) => 2,
            Self::Section(_) => 3,
        }
    }
}

/// What a section belongs to: its name up to the first dot or bracket.
#[must_use]
pub fn subsystem(section: &str) -> &str {
    section.split(['.', '[']).next().unwrap_or(section)
}

/// Each scope of sections, with what is measured for it: all, each subsystem, each section whose name
/// is not that of its subsystem.
pub(super) fn scopes(names: &[&str]) -> Vec<(Scope, Of)> {
    let mut scopes: Vec<(Scope, Vec<usize>)> = Vec::new();
    for (place, name) in names.iter().enumerate() {
        let scope = Scope::Subsystem(subsystem(name).to_owned());
        match scopes.iter_mut().find(|(known, _)| *known == scope) {
            Some((_, places)) => places.push(place),
            None => scopes.push((scope, vec![place])),
        }
    }
    let single = names.iter().enumerate();
    scopes.extend(
        single
            .filter(|(_, name)| subsystem(name) != **name)
            .map(|(place, name)| (Scope::Section((*name).to_owned()), vec![place])),
    );
    let parts = scopes.into_iter();
    let parts = parts.map(|(scope, places)| (scope, Of::Sections(places)));
    [(Scope::All, Of::Whole)].into_iter().chain(parts).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sections_are_put_together_by_the_beginning_of_their_names() {
        let scopes = scopes(&["quay.quay", "line[0].line", "line[1].line", "hatch"]);
        let some = |sections: &[usize]| Of::Sections(sections.to_vec());
        let names: Vec<(&str, Option<&str>, Of)> = scopes
            .iter()
            .map(|(scope, of)| (scope.sort(), scope.name(), of.clone()))
            .collect();
        assert_eq!(
            names,
            [
                ("all", None, Of::Whole),
                ("subsystem", Some("quay"), some(&[0])),
                ("subsystem", Some("line"), some(&[1, 2])),
                ("subsystem", Some("hatch"), some(&[3])),
                ("section", Some("quay.quay"), some(&[0])),
                ("section", Some("line[0].line"), some(&[1])),
                ("section", Some("line[1].line"), some(&[2])),
            ]
        );
    }
}
