//! Lines that fit a width.

use hallwright_names as names;

/// How wide labels are.
const LABEL: usize = 10;

/// A text of so many columns that grows downwards.
pub(super) struct Page {
    width: usize,
    text: String,
}

impl Page {
    /// An empty page.
    pub(super) fn new(width_columns: u16) -> Self {
        Self {
            width: usize::from(width_columns),
            text: String::new(),
        }
    }

    /// How many columns there are.
    pub(super) fn width(&self) -> usize {
        self.width
    }

    /// The whole text. Nothing in it moves a terminal's cursor or gives a CI service a command.
    pub(super) fn finish(self) -> String {
        names::lines(&self.text).into_owned()
    }

    /// A line of its own below a blank one.
    pub(super) fn heading(&mut self, words: &str) {
        self.blank();
        self.wrapped("", "", words);
    }

    /// A blank line.
    pub(super) fn blank(&mut self) {
        self.text.push('\n');
    }

    /// A line that goes on below itself where it does not fit.
    pub(super) fn line(&mut self, words: &str) {
        self.wrapped("", "", words);
    }

    /// Words behind a label.
    pub(super) fn labelled(&mut self, label: &str, words: &str) {
        let label = format!("  {label:<LABEL$}");
        self.wrapped(&label, &" ".repeat(label.len()), words);
    }

    /// One of a list.
    pub(super) fn item(&mut self, words: &str) {
        self.wrapped("  ", "      ", words);
    }

    /// A line that is never broken.
    pub(super) fn unbroken(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    /// Words that go on behind `below` where they do not fit. Names in them are made fit.
    fn wrapped(&mut self, first: &str, below: &str, words: &str) {
        let words = names::text(words);
        let mut line = first.to_owned();
        let mut is_empty = true;
        for word in glued(&words) {
            let length = line.chars().count() + 1 + word.chars().count();
            if !is_empty && length > self.width {
                self.unbroken(&line);
                below.clone_into(&mut line);
                is_empty = true;
            }
            if !is_empty {
                line.push(' ');
            }
            line.push_str(&word);
            is_empty = false;
        }
        self.unbroken(&line);
    }
}

/// Words, with numbers glued to what they count, and blocks such as `(1, 2, 3)` whole.
fn glued(words: &str) -> Vec<String> {
    let mut glued: Vec<String> = Vec::new();
    // How many more words belong to the last one.
    let mut open = 0;
    for word in words.split(' ') {
        match glued.last_mut() {
            Some(last) if open > 0 => {
                last.push(' ');
                last.push_str(word);
                open -= 1;
            }
            _ => {
                let is_number = word.parse::<u64>().is_ok();
                let opens = word.starts_with('(') && word.ends_with(',');
                open = if opens { 2 } else { u8::from(is_number) };
                glued.push(word.to_owned());
            }
        }
    }
    glued
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_block_and_no_number_is_broken_off() {
        let glued = glued("at (1, 2, 3) there is 1 hopper, and");
        assert_eq!(
            glued,
            ["at", "(1, 2, 3)", "there", "is", "1 hopper,", "and"]
        );
    }
}
