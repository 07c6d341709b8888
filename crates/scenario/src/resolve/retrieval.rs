//! What is declared about getting goods out: desks at which boxes are asked for, gathers, and places
//! open to the operator.

use hallwright_core::id::KindId;
use hallwright_core::timeline::{Action, Terms};
use hallwright_declared::declarations::{Declarations, Desk, Gather, Open};

use super::Resolver;
use super::declarations::Numbers;
use super::names::ScopeId;
use super::sort::{DELIVERABLE, INVENTORY, ITEM_PART, WITHDRAWABLE};
use crate::diagnostic::Diagnostic;
use crate::document::{BodyDocument, DeskDocument, Expression, RequestDocument};
use crate::ids;
use crate::source::Span;
use crate::text::Entry;

/// The desks of the whole layout.
#[derive(Default)]
pub(super) struct Desks {
    /// Each desk, and where it is declared.
    list: Vec<(Desk, Span)>,
    /// Whether one could not be understood, which is reported.
    is_broken: bool,
}

impl Desks {
    /// All desks, in the order of declaration.
    pub(super) fn all(&self) -> Vec<Desk> {
        self.list.iter().map(|(desk, _)| desk.clone()).collect()
    }
}

impl<'d> Resolver<'d> {
    /// The desks of the top layout and of every instance.
    pub(super) fn find_desks(&mut self) {
        for number in 0..self.scopes.len() {
            let scope = ScopeId(u32::try_from(number).unwrap_or(u32::MAX));
            let body = self.layouts.get(self.scopes[number].layout).body;
            self.problems.enter(scope);
            self.desks.is_broken |= !body.requests.is_whole;
            for entry in &body.requests.list {
                let Some((name, document)) = self.present(scope, &entry.name, entry.value.as_ref())
                else {
                    continue;
                };
                match document.and_then(|document| self.desk(scope, entry, name, document)) {
                    Some(desk) => self.add_desk(desk, entry.name.span),
                    None => self.desks.is_broken = true,
                }
            }
        }
        self.problems.enter(ScopeId::TOP);
    }

    fn desk<T>(
        &mut self,
        scope: ScopeId,
        entry: &Entry<T>,
        name: String,
        document: &'d DeskDocument,
    ) -> Option<Desk> {
        let kind = match &document.kind {
            Some(kind) => self.kind(scope, kind),
            None => self.kind_named(&entry.name.text, entry.name.span),
        };
        let desk = self.fitting_part(scope, &document.desk, &DELIVERABLE);
        let token = self.kind(scope, &document.token);
        let counter = self.parts_named(scope, Some(&document.counter), &INVENTORY);
        Some(Desk {
            name,
            kind: kind?,
            desk: desk?,
            token: token?,
            counter,
        })
    }

    /// Keeps a desk. Reports if another one gives out the same goods: a request could mean either.
    fn add_desk(&mut self, desk: Desk, span: Span) {
        let same = self
            .desks
            .list
            .iter()
            .find(|(one, _)| one.kind == desk.kind);
        if let Some((first, at)) = same {
            let kind = &self.goods.kind(desk.kind).name;
            let message = format!("`{kind}` is given out at `{}` already", first.name);
            let problem = Diagnostic::error(ids::DUPLICATE_NAME, span, message);
            let problem = problem.context(*at, "declared here");
            self.problems.report(problem);
            return;
        }
        self.desks.list.push((desk, span));
    }

    /// The number of the desk at which goods are asked for. Reports if there is none.
    pub(super) fn desk_for(&mut self, kind: &'d Expression) -> Option<usize> {
        let id: KindId = self.kind(ScopeId::TOP, kind)?;
        let found = self.desks.list.iter().position(|(desk, _)| desk.kind == id);
        if found.is_none() && !self.desks.is_broken {
            let name = &self.goods.kind(id).name;
            let message = format!("no desk in `requests` gives out `{name}`");
            let known: Vec<String> = (self.desks.list.iter())
                .map(|(desk, _)| format!("`{}`", self.goods.kind(desk.kind).name))
                .collect();
            let help = match known.as_slice() {
                [] => format!(
                    "declare one: `requests: {{\"{name}\": (desk: …, token: …, counter: …)}}`"
                ),
                known => format!("given out are {}", known.join(", ")),
            };
            let problem = Diagnostic::error(ids::NO_DESK, kind.span, message);
            self.problems.report(problem.help(help));
        }
        found
    }

    /// A request: its tokens, laid on the desk.
    pub(super) fn request(&mut self, request: &'d RequestDocument) -> Option<Action> {
        let desk = self.desk_for(&request.kind);
        let count = match &request.boxes {
            Some(boxes) => self.number_from(ScopeId::TOP, boxes, 1),
            None => Some(1),
        };
        let (desk, _) = self.desks.list.get(desk?)?;
        Some(Action::Deliver {
            place: desk.desk,
            kind: desk.token,
            count: count?,
            contents: Vec::new(),
            terms: Terms::default(),
        })
    }

    /// The gathers of one scope.
    pub(super) fn gathers(
        &mut self,
        scope: ScopeId,
        body: &'d BodyDocument,
        declarations: &mut Declarations,
        numbers: &mut Numbers,
    ) {
        numbers.is_whole &= body.gathers.is_whole;
        for entry in &body.gathers.list {
            let Some((name, gather)) = self.present(scope, &entry.name, entry.value.as_ref())
            else {
                continue;
            };
            numbers.add(name.clone(), gather.map(|_| declarations.gathers.len()));
            let Some(gather) = gather else { continue };
            declarations.gathers.push(Gather {
                name,
                at: self.parts_named(scope, Some(&gather.at), &ITEM_PART),
            });
        }
    }

    /// The open places of one scope.
    pub(super) fn open_places(
        &mut self,
        scope: ScopeId,
        body: &'d BodyDocument,
        declarations: &mut Declarations,
    ) {
        for entry in &body.open.list {
            let Some((name, Some(open))) = self.present(scope, &entry.name, entry.value.as_ref())
            else {
                continue;
            };
            declarations.open.push(Open {
                name,
                parts: self.parts_named(scope, Some(&open.parts), &WITHDRAWABLE),
                behind: self.parts_named(scope, Some(&open.behind), &INVENTORY),
                kinds: match &open.kinds {
                    Some(kinds) => self.kinds(scope, kinds),
                    None => Vec::new(),
                },
            });
        }
    }
}
