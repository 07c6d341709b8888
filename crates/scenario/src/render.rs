//! How diagnostics look. The only module that knows the crate which draws them.

use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};

use crate::diagnostic::{Diagnostic, Severity};
use crate::source::Sources;

/// Draws diagnostics with the text that they are about, one below the other, plain or coloured.
#[must_use]
pub fn render(diagnostics: &[Diagnostic], sources: &Sources, colour: bool) -> String {
    let renderer = if colour {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    let drawn: Vec<String> = diagnostics
        .iter()
        .map(|diagnostic| render_one(diagnostic, sources, &renderer))
        .collect();
    drawn.join("\n\n")
}

fn render_one(diagnostic: &Diagnostic, sources: &Sources, renderer: &Renderer) -> String {
    let level = match diagnostic.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
    };
    let mut group = level
        .primary_title(diagnostic.message.as_str())
        .id(diagnostic.id)
        .elements(Vec::<annotate_snippets::Element<'_>>::new());
    // One picture a file, that of the text at fault first.
    let mut files: Vec<_> = Vec::new();
    for annotation in &diagnostic.annotations {
        if !files.contains(&annotation.span.file) {
            files.push(annotation.span.file);
        }
    }
    for id in files {
        let file = sources.file(id);
        let here = diagnostic
            .annotations
            .iter()
            .filter(|one| one.span.file == id);
        let marks = here.map(|annotation| {
            let kind = if annotation.is_primary {
                AnnotationKind::Primary
            } else {
                AnnotationKind::Context
            };
            let label = Some(annotation.label.as_str()).filter(|label| !label.is_empty());
            let range = annotation.span.start as usize..annotation.span.end as usize;
            kind.span(range).label(label)
        });
        let snippet = Snippet::source(file.text.as_str())
            .path(file.path.as_str())
            .annotations(marks);
        group = group.element(snippet);
    }
    if let Some(help) = &diagnostic.help {
        group = group.element(Level::HELP.message(help.as_str()));
    }
    renderer.render(&[group])
}
