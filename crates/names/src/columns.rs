//! Lines that fit a width.

use super::{lines, text};

/// A text of so many columns that grows downwards.
pub struct Page {
    width: usize,
    /// The pieces of words between which a line may be broken.
    pieces: fn(&str) -> Vec<String>,
    text: String,
}

impl Page {
    /// An empty page of so many columns. `pieces` takes words apart where a line may be broken.
    #[must_use]
    pub fn new(width_columns: u16, pieces: fn(&str) -> Vec<String>) -> Self {
        Self {
            width: usize::from(width_columns),
            pieces,
            text: String::new(),
        }
    }

    /// How many columns there are.
    #[must_use]
    pub fn width(&self) -> usize {
        self.width
    }

    /// The whole text. Nothing in it moves a terminal's cursor or gives a CI service a command.
    #[must_use]
    pub fn finish(self) -> String {
        lines(&self.text).into_owned()
    }

    /// A blank line.
    pub fn blank(&mut self) {
        self.push("");
    }

    /// A blank line, unless there is one or nothing is above.
    pub fn gap(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with("\n\n") {
            self.blank();
        }
    }

    /// A line that goes on below itself where it does not fit.
    pub fn line(&mut self, words: &str) {
        self.hanging("", "", words);
    }

    /// Words behind a label of so many columns; they go on below themselves where they do not fit.
    pub fn labelled(&mut self, label: &str, label_width: usize, words: &str) {
        let label = format!("{:<label_width$}", text(label));
        self.hanging(&label, &" ".repeat(label_width), words);
    }

    /// Words behind `first` that go on behind `below` where they do not fit. Names in them are made fit.
    pub fn hanging(&mut self, first: &str, below: &str, words: &str) {
        let mut line = first.to_owned();
        let mut is_empty = true;
        for piece in (self.pieces)(&text(words)) {
            let length = line.chars().count() + 1 + piece.chars().count();
            if !is_empty && length > self.width {
                self.push(&line);
                below.clone_into(&mut line);
                is_empty = true;
            }
            if !is_empty {
                line.push(' ');
            }
            line.push_str(&piece);
            is_empty = false;
        }
        self.push(&line);
    }

    /// A line that is never broken.
    pub fn unbroken(&mut self, line: &str) {
        self.push(&text(line));
    }

    fn push(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(words: &str) -> Vec<String> {
        words.split(' ').map(str::to_owned).collect()
    }

    #[test]
    fn long_lines_go_on_below_themselves() {
        let mut page = Page::new(40, words);
        page.labelled("Lost", 6, "one two three four five six seven eight nine");
        page.hanging("- ", "    ", "ten eleven twelve thirteen fourteen fifteen");
        assert_eq!(
            page.finish(),
            "Lost  one two three four five six seven\n      eight nine\n\
             - ten eleven twelve thirteen fourteen\n    fifteen\n"
        );
    }

    #[test]
    fn a_page_begins_with_no_gap_and_has_no_two_together() {
        let mut page = Page::new(40, words);
        page.gap();
        page.line("above");
        page.gap();
        page.gap();
        page.unbroken("below\u{1b}  ");
        assert_eq!(page.finish(), "above\n\nbelow\\u{1b}\n");
    }
}
