//! The top layout and the modules, each with the names it has. Worked out once for a module,
//! however many instances it has.

use std::collections::HashMap;

use foldhash::fast::RandomState;

use super::drawing::Drawing;
use super::problems::Problems;
use crate::diagnostic::Diagnostic;
use crate::document::{
    BodyDocument, EachDocument, Expression, ModuleDocument, ParameterDocument, RowDocument,
    ScenarioDocument, UseDocument,
};
use crate::ids;
use crate::source::Span;
use crate::text::{Entries, Name};

/// What stands for the number of an instance in its row, wherever a parameter can.
pub(super) const INDEX: &str = "index";

/// What stands for the value that an instance of a row is for.
pub(super) const EACH: &str = "each";

/// So deep may modules be nested.
const MOST_NESTED: usize = 64;

/// What belongs to each name. A large layout is asked for many.
pub(super) type ByName<'d, T> = HashMap<&'d str, T, RandomState>;

/// The top layout (number 0) and the modules.
pub(super) struct Layouts<'d> {
    list: Vec<Layout<'d>>,
    modules: ByName<'d, Option<usize>>,
    /// Whether modules can be expanded at all: none uses itself.
    pub(super) can_expand: bool,
}

/// One layout.
pub(super) struct Layout<'d> {
    /// What it consists of.
    pub(super) body: &'d BodyDocument,
    /// Its parameters, in order.
    pub(super) parameters: &'d Entries<ParameterDocument>,
    /// The number of each parameter.
    pub(super) parameter_numbers: ByName<'d, usize>,
    /// Its ports.
    pub(super) ports: ByName<'d, &'d Name>,
    /// Its ports, in the order of the text.
    pub(super) port_list: &'d Entries<Name>,
    /// Whether names of parts are taken as they are.
    pub(super) is_flat: bool,
    /// How wide an instance is, in blocks.
    pub(super) width_blocks: Option<&'d Expression>,
    /// What its floors show.
    pub(super) drawing: Drawing<'d>,
    /// The number of each member: parts, signals, uses, counted through.
    pub(super) members: ByName<'d, usize>,
    /// Whether no two members have one name.
    pub(super) names_each_once: bool,
    /// Whether how much it contains can depend on the number of its instance.
    pub(super) mentions_index: bool,
}

impl<'d> Layout<'d> {
    /// The names of parts, signals and uses, in the order in which members are numbered.
    pub(super) fn member_names(body: &'d BodyDocument) -> impl Iterator<Item = &'d Name> {
        let parts = body.parts.list.iter().map(|entry| &entry.name);
        let signals = body.signals.list.iter().map(|entry| &entry.name);
        let uses = body.uses.list.iter().map(|entry| &entry.name);
        parts.chain(signals).chain(uses)
    }

    /// Which ports it has, in words.
    pub(super) fn ports_in_words(&self) -> String {
        let ports: Vec<String> = self
            .port_list
            .names()
            .map(|name| format!("`{name}`"))
            .collect();
        match &ports[..] {
            [] => "the module has no ports".to_owned(),
            [port] => format!("the only port of the module is {port}"),
            ports => format!("the ports of the module are {}", ports.join(", ")),
        }
    }

    fn new(
        body: &'d BodyDocument,
        parameters: &'d Entries<ParameterDocument>,
        ports: &'d Entries<Name>,
        is_flat: bool,
        problems: &mut Problems,
    ) -> Self {
        let members = unique(Self::member_names(body), "parts or modules", problems);
        for name in Self::member_names(body).chain(names_of(&body.rooms)) {
            check_name(name, is_flat, problems);
        }
        unique(names_of(ports).into_iter(), "ports", problems);
        let mut port_targets = ByName::default();
        for entry in &ports.list {
            if let Some(target) = &entry.value {
                port_targets
                    .entry(entry.name.text.as_str())
                    .or_insert(target);
            }
        }
        for (name, meaning) in [
            (INDEX, "the number of a module in its row"),
            (EACH, "what a module of a row is for"),
        ] {
            let Some(entry) = parameters.get(name) else {
                continue;
            };
            let message = format!("`{name}` stands for {meaning}");
            let problem = Diagnostic::error(ids::BAD_NAME, entry.name.span, message);
            problems.report(problem.help("choose another name".to_owned()));
        }
        let names = parameters.list.iter().map(|entry| &entry.name);
        for (what, names) in [
            ("arrivals", names_of(&body.arrivals)),
            ("stores", names_of(&body.stores)),
            ("flows", names_of(&body.flows)),
            ("sections", names_of(&body.sections)),
            ("lamps", names_of(&body.lamps)),
            ("rooms", names_of(&body.rooms)),
        ] {
            unique(names.into_iter(), what, problems);
        }
        Self {
            body,
            parameters,
            parameter_numbers: unique(names, "parameters", problems),
            ports: port_targets,
            port_list: ports,
            width_blocks: None,
            is_flat,
            drawing: Drawing::new(body, is_flat, |name| members.get(name).copied(), problems),
            names_each_once: members.len() == Self::member_names(body).count(),
            members,
            mentions_index: mentions_index(body, parameters),
        }
    }
}

/// The names of a map's entries.
pub(super) fn names_of<T>(entries: &Entries<T>) -> Vec<&Name> {
    entries.list.iter().map(|entry| &entry.name).collect()
}

/// Numbers names; reports of those that are there twice.
pub(super) fn unique<'d>(
    names: impl Iterator<Item = &'d Name>,
    what: &str,
    problems: &mut Problems,
) -> ByName<'d, usize> {
    let count = names.size_hint().0;
    let mut numbers = ByName::with_capacity_and_hasher(count, RandomState::default());
    let mut spans: Vec<Span> = Vec::with_capacity(count);
    for (number, name) in names.enumerate() {
        spans.push(name.span);
        let first = *numbers.entry(&name.text).or_insert(number);
        if first != number {
            let message = format!("there are two {what} named `{}`", name.text);
            let problem = Diagnostic::error(ids::DUPLICATE_NAME, name.span, message);
            problems.report(problem.context(spans[first], "first named here"));
        }
    }
    numbers
}

/// Names that are written with these characters could not be reported from paths and parameters.
/// In a flat layout there are no paths.
fn check_name(name: &Name, is_flat: bool, problems: &mut Problems) {
    let is_forbidden = |letter: char| match letter {
        '$' | '*' | '?' => true,
        '.' | '[' | ']' => !is_flat,
        _ => letter.is_control(),
    };
    if name.text.is_empty() || name.text.contains(is_forbidden) {
        let message = format!("`{}` cannot be a name", name.text);
        let help = "a name is not empty and has none of `.`, `[`, `]`, `$`, `*` and `?`";
        let problem = Diagnostic::error(ids::BAD_NAME, name.span, message);
        problems.report(problem.help(help.to_owned()));
    }
}

fn mentions_index(body: &BodyDocument, parameters: &Entries<ParameterDocument>) -> bool {
    let mentions =
        |when: &Option<Expression>| when.as_ref().is_some_and(Expression::mentions_index);
    let parts = body.parts.list.iter().chain(&body.signals.list);
    let in_parts = parts
        .filter_map(|entry| entry.value.as_ref())
        .any(|part| mentions(&part.when));
    let uses = body
        .uses
        .list
        .iter()
        .filter_map(|entry| entry.value.as_ref());
    let in_uses = uses.into_iter().any(|used| {
        let (with, count) = match &used.value {
            UseDocument::One(one) => (&one.with, None),
            UseDocument::Row(row) => (&row.with, row.count.as_ref()),
        };
        let mut with = with.list.iter().filter_map(|entry| entry.value.as_ref());
        mentions(&used.when)
            || count.is_some_and(Expression::mentions_index)
            || matches!(&used.value, UseDocument::Row(row) if each_mentions_index(row))
            || with.any(Expression::mentions_index)
    });
    let in_parameters = parameters.list.iter().any(|entry| match &entry.value {
        Some(ParameterDocument::Default(value)) => value.mentions_index(),
        _ => false,
    });
    in_parts || in_uses || in_parameters
}

/// Whether what a row is for can depend on the number of the instance that it stands in.
fn each_mentions_index(row: &RowDocument) -> bool {
    match &row.each {
        Some(EachDocument::List(list)) => list.mentions_index(),
        Some(EachDocument::Listed(listed)) => {
            let mut values = listed.entries.iter().flat_map(|entry| &entry.list);
            values.any(|entry| {
                let value = entry.value.as_ref();
                value.is_some_and(Expression::mentions_index)
            })
        }
        Some(EachDocument::FromFile(_)) | None => false,
    }
}

impl<'d> Layouts<'d> {
    /// Gathers the names of all layouts.
    pub(super) fn new(document: &'d ScenarioDocument, problems: &mut Problems) -> Self {
        static NO_PORTS: Entries<Name> = Entries {
            list: Vec::new(),
            is_whole: true,
        };
        let top = Layout::new(
            &document.body,
            &document.parameters,
            &NO_PORTS,
            document.flat,
            problems,
        );
        let mut list = vec![top];
        let mut modules = ByName::default();
        unique(names_of(&document.modules).into_iter(), "modules", problems);
        for entry in &document.modules.list {
            let number = entry.value.as_ref().map(|module: &'d ModuleDocument| {
                let ModuleDocument {
                    parameters,
                    ports,
                    body,
                    width_blocks,
                } = module;
                let mut layout = Layout::new(body, parameters, ports, false, problems);
                layout.width_blocks = width_blocks.as_ref();
                list.push(layout);
                list.len() - 1
            });
            modules.entry(entry.name.text.as_str()).or_insert(number);
        }
        let mut layouts = Self {
            list,
            modules,
            can_expand: true,
        };
        let mut depths = vec![Depth::Unknown; layouts.list.len()];
        for number in 0..layouts.list.len() {
            layouts.depth(number, 0, &mut depths, problems);
        }
        layouts
    }

    /// One layout.
    pub(super) fn get(&self, number: usize) -> &Layout<'d> {
        &self.list[number]
    }

    /// The module of a name; `Some(None)` if it could not be understood.
    pub(super) fn module(&self, name: &str) -> Option<Option<usize>> {
        self.modules.get(name).copied()
    }

    /// How deep modules are nested in a layout. Reports if one uses itself.
    fn depth(
        &mut self,
        number: usize,
        above: usize,
        depths: &mut [Depth],
        problems: &mut Problems,
    ) -> usize {
        if let Depth::Known(depth) = depths[number] {
            return depth;
        }
        depths[number] = Depth::UnderWay;
        let body = self.list[number].body;
        let mut deepest = 0;
        for used in body
            .uses
            .list
            .iter()
            .filter_map(|entry| entry.value.as_ref())
        {
            let module = match &used.value {
                UseDocument::One(one) => &one.module,
                UseDocument::Row(row) => &row.module,
            };
            let Some(Some(inner)) = self.module(&module.text) else {
                continue; // Unknown modules are reported where they are used.
            };
            if matches!(depths[inner], Depth::UnderWay) {
                self.can_expand = false;
                let message = format!("the module `{}` uses itself", module.text);
                problems.report(Diagnostic::error(ids::MODULE_LOOP, module.span, message));
            } else if above >= MOST_NESTED {
                self.can_expand = false;
                let message = format!("modules are nested more than {MOST_NESTED} deep");
                problems.report(Diagnostic::error(
                    ids::NESTED_TOO_DEEP,
                    module.span,
                    message,
                ));
            } else {
                deepest = deepest.max(1 + self.depth(inner, above + 1, depths, problems));
            }
        }
        if deepest > MOST_NESTED && self.can_expand {
            self.can_expand = false;
            let message = format!("modules are nested more than {MOST_NESTED} deep");
            problems.report(Diagnostic::error(ids::NESTED_TOO_DEEP, body.head, message));
        }
        depths[number] = Depth::Known(deepest);
        deepest
    }
}

/// What is known of how deep a layout is nested.
#[derive(Clone, Copy)]
enum Depth {
    Unknown,
    UnderWay,
    Known(usize),
}
