//! Warnings: what compiles, but looks mistaken. Reported only of scenarios without mistakes.

use hallwright_core::network::Network;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Action;
use hallwright_declared::declarations::Declarations;
use hallwright_smells::{About, Design, Finding};

use super::Resolver;
use super::names::ScopeId;
use crate::diagnostic::Diagnostic;
use crate::source::Span;

/// So many places are marked of one warning.
const MOST_MARKED: usize = 5;

impl Resolver<'_> {
    /// Reports what looks mistaken, each where it is declared.
    pub(super) fn report_smells(
        &mut self,
        network: &Network,
        declarations: &Declarations,
        entries: &[(Tick, Action)],
    ) {
        let design = Design::new(network, declarations, entries, self.run_ticks);
        for finding in hallwright_smells::find(&design) {
            if let Some(span) = self.enter_and_find(network, finding.about) {
                self.report_smell(span, finding);
            }
        }
        if let Some(site) = &declarations.site {
            self.report_site(site, &declarations.placement.rooms);
        }
    }

    /// Where something is declared, after entering the layout in use that declares it. `None` if it stands in no
    /// text.
    fn enter_and_find(&mut self, network: &Network, about: About) -> Option<Span> {
        match about {
            About::Part(part) => {
                let (scope, span) = self.written_at(part)?;
                self.problems.enter(scope);
                Some(span)
            }
            About::Kind(kind) => {
                let entry = self.document.goods.get(&network.kind(kind).name)?;
                Some(entry.name.span)
            }
            About::Goal(goal) => {
                self.problems.enter(ScopeId::TOP);
                self.goal_spans.get(goal).copied()
            }
        }
    }

    fn report_smell(&mut self, span: Span, finding: Finding) {
        let mut warning = Diagnostic::warning(finding.rule.id(), span, finding.words);
        let mut marked = vec![span];
        for (part, label) in finding.further {
            if marked.len() == MOST_MARKED {
                break;
            }
            if let Some(span) = self.span_of(part).filter(|span| !marked.contains(span)) {
                marked.push(span);
                warning = warning.context(span, label);
            }
        }
        let warning = warning.help(finding.help.into_owned());
        self.problems.report(warning);
    }
}
