//! The named fields of one value.

use super::decode::{Decode, Entries, Entry, Name};
use super::node::{Node, Reader};
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

/// Few documents know more fields than so many.
const USUAL_FIELDS: usize = 16;

struct Field<'t> {
    name: &'t str,
    name_span: Span,
    value: Node<'t>,
    taken: bool,
}

impl<'t> Fields<'t> {
    /// The fields of a value; reports if it has none to offer, or one twice.
    pub fn read(node: Node<'t>, reader: &mut Reader<'_>) -> Option<Self> {
        let Some(pairs) = node.fields() else {
            reader.wrong_type(node, "named fields, as in `(name: value)`");
            return None;
        };
        let mut entries: Vec<Field<'t>> = Vec::with_capacity(pairs.len());
        for (name, value) in pairs {
            let name_span = reader.span(name);
            if let Some(first) = entries.iter().find(|entry| entry.name == name) {
                let problem = Diagnostic::error(
                    ids::REPEATED_FIELD,
                    name_span,
                    format!("the field `{name}` is given twice"),
                );
                reader.report(problem.context(first.name_span, "first given here"));
                continue;
            }
            let value = reader.node(value);
            entries.push(Field {
                name,
                name_span,
                value,
                taken: false,
            });
        }
        Some(Self {
            span: node.span,
            head: node.head,
            entries,
            known: Vec::with_capacity(USUAL_FIELDS),
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
        let name = name.strip_prefix("r#").unwrap_or(name);
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
                span: field.name_span,
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
            let problem = Diagnostic::error(ids::UNKNOWN_FIELD, entry.name_span, message);
            reader.report(problem.help(did_you_mean_one_of(entry.name, &self.known)));
        }
        if has_unknown {
            return;
        }
        for name in self.missing {
            let message = format!("the field `{name}` is missing");
            reader.report(Diagnostic::error(ids::MISSING_FIELD, self.head, message));
        }
    }
}
