//! The named fields of one value.

use super::decode::{Decode, Entries, Entry, Name};
use super::node::{Node, Reader, plain_name};
use crate::diagnostic::Diagnostic;
use crate::ids;
use crate::source::Span;
use crate::suggest::did_you_mean_one_of;

/// Named fields, taken one by one; [`Fields::finish`] says which are missing or unknown.
pub struct Fields<'t> {
    span: Span,
    head: Span,
    entries: Vec<Field<'t>>,
    known: Vec<&'static str>,
    missing: Vec<&'static str>,
}

/// Few values have more fields than so many.
const USUAL_FIELDS: usize = 4;

struct Field<'t> {
    name: &'t str,
    value: Node<'t>,
    taken: bool,
}

impl<'t> Fields<'t> {
    /// The fields of a value; reports if it has none to offer, or one twice.
    pub fn read(node: Node<'t>, reader: &mut Reader<'_>) -> Option<Self> {
        let Some(mut pieces) = node.in_parentheses() else {
            return not_fields(node, reader);
        };
        let mut entries: Vec<Field<'t>> = Vec::with_capacity(USUAL_FIELDS);
        while let Some(name) = pieces.next() {
            let Some(value) = pieces.next().filter(|_| name.is_named) else {
                return not_fields(node, reader);
            };
            let name = plain_name(name.text);
            if let Some(first) = entries.iter().find(|entry| entry.name == name) {
                let problem = Diagnostic::error(
                    ids::REPEATED_FIELD,
                    reader.span(name),
                    format!("the field `{name}` is given twice"),
                );
                let first = reader.span(first.name);
                reader.report(problem.context(first, "first given here"));
                continue;
            }
            entries.push(Field {
                name,
                value: reader.inner(&value),
                taken: false,
            });
        }
        Some(Self {
            span: node.span,
            head: node.head(),
            entries,
            known: reader.lend_list(),
            missing: Vec::new(),
        })
    }

    /// Where the whole value stands.
    pub fn span(&self) -> Span {
        self.span
    }

    /// The word that says what the value is.
    pub fn head(&self) -> Span {
        self.head
    }

    /// Takes a field. `None` if it is needed but missing, or wrong (which is reported).
    pub fn take<T: Decode>(&mut self, name: &'static str, reader: &mut Reader<'_>) -> Option<T> {
        // A field named like a word of Rust is written `r#match` there.
        let name = plain_name(name);
        self.known.push(name);
        match self.entries.iter_mut().find(|entry| entry.name == name) {
            Some(entry) => {
                entry.taken = true;
                T::decode(entry.value, reader)
            }
            None => {
                let absent = T::absent();
                if absent.is_none() {
                    self.missing.push(name);
                }
                absent
            }
        }
    }

    /// Takes a map. One that cannot be read is reported, and stands for a map of which nothing is known.
    pub fn take_entries<T: Decode>(
        &mut self,
        name: &'static str,
        reader: &mut Reader<'_>,
    ) -> Entries<T> {
        self.take(name, reader).unwrap_or(Entries::broken())
    }

    /// Whether there is such a field.
    pub fn has(&self, name: &str) -> bool {
        self.entries.iter().any(|entry| entry.name == name)
    }

    /// Whether none of these fields is there, all of which may be.
    pub fn lacks_all(&mut self, names: &[&'static str]) -> bool {
        let lacks_all = !names.iter().any(|name| self.has(name));
        if lacks_all {
            self.known.extend(names);
        }
        lacks_all
    }

    /// Says that a field is needed, and missing.
    pub fn needs(&mut self, name: &'static str) {
        self.missing.push(name);
    }

    /// All fields as entries, for a struct that is open to any.
    pub fn into_entries<T: Decode>(self, reader: &mut Reader<'_>) -> Entries<T> {
        let entries = self.entries.into_iter().map(|field| Entry {
            name: Name {
                text: field.name.to_owned(),
                span: reader.span(field.name),
            },
            value: T::decode(field.value, reader),
        });
        Entries {
            list: entries.collect(),
            is_whole: true,
        }
    }

    /// Reports which fields are unknown, and which are missing: the latter only if none is unknown,
    /// since a misspelt one is probably the missing one.
    pub fn finish(self, reader: &mut Reader<'_>) {
        let mut has_unknown = false;
        for entry in self.entries.iter().filter(|entry| !entry.taken) {
            has_unknown = true;
            let message = format!("there is no field `{}` here", entry.name);
            let at = reader.span(entry.name);
            let problem = Diagnostic::error(ids::UNKNOWN_FIELD, at, message);
            reader.report(problem.help(did_you_mean_one_of(entry.name, &self.known)));
        }
        reader.take_back(self.known);
        if has_unknown {
            return;
        }
        for name in self.missing {
            let message = format!("the field `{name}` is missing");
            reader.report(Diagnostic::error(ids::MISSING_FIELD, self.head, message));
        }
    }
}

/// Reports that a value has no named fields.
fn not_fields<'t>(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Fields<'t>> {
    reader.wrong_type(node, "named fields, as in `(name: value)`");
    None
}
