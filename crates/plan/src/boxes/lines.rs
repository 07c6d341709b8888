//! Text in lines, each as far in as what it belongs to.

/// Lines that are written one below the other.
pub(super) struct Lines {
    text: String,
    depth: usize,
}

impl Lines {
    /// None yet; the first will be so many steps of four blanks in.
    pub(super) fn at(depth: usize) -> Self {
        Self {
            text: String::new(),
            depth,
        }
    }

    /// A line.
    pub(super) fn line(&mut self, line: impl AsRef<str>) {
        for _ in 0..self.depth {
            self.text.push_str("    ");
        }
        self.text.push_str(line.as_ref());
        self.text.push('\n');
    }

    /// A line that opens something, what is in it, and the line that closes it.
    pub(super) fn within(
        &mut self,
        open: impl AsRef<str>,
        close: &str,
        inside: impl FnOnce(&mut Self),
    ) {
        self.line(open);
        self.depth += 1;
        inside(self);
        self.depth -= 1;
        self.line(close);
    }

    /// A field with a list, a line for each of its entries.
    pub(super) fn list(&mut self, field: &str, entries: impl IntoIterator<Item = String>) {
        self.within(format!("{field}: ["), "],", |lines| {
            for entry in entries {
                lines.line(format!("{entry},"));
            }
        });
    }

    /// All of it, with a newline at its end.
    pub(super) fn into_text(self) -> String {
        self.text
    }
}

/// A block as it is written.
pub(super) fn block([x, y, z]: [i64; 3]) -> String {
    format!("({x}, {y}, {z})")
}

/// A text in quotes. Names are checked to need no escapes.
pub(super) fn quoted(text: &str) -> String {
    format!("{text:?}")
}

/// Texts in quotes, with commas between them.
pub(super) fn listed<T: AsRef<str>>(texts: impl IntoIterator<Item = T>) -> String {
    let texts = texts.into_iter().map(|text| quoted(text.as_ref()));
    texts.collect::<Vec<_>>().join(", ")
}
