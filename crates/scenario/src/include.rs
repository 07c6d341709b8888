//! Files with modules that a scenario includes, and those that they include in turn.

use std::path::{Path, PathBuf};

use crate::diagnostic::Diagnostic;
use crate::document::{ModuleFileDocument, ScenarioDocument};
use crate::ids;
use crate::source::Sources;
use crate::text::{self, Entries, Name};

/// So many files may be included.
const MOST_FILES: usize = 256;

/// Reads every file that a scenario includes, and adds what it has to the scenario. A file that is
/// included from several places is read once.
pub(crate) fn read_included(
    document: &mut ScenarioDocument,
    path: &Path,
    sources: &mut Sources,
    problems: &mut Vec<Diagnostic>,
) {
    let include = std::mem::take(&mut document.include);
    let mut inclusion = Inclusion {
        document,
        sources,
        problems,
        under_way: vec![identity(path)],
        finished: Vec::new(),
    };
    for name in &include {
        inclusion.read(name);
    }
    document.include = include;
}

/// What says whether two paths lead to one file.
fn identity(path: &Path) -> PathBuf {
    path.canonicalize().unwrap_or_else(|_| path.to_path_buf())
}

/// What has been included so far.
struct Inclusion<'i> {
    document: &'i mut ScenarioDocument,
    sources: &'i mut Sources,
    problems: &'i mut Vec<Diagnostic>,
    /// The files that include one another down to here, from the scenario on.
    under_way: Vec<PathBuf>,
    /// The files that were read with all they include.
    finished: Vec<PathBuf>,
}

impl Inclusion<'_> {
    /// Reads one file, unless it was read before.
    fn read(&mut self, name: &Name) {
        let path = self.sources.beside(name.span.file, &name.text);
        let identity = identity(&path);
        if self.under_way.contains(&identity) {
            let message = format!("`{}` includes itself", name.text);
            let problem = Diagnostic::error(ids::FILE_INCLUDES_ITSELF, name.span, message);
            self.problems
                .push(problem.help("leave this one out".to_owned()));
            return;
        }
        if self.finished.contains(&identity) {
            return;
        }
        if self.finished.len() + self.under_way.len() > MOST_FILES {
            let message = format!("more than {MOST_FILES} files are included");
            self.problems
                .push(Diagnostic::error(ids::FILE_TOO_MANY, name.span, message));
            return;
        }
        self.under_way.push(identity.clone());
        match self.sources.read_named(&path, name.span) {
            Ok(text) => self.add(name, &path, text),
            Err(problem) => {
                self.problems.push(*problem);
                self.lacks_names();
            }
        }
        self.under_way.pop();
        self.finished.push(identity);
    }

    /// Adds what a file has. What is wrong with it is shown with the place that included it.
    fn add(&mut self, name: &Name, path: &Path, text: String) {
        let file = self.sources.add(path, text);
        let mut reported = Vec::new();
        let document: Option<ModuleFileDocument> =
            text::read(file, &self.sources.file(file).text, &mut reported);
        let reported = reported.into_iter();
        self.problems
            .extend(reported.map(|problem| problem.context(name.span, "included here")));
        let Some(document) = document else {
            self.lacks_names();
            return;
        };
        self.document.goods.append(document.goods);
        self.document.modules.append(document.modules);
        for inner in &document.include {
            self.read(inner);
        }
    }

    /// Notes that names may be missing which a file would have given: they are not reported again
    /// where they are used.
    fn lacks_names(&mut self) {
        self.document.goods.append(Entries::broken());
        self.document.modules.append(Entries::broken());
    }
}
