//! A scenario with everything that it is read from in one file.
//!
//! The text is kept as it is, comments and all, but for three things: modules and goods of included
//! files are put into the scenario's own, and tables are written as lists.

use std::collections::BTreeMap;
use std::ops::Range;
use std::path::Path;

use crate::diagnostic::{Diagnostic, Severity};
use crate::document::{
    ArrivalDocument, BodyDocument, EachDocument, ModuleDocument, RowDocument, ScenarioDocument,
    UseDocument,
};
use crate::source::{FileId, Sources, Span};
use crate::text::{self, Reader};
use crate::{LoadOptions, include, load};

mod tables;

/// Writes a scenario as one file: with the modules and goods that it includes, and the tables that
/// it reads. Parameters are kept, and so are comments, but for those between what is moved.
///
/// # Errors
///
/// If the scenario or a table cannot be read: what is wrong, with the texts that were read.
pub fn bundle(path: &Path, options: &LoadOptions) -> Result<String, (Vec<Diagnostic>, Sources)> {
    let loaded = load(path, options);
    if loaded.scenario.is_none() {
        return Err((loaded.diagnostics, loaded.sources));
    }
    let mut sources = Sources::default();
    let mut problems = Vec::new();
    let text = bundled(path, options, &mut sources, &mut problems);
    let is_sound = problems.iter().all(|one| one.severity < Severity::Error);
    match text.filter(|_| is_sound) {
        Some(text) => Ok(text),
        None => Err((problems, sources)),
    }
}

/// The text, unless something is wrong, which is reported.
fn bundled(
    path: &Path,
    options: &LoadOptions,
    sources: &mut Sources,
    problems: &mut Vec<Diagnostic>,
) -> Option<String> {
    let text = match sources.open(path, options.root.as_deref()) {
        Ok(text) => text,
        Err(problem) => {
            problems.push(*problem);
            return None;
        }
    };
    let root = sources.add(path, text);
    let mut document: ScenarioDocument = text::read(root, &sources.file(root).text, problems)?;
    include::read_included(&mut document, path, sources, problems);
    let included = 1..sources.files().len();
    let mut edits = Edits::default();
    inline_tables(&document, sources, problems, &mut edits);
    let files: Vec<FileId> = included.filter_map(|number| sources.id(number)).collect();
    let moved: Vec<(&str, String)> = ["goods", "modules"]
        .into_iter()
        .map(|field| {
            let entries = files.iter();
            let entries = entries.filter_map(|file| entries_of(sources, *file, field, &edits));
            (field, entries.collect())
        })
        .collect();
    put_into_root(sources, root, moved, &mut edits);
    let whole = 0..sources.file(root).text.len();
    Some(edits.applied(sources, root, whole))
}

/// What is written in place of stretches of text.
#[derive(Default)]
struct Edits(BTreeMap<Span, String>);

impl Edits {
    /// Writes a text in place of another.
    fn replace(&mut self, span: Span, text: String) {
        self.0.insert(span, text);
    }

    /// A stretch of a file with all that is written in place of what stands there.
    fn applied(&self, sources: &Sources, file: FileId, range: Range<usize>) -> String {
        let source = &sources.file(file).text;
        let mut text = String::new();
        let mut done = range.start;
        for (span, replacement) in &self.0 {
            let (start, end) = (span.start as usize, span.end as usize);
            if span.file == file && start >= done && end <= range.end {
                text.push_str(&source[done..start]);
                text.push_str(replacement);
                done = end;
            }
        }
        text.push_str(&source[done..range.end]);
        text
    }
}

/// The fields of a file: names and values.
fn fields_of(sources: &Sources, file: FileId) -> Vec<(Span, Span)> {
    let source = &sources.file(file).text;
    let mut reported = Vec::new();
    let reader = Reader::new(file, source, &mut reported);
    let Some(body) = text::body(file, source) else {
        return Vec::new();
    };
    let fields = reader.node(body).fields().unwrap_or_default().into_iter();
    fields
        .map(|(name, value)| (reader.span(name), reader.span(value)))
        .collect()
}

/// The value of a file's field.
fn field(sources: &Sources, file: FileId, name: &str) -> Option<(Span, Span)> {
    let mut fields = fields_of(sources, file).into_iter();
    fields.find(|(found, _)| sources.text(*found) == name)
}

/// The entries of a map, each edited, as lines that can stand in another map.
fn entries_of(sources: &Sources, file: FileId, name: &str, edits: &Edits) -> Option<String> {
    let (_, map) = field(sources, file, name)?;
    let mut reported = Vec::new();
    let reader = Reader::new(file, &sources.file(file).text, &mut reported);
    let mut lines = String::new();
    for (key, value) in reader.node(sources.text(map)).map()? {
        let (key, value) = (reader.span(key), reader.span(value));
        let value = edits.applied(sources, file, value.start as usize..value.end as usize);
        lines.push_str(&format!("        {}: {value},\n", sources.text(key)));
    }
    Some(lines)
}

/// Puts what included files have into the scenario's own maps, and takes its `include` away.
fn put_into_root(sources: &Sources, root: FileId, moved: Vec<(&str, String)>, edits: &mut Edits) {
    let Some((name, value)) = field(sources, root, "include") else {
        return;
    };
    let mut in_its_place = Vec::new();
    for (field_name, lines) in moved {
        if lines.is_empty() {
            continue;
        }
        match field(sources, root, field_name) {
            Some((_, map)) => {
                let (at, comma) = end_of_map(sources, root, map);
                let end = Span {
                    start: at,
                    end: at,
                    ..map
                };
                edits.replace(end, format!("{comma}\n{}    ", lines));
            }
            None => in_its_place.push(format!("{field_name}: {{\n{lines}    }}")),
        }
    }
    let mut end = value.end;
    if in_its_place.is_empty() {
        let behind = &sources.file(root).text[end as usize..];
        let blank = behind.len() - behind.trim_start().len();
        if behind.trim_start().starts_with(',') {
            end += u32::try_from(blank + 1).unwrap_or(0);
        }
    }
    edits.replace(Span { end, ..name }, in_its_place.join(",\n    "));
}

/// Behind the last entry of a map and its comma, and the comma that is missing there.
fn end_of_map(sources: &Sources, file: FileId, map: Span) -> (u32, &'static str) {
    let mut reported = Vec::new();
    let reader = Reader::new(file, &sources.file(file).text, &mut reported);
    let entries = reader.node(sources.text(map)).map().unwrap_or_default();
    let Some((_, value)) = entries.last() else {
        return (map.start + 1, "");
    };
    let end = reader.span(value).end;
    let behind = &sources.file(file).text[end as usize..map.end as usize];
    match text::skip_blank(behind).strip_prefix(',') {
        Some(rest) => (map.end - u32::try_from(rest.len()).unwrap_or(0), ""),
        None => (end, ","),
    }
}

/// Writes every table as a list.
fn inline_tables(
    document: &ScenarioDocument,
    sources: &mut Sources,
    problems: &mut Vec<Diagnostic>,
    edits: &mut Edits,
) {
    let modules = document.modules.list.iter();
    let modules: Vec<&ModuleDocument> = modules.filter_map(|entry| entry.value.as_ref()).collect();
    let bodies = modules.iter().map(|module| &module.body);
    let bodies = bodies.chain([&document.body]);
    let arrivals = bodies.clone().flat_map(|body| &body.arrivals.list);
    for arrival in arrivals.filter_map(|entry| entry.value.as_ref()) {
        if let ArrivalDocument::FromFile(file) = &arrival.value {
            let rows = tables::read(&file.path, sources, problems);
            let entries = rows.iter().map(tables::arrival).collect();
            let file = (file.head, file.span);
            write_list(sources, file, entries, edits);
        }
    }
    for row in bodies.flat_map(rows_of) {
        if let Some(EachDocument::FromFile(file)) = &row.each {
            let module = document.modules.get(&row.module.text);
            let module = module.and_then(|entry| entry.value.as_ref());
            let rows = tables::read(&file.path, sources, problems);
            let rows = rows
                .into_iter()
                .filter_map(|row| tables::chosen(row, &file.only));
            let entries = rows.map(|row| tables::instance(&row, module));
            let entries = entries.collect();
            let file = (file.head, file.span);
            write_list(sources, file, entries, edits);
        }
    }
}

/// The rows of modules in a layout.
fn rows_of(body: &BodyDocument) -> impl Iterator<Item = &RowDocument> {
    let uses = body.uses.list.iter();
    uses.filter_map(|entry| match &entry.value.as_ref()?.value {
        UseDocument::Row(row) => Some(row),
        UseDocument::One(_) => None,
    })
}

/// What of a table's fields a list has no use for.
const TABLE_FIELDS: [&str; 2] = ["path", "only"];

/// Writes `Listed(entries: …)` in place of `FromFile(…)`, whose word and whole text stand there, with
/// the fields that both have.
fn write_list(
    sources: &Sources,
    (head, whole): (Span, Span),
    entries: Vec<String>,
    edits: &mut Edits,
) {
    let file = whole.file;
    let mut reported = Vec::new();
    let reader = Reader::new(file, &sources.file(file).text, &mut reported);
    let fields = reader.node(sources.text(whole)).choice();
    let fields = fields.and_then(|(_, payload)| payload.fields());
    let fields = fields.unwrap_or_default();
    let (Some((first, _)), Some((_, last))) = (fields.first(), fields.last()) else {
        return;
    };
    let lines: String = entries
        .iter()
        .map(|entry| format!("            {entry},\n"))
        .collect();
    edits.replace(head, "Listed".to_owned());
    let span = Span {
        end: reader.span(last).end,
        ..reader.span(first)
    };
    let kept: String = fields
        .iter()
        .filter(|(name, _)| !TABLE_FIELDS.contains(name))
        .map(|(name, value)| format!(", {name}: {value}"))
        .collect();
    edits.replace(span, format!("entries: [\n{lines}        ]{kept}"));
}
