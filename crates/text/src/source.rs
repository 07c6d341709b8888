//! Source files and places in them.

use std::ops::Range;
use std::path::{Path, PathBuf};

use crate::diagnostic::Diagnostic;
use crate::ids;
use crate::nearest_file;
use crate::read::read_text;
use crate::root::Root;

/// A file that was read, by its place in [`Sources`].
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct FileId(u32);

/// A stretch of one file's text, in bytes.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Span {
    /// The file.
    pub file: FileId,
    /// Its first byte.
    pub start: u32,
    /// The byte after its last.
    pub end: u32,
}

impl Span {
    /// Whether the other span lies wholly inside this one.
    #[must_use]
    pub fn contains(&self, other: &Span) -> bool {
        self.file == other.file && self.start <= other.start && other.end <= self.end
    }
}

/// A line and a column, both from 1. The column counts characters.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Position {
    /// The line.
    pub line: usize,
    /// The column.
    pub column: usize,
}

/// One file that was read.
#[derive(Clone, Debug)]
pub struct SourceFile {
    /// Its path, as messages show it.
    pub path: String,
    /// Its text.
    pub text: String,
    /// Where it is.
    location: PathBuf,
    /// Where each line begins, in bytes.
    line_starts: Vec<usize>,
}

impl SourceFile {
    /// The line, from 0, in which a byte stands.
    pub(crate) fn line_of(&self, byte: usize) -> usize {
        self.line_starts.partition_point(|start| *start <= byte) - 1
    }

    /// The bytes of some lines, from 0, without the end of the last one.
    pub fn lines(&self, first: usize, last: usize) -> Range<usize> {
        let start = self.line_starts[first];
        let next = self.line_starts.get(last + 1);
        start..next.map_or(self.text.len(), |next| next - 1)
    }
}

/// Every text that a scenario was read from, in the order of reading.
#[derive(Clone, Debug, Default)]
pub struct Sources {
    files: Vec<SourceFile>,
    /// Every path that was to be read, whatever came of it.
    asked: Vec<PathBuf>,
    /// Where all files must lie that a file names.
    root: Option<Root>,
}

impl Sources {
    /// Adds a text.
    pub fn add(&mut self, location: &Path, text: String) -> FileId {
        let newlines = memchr::memchr_iter(b'\n', text.as_bytes());
        let line_starts = [0].into_iter().chain(newlines.map(|at| at + 1)).collect();
        self.files.push(SourceFile {
            path: location.display().to_string(),
            text,
            location: location.to_path_buf(),
            line_starts,
        });
        FileId(u32::try_from(self.files.len() - 1).unwrap_or(u32::MAX))
    }

    /// One file.
    ///
    /// # Panics
    ///
    /// If the id is of other sources.
    #[must_use]
    pub fn file(&self, id: FileId) -> &SourceFile {
        &self.files[id.0 as usize]
    }

    /// Every path that was read or was to be read, in this order; some may be there twice.
    pub fn paths(&self) -> impl Iterator<Item = &Path> {
        let read = self.files.iter().map(|file| file.location.as_path());
        self.asked.iter().map(PathBuf::as_path).chain(read)
    }

    /// Reads the text of a scenario, and settles its root.
    pub fn open(&mut self, path: &Path, root: Option<&Path>) -> Result<String, Box<Diagnostic>> {
        self.asked.push(path.to_path_buf());
        let reported = |id, message| Box::new(Diagnostic::general(id, message));
        let root = Root::of(path, root).map_err(|message| reported(ids::FILE_MISSING, message))?;
        if let Some(problem) = root.refuse_scenario(path) {
            return Err(Box::new(problem));
        }
        self.root = Some(root);
        read_text(path).map_err(|(id, message)| reported(id, message))
    }

    /// Reads the text of a file that another one names at a place, unless it lies outside the root.
    pub fn read_named(&mut self, path: &Path, at: Span) -> Result<String, Box<Diagnostic>> {
        self.asked.push(path.to_path_buf());
        if let Some(root) = self.root.as_ref().filter(|root| !root.contains(path)) {
            let (message, help) = root.refusal(&path.display().to_string());
            let problem = Diagnostic::error(ids::FILE_OUTSIDE_ROOT, at, message);
            return Err(Box::new(problem.help(help)));
        }
        read_text(path).map_err(|(id, message)| {
            let problem = Diagnostic::error(id, at, message);
            Box::new(match id {
                ids::FILE_MISSING => problem.help(self.nearest_file(path, at.file)),
                _ => problem,
            })
        })
    }

    /// What to do about a path that a file names and that leads to no file. Nothing is named that lies
    /// outside the root.
    fn nearest_file(&self, path: &Path, file: FileId) -> Option<String> {
        let folder = self.file(file).location.parent().unwrap_or(Path::new(""));
        nearest_file::hint(folder, path.strip_prefix(folder).unwrap_or(path), |found| {
            self.root.as_ref().is_none_or(|root| root.contains(found))
        })
    }

    /// A path that a file names, which is relative to that file.
    pub fn beside(&self, file: FileId, path: &str) -> PathBuf {
        let folder = self.file(file).location.parent().unwrap_or(Path::new(""));
        folder.join(path)
    }

    /// The id of the file that was read as this number, from 0.
    pub fn id(&self, number: usize) -> Option<FileId> {
        let number = u32::try_from(number).ok()?;
        ((number as usize) < self.files.len()).then_some(FileId(number))
    }

    /// All files, in the order of reading.
    #[must_use]
    pub fn files(&self) -> &[SourceFile] {
        &self.files
    }

    /// The text that a span covers.
    #[must_use]
    pub fn text(&self, span: Span) -> &str {
        self.file(span.file)
            .text
            .get(span.start as usize..span.end as usize)
            .unwrap_or("")
    }

    /// Where a span begins.
    #[must_use]
    pub fn position(&self, span: Span) -> Position {
        let file = self.file(span.file);
        let line = file.line_of(span.start as usize);
        let start = file.line_starts[line];
        let before = file.text.get(start..span.start as usize).unwrap_or("");
        Position {
            line: line + 1,
            column: before.chars().count() + 1,
        }
    }
}

/// The byte at which a line and column (both from 1, columns in characters) begin.
pub(crate) fn byte_of(text: &str, line: usize, column: usize) -> usize {
    let line_start = match line {
        0 | 1 => 0,
        _ => text
            .match_indices('\n')
            .nth(line - 2)
            .map_or(text.len(), |(index, _)| index + 1),
    };
    text[line_start..]
        .char_indices()
        .nth(column.saturating_sub(1))
        .map_or(text.len(), |(index, _)| line_start + index)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn positions_count_characters_and_lines_from_one() {
        let mut sources = Sources::default();
        let file = sources.add(Path::new("a.ron"), "äb\nxüz".into());
        // The z is the third character of line 2; ä and ü are two bytes each.
        let start = u32::try_from(byte_of("äb\nxüz", 2, 3)).unwrap();
        assert_eq!(start, 7);
        let span = Span {
            file,
            start,
            end: start + 1,
        };
        assert_eq!(sources.position(span), Position { line: 2, column: 3 });
        assert_eq!(sources.text(span), "z");
    }
}
