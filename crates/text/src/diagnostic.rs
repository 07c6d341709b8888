//! What is wrong with a scenario, as plain data. How it looks is [`crate::render()`]'s business.

use crate::source::{Sources, Span};

/// How bad it is.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Severity {
    /// The scenario can be run, but something in it has no effect or looks mistaken.
    Warning,
    /// It cannot be run.
    Error,
}

/// A stretch of text to mark.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Annotation {
    /// The text.
    pub span: Span,
    /// What to say beside it; may be empty.
    pub label: String,
    /// Whether this is the text at fault, or one that helps to understand.
    pub is_primary: bool,
}

/// One thing that is wrong.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Diagnostic {
    /// Its stable id, such as `layout::unknown-part`; all are in `docs/look-up/diagnostics.md`.
    pub id: &'static str,
    /// How bad it is.
    pub severity: Severity,
    /// What is wrong: lower case, no full stop.
    pub message: String,
    /// Where, the text at fault first. Empty if it is in no text.
    pub annotations: Vec<Annotation>,
    /// What to do about it.
    pub help: Option<String>,
}

impl Diagnostic {
    /// An error at a place.
    #[must_use]
    pub fn error(id: &'static str, span: Span, message: impl Into<String>) -> Self {
        let mut diagnostic = Self::general(id, message);
        diagnostic.annotations.push(Annotation {
            span,
            label: String::new(),
            is_primary: true,
        });
        diagnostic
    }

    /// A warning at a place.
    #[must_use]
    pub fn warning(id: &'static str, span: Span, message: impl Into<String>) -> Self {
        Self {
            severity: Severity::Warning,
            ..Self::error(id, span, message)
        }
    }

    /// An error that is in no text.
    #[must_use]
    pub fn general(id: &'static str, message: impl Into<String>) -> Self {
        Self {
            id,
            severity: Severity::Error,
            message: message.into(),
            annotations: Vec::new(),
            help: None,
        }
    }

    /// Marks another text that helps to understand.
    #[must_use]
    pub fn context(mut self, span: Span, label: impl Into<String>) -> Self {
        self.annotations.push(Annotation {
            span,
            label: label.into(),
            is_primary: false,
        });
        self
    }

    /// Adds a hint, in place of the one there was.
    #[must_use]
    pub fn help(mut self, help: impl Into<Option<String>>) -> Self {
        self.help = help.into();
        self
    }

    /// The text at fault.
    #[must_use]
    pub fn primary(&self) -> Option<Span> {
        self.annotations.first().map(|annotation| annotation.span)
    }

    /// File, line and column of the text at fault, as `path:line:column`.
    #[must_use]
    pub fn place(&self, sources: &Sources) -> Option<String> {
        let span = self.primary()?;
        let position = sources.position(span);
        let path = &sources.file(span.file).path;
        Some(format!("{path}:{}:{}", position.line, position.column))
    }
}

/// Puts problems in the order of their places, says each only once, and drops those that merely
/// follow from another.
pub fn tidy(problems: &mut Vec<Diagnostic>) {
    problems.sort_by_key(|problem| (problem.primary(), problem.id));
    // A part of a module is at fault once, however many instances there are.
    problems.dedup_by(|later, earlier| {
        later.primary().is_some() && later.primary() == earlier.primary() && later.id == earlier.id
    });
}
