//! How diagnostics look. The only module that knows the crate which draws them.

use std::ops::Range;

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

/// A picture with all it needs, in which nothing moves a terminal's cursor: what may not be shown is
/// spelled out, and the marks with it.
struct Fit {
    lines: String,
    path: String,
    marks: Vec<(AnnotationKind, Range<usize>, String)>,
    first_line: usize,
}

fn render_one(diagnostic: &Diagnostic, sources: &Sources, renderer: &Renderer) -> String {
    let level = match diagnostic.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
    };
    let message = hallwright_names::text(&diagnostic.message);
    let help = diagnostic.help.as_deref().map(hallwright_names::text);
    let clusters = clusters(&diagnostic.annotations, sources);
    let fits: Vec<Fit> = clusters.iter().map(|one| fit(one, sources)).collect();
    let mut group = level
        .primary_title(message.as_ref())
        .id(diagnostic.id)
        .elements(Vec::<annotate_snippets::Element<'_>>::new());
    for fit in &fits {
        group = group.element(picture(fit));
    }
    if let Some(help) = &help {
        group = group.element(Level::HELP.message(help.as_ref()));
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

/// The lines around some annotations, with the marks in them.
fn fit(cluster: &[&Annotation], sources: &Sources) -> Fit {
    let file = sources.file(cluster[0].span.file);
    let start = cluster[0].span.start as usize;
    let end = cluster
        .iter()
        .map(|annotation| annotation.span.end as usize);
    let first_line = file.line_of(start);
    let last_line = file.line_of(end.max().unwrap_or(start));
    // Only these lines are handed over: the crate reads all of what it is given, each time.
    let range = file.lines(first_line, last_line);
    let (lines, place) = hallwright_names::with_places(&file.text[range.clone()]);
    let marks = cluster.iter().map(|annotation| {
        let kind = if annotation.is_primary {
            AnnotationKind::Primary
        } else {
            AnnotationKind::Context
        };
        let start = place(annotation.span.start as usize - range.start);
        let end = place(annotation.span.end as usize - range.start);
        let label = hallwright_names::text(&annotation.label).into_owned();
        (kind, start..end, label)
    });
    Fit {
        marks: marks.collect(),
        path: hallwright_names::text(&file.path).into_owned(),
        lines,
        first_line,
    }
}

/// The same as the crate takes it.
fn picture(fit: &Fit) -> Snippet<'_, annotate_snippets::Annotation<'_>> {
    let marks = fit.marks.iter().map(|(kind, range, label)| {
        let label = Some(label.as_str()).filter(|label| !label.is_empty());
        kind.span(range.clone()).label(label)
    });
    Snippet::source(fit.lines.as_str())
        .line_start(fit.first_line + 1)
        .path(fit.path.as_str())
        .annotations(marks)
}
