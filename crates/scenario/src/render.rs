//! How diagnostics look. The only module that knows the crate which draws them.

use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};

use crate::diagnostic::{Annotation, Diagnostic, Severity};
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
    for cluster in clusters(&diagnostic.annotations, sources) {
        group = group.element(picture(&cluster, sources));
    }
    if let Some(help) = &diagnostic.help {
        group = group.element(Level::HELP.message(help.as_str()));
    }
    renderer.render(&[group])
}

/// Lines that are further apart are drawn as pictures of their own.
const MOST_LINES_BETWEEN: usize = 100;

/// Annotations that are drawn in one picture: of one file, and near one another. The cluster of the
/// text at fault comes first.
fn clusters<'d>(annotations: &'d [Annotation], sources: &Sources) -> Vec<Vec<&'d Annotation>> {
    let line = |annotation: &Annotation| {
        let span = annotation.span;
        sources.file(span.file).line_of(span.start as usize)
    };
    let mut sorted: Vec<&Annotation> = annotations.iter().collect();
    sorted.sort_by_key(|annotation| annotation.span);
    let mut clusters: Vec<Vec<&Annotation>> = Vec::new();
    for annotation in sorted {
        match clusters.last_mut() {
            Some(cluster)
                if cluster[0].span.file == annotation.span.file
                    && line(annotation) - line(cluster[cluster.len() - 1])
                        <= MOST_LINES_BETWEEN =>
            {
                cluster.push(annotation);
            }
            _ => clusters.push(vec![annotation]),
        }
    }
    clusters.sort_by_key(|cluster| cluster.iter().all(|annotation| !annotation.is_primary));
    clusters
}

/// The lines around some annotations, marked.
fn picture<'s>(
    cluster: &[&'s Annotation],
    sources: &'s Sources,
) -> Snippet<'s, annotate_snippets::Annotation<'s>> {
    let file = sources.file(cluster[0].span.file);
    let start = cluster[0].span.start as usize;
    let end = cluster
        .iter()
        .map(|annotation| annotation.span.end as usize);
    let first_line = file.line_of(start);
    let last_line = file.line_of(end.max().unwrap_or(start));
    let lines = file.lines(first_line, last_line);
    let marks = cluster.iter().map(|annotation| {
        let kind = if annotation.is_primary {
            AnnotationKind::Primary
        } else {
            AnnotationKind::Context
        };
        let label = Some(annotation.label.as_str()).filter(|label| !label.is_empty());
        let start = annotation.span.start as usize - lines.start;
        let end = annotation.span.end as usize - lines.start;
        kind.span(start..end).label(label)
    });
    // Only these lines are handed over: the crate reads all of what it is given, each time.
    Snippet::source(&file.text[lines.clone()])
        .line_start(first_line + 1)
        .path(file.path.as_str())
        .annotations(marks)
}
