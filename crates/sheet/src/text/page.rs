//! What the sheet's lines have in common.

use hallwright_names::Page;

/// How wide labels are.
const LABEL: usize = 12;

/// An empty page of so many columns.
pub(super) fn new(width_columns: u16) -> Page {
    Page::new(width_columns, glued)
}

/// A line of its own below a blank one.
pub(super) fn heading(page: &mut Page, words: &str) {
    page.blank();
    page.line(words);
}

/// Words behind a label.
pub(super) fn labelled(page: &mut Page, label: &str, words: &str) {
    page.labelled(&format!("  {label}"), LABEL, words);
}

/// One of a list.
pub(super) fn item(page: &mut Page, words: &str) {
    page.hanging("  ", "      ", words);
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
