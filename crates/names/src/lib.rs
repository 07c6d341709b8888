//! Makes names fit for the places where they are shown.
//!
//! Whoever writes a scenario chooses its names, and whoever runs it may not know him. A name is text
//! and nothing else: on a terminal it moves no cursor, in a table it begins no formula, in a page it
//! opens no tag, in a log it gives no command. There is one function for each place. All show a letter
//! that may not pass as its number, such as `\u{1b}`, so that nothing is hidden either.
//!
//! Beside them is what every text has in common: how [numbers] are shown, and lines that fit a width.

mod columns;
pub mod numbers;

pub use columns::Page;

use std::borrow::Cow;
use std::fmt::Write as _;

/// Whether a letter may never be shown as it is: control letters, those that end lines, those that turn
/// the direction of writing, and those that are no characters at all.
#[must_use]
pub fn is_unfit(letter: char) -> bool {
    match letter {
        // C0, DEL and C1.
        '\0'..='\u{1f}' | '\u{7f}'..='\u{9f}' => true,
        // Ends of lines and paragraphs.
        '\u{2028}' | '\u{2029}' => true,
        // Directions of writing.
        '\u{61c}' | '\u{200e}' | '\u{200f}' => true,
        '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => true,
        // No characters: the last two of each plane, and a stretch of Arabic forms.
        '\u{fdd0}'..='\u{fdef}' => true,
        _ => u32::from(letter) & 0xfffe == 0xfffe,
    }
}

/// A name in a line of text, for a terminal or anywhere else.
#[must_use]
pub fn text(name: &str) -> Cow<'_, str> {
    spelled(name, is_unfit)
}

/// A whole text of several lines, for a terminal or a log: only the ends of its lines pass. A line that
/// a CI service would take for a command is shown with its first letter spelled out.
#[must_use]
pub fn lines(whole: &str) -> Cow<'_, str> {
    let fit = spelled(whole, |letter| letter != '\n' && is_unfit(letter));
    match fit.contains("::") || fit.contains("##[") {
        true => fit
            .split('\n')
            .map(|line| no_command(line).into_owned())
            .collect::<Vec<_>>()
            .join("\n")
            .into(),
        false => fit,
    }
}

/// A text in which nothing can be taken for a command of a CI service: neither `::` in front of
/// everything else or behind a blank, nor `##[` anywhere.
fn no_command(line: &str) -> Cow<'_, str> {
    if !line.contains("::") && !line.contains("##[") {
        return line.into();
    }
    let mut text = String::new();
    let mut before = ' ';
    for (at, letter) in line.char_indices() {
        let rest = &line[at..];
        let is_command = before.is_whitespace() && begins_command(rest);
        match is_command || rest.starts_with("##[") {
            true => spell(letter, &mut text),
            false => text.push(letter),
        }
        before = letter;
    }
    text.into()
}

/// Whether a line that goes on so begins a command. It does not with the three colons by which diagnostics
/// name another place, unless a later pair of colons could close the name of a command.
fn begins_command(rest: &str) -> bool {
    match rest.strip_prefix("::: ") {
        Some(place) => place.contains("::"),
        None => rest.starts_with("::"),
    }
}

/// A page in HTML that is whole already: ends of lines and tabs pass.
#[must_use]
pub fn page(whole: &str) -> Cow<'_, str> {
    spelled(whole, |letter| {
        letter != '\n' && letter != '\t' && is_unfit(letter)
    })
}

/// A name in HTML or XML, between tags or in quotes.
#[must_use]
pub fn html(name: &str) -> Cow<'_, str> {
    let name = text(name);
    if !name.contains(['<', '>', '&', '"', '\'']) {
        return name;
    }
    let mut escaped = String::new();
    for letter in name.chars() {
        match letter {
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '&' => escaped.push_str("&amp;"),
            '"' => escaped.push_str("&quot;"),
            '\'' => escaped.push_str("&#39;"),
            other => escaped.push(other),
        }
    }
    escaped.into()
}

/// A text for a writer of XML that escapes tags itself: nothing is left that XML cannot hold. Ends of
/// lines pass.
#[must_use]
pub fn xml(name: &str) -> Cow<'_, str> {
    spelled(name, |letter| letter != '\n' && is_unfit(letter))
}

/// A text in a cell of a table of comma-separated values, before it is quoted. Spreadsheets take some
/// texts for formulas: an apostrophe keeps them from that. A number stays a number.
#[must_use]
pub fn csv_cell(name: &str) -> Cow<'_, str> {
    let fit = text(name);
    let begins_formula = name.starts_with(['=', '+', '-', '@', '\t', '\r', '＝', '＋', '－', '＠']);
    match begins_formula && !is_number(name) {
        true => format!("'{fit}").into(),
        false => fit,
    }
}

/// Whether a text is a number as our tables write them.
fn is_number(text: &str) -> bool {
    let is_of_number = |letter: char| letter.is_ascii_digit() || "+-.eE".contains(letter);
    text.chars().all(is_of_number) && text.parse::<f64>().is_ok()
}

/// A name in a line of Markdown or a cell of its tables: no mark of Markdown has a meaning in it, and no
/// tag.
#[must_use]
pub fn markdown(name: &str) -> Cow<'_, str> {
    const MARKS: &str = "\\`*_[]|#~!";
    let name = text(name);
    let has_meaning = |letter: char| MARKS.contains(letter) || "<>&".contains(letter);
    if !name.contains(has_meaning) {
        return name;
    }
    let mut escaped = String::new();
    for letter in name.chars() {
        match letter {
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '&' => escaped.push_str("&amp;"),
            mark if MARKS.contains(mark) => {
                escaped.push('\\');
                escaped.push(mark);
            }
            other => escaped.push(other),
        }
    }
    escaped.into()
}

/// The message of an annotation, which may have several lines.
#[must_use]
pub fn annotation(message: &str) -> String {
    let lines = message.split('\n');
    let lines = lines.map(|line| no_command(&text(line)).replace('%', "%25"));
    lines.collect::<Vec<_>>().join("%0A")
}

/// A property of an annotation, such as its file.
#[must_use]
pub fn annotation_property(name: &str) -> String {
    text(name)
        .replace('%', "%25")
        .replace(':', "%3A")
        .replace(',', "%2C")
}

/// A whole text in JSON: what may not be shown, and what CI services take for a command, stands in it as
/// JSON's own escape, which means the same. Names stay exact.
#[must_use]
pub fn json(whole: &str) -> Cow<'_, str> {
    // JSON escapes the others itself; those it has outside of texts are ends of lines.
    let is_unfit = |letter: char| letter >= '\u{7f}' && is_unfit(letter);
    if !whole.contains(is_unfit) && !whole.contains("##[") {
        return whole.into();
    }
    let mut escaped = String::new();
    for (at, letter) in whole.char_indices() {
        match is_unfit(letter) || whole[at..].starts_with("##[") {
            true => {
                for unit in letter.encode_utf16(&mut [0; 2]) {
                    // Writing to memory cannot fail.
                    let _ = write!(escaped, "\\u{unit:04x}");
                }
            }
            false => escaped.push(letter),
        }
    }
    escaped.into()
}

/// A text with some of its letters spelled out, and for each byte at which a letter began where that is
/// now: for those who point into it.
pub fn with_places(whole: &str) -> (String, impl Fn(usize) -> usize + use<>) {
    let mut fit = String::new();
    // Where what stands behind a letter spelled out began and begins: between them all moves alike.
    let mut moved: Vec<(usize, usize)> = vec![(0, 0)];
    for (at, letter) in whole.char_indices() {
        if is_unfit(letter) && letter != '\n' && letter != '\t' && letter != '\r' {
            // What points to the letter points to its beginning.
            moved.push((at, fit.len()));
            spell(letter, &mut fit);
            moved.push((at + letter.len_utf8(), fit.len()));
        } else {
            fit.push(letter);
        }
    }
    let place = move |byte: usize| {
        let after = moved.partition_point(|(was, _)| *was <= byte);
        let (was, is) = moved[after.saturating_sub(1)];
        is + (byte - was)
    };
    (fit, place)
}

/// A text with the letters spelled out for which that is asked.
fn spelled(whole: &str, is_spelled: impl Fn(char) -> bool) -> Cow<'_, str> {
    if !whole.contains(&is_spelled) {
        return whole.into();
    }
    let mut fit = String::new();
    for letter in whole.chars() {
        match is_spelled(letter) {
            true => spell(letter, &mut fit),
            false => fit.push(letter),
        }
    }
    fit.into()
}

/// Adds a letter as its number.
fn spell(letter: char, text: &mut String) {
    // Writing to memory cannot fail.
    let _ = write!(text, "\\u{{{:x}}}", u32::from(letter));
}

#[cfg(test)]
mod tests {
    use super::*;

    /// One of each sort that may not pass.
    const UNFIT: &str = "\0\u{7}\t\n\r\u{1b}\u{7f}\u{80}\u{9b}\u{2028}\u{2029}\u{61c}\u{200e}\
        \u{200f}\u{202a}\u{202e}\u{2066}\u{2069}\u{fdd0}\u{fffe}\u{ffff}\u{1ffff}";

    #[test]
    fn what_may_not_pass_is_spelled_out_and_all_else_stays() {
        assert_eq!(text("a\u{1b}[2Jb"), r"a\u{1b}[2Jb");
        assert!(matches!(text("Größe 3 — ∅ 👩‍🌾"), Cow::Borrowed(_)));
        for letter in UNFIT.chars() {
            let number = format!("\\u{{{:x}}}", u32::from(letter));
            assert_eq!(text(&letter.to_string()), number);
        }
    }

    #[test]
    fn ends_of_lines_pass_only_in_whole_texts() {
        assert_eq!(lines("a\nb\r\n"), "a\nb\\u{d}\n");
        assert_eq!(page("a\tb\n\u{85}"), "a\tb\n\\u{85}");
    }

    #[test]
    fn no_line_gives_a_command_to_a_ci_service() {
        assert_eq!(lines("a\n  ::error::b"), "a\n  \\u{3a}:error::b");
        assert_eq!(lines("x ##[error]"), "x \\u{23}#[error]");
        // Neither the ids of diagnostics nor the other places that they name are commands.
        assert_eq!(lines("   ::: hall.ron:3:9"), "   ::: hall.ron:3:9");
        assert_eq!(lines(" ::: error::b"), " \\u{3a}:: error::b");
        assert_eq!(lines("error[file::missing]"), "error[file::missing]");
        assert_eq!(annotation("a\n::stop::"), "a%0A\\u{3a}:stop::");
    }

    #[test]
    fn no_cell_begins_a_formula_and_numbers_stay_numbers() {
        for formula in ["=1", "+a", "-a", "@a", "\ta", "\ra", "-1+2", "--1"] {
            assert!(csv_cell(formula).starts_with('\''), "{formula:?}");
        }
        for number in ["-1", "+2.5", "-3e-7", "12"] {
            assert_eq!(csv_cell(number), number);
        }
    }

    #[test]
    fn marks_and_tags_have_no_meaning() {
        assert_eq!(html("<b a='\"'>&"), "&lt;b a=&#39;&quot;&#39;&gt;&amp;");
        assert_eq!(markdown("a|b `<i>` \\"), r"a\|b \`&lt;i&gt;\` \\");
        assert_eq!(annotation_property("a:b,c%\n"), "a%3Ab%2Cc%25\\u{a}");
    }

    #[test]
    fn json_means_the_same_and_has_nothing_raw() {
        let escaped = json("[\"\u{9b}é\u{202e}\u{1fffe}\"]\n");
        assert_eq!(escaped, "[\"\\u009bé\\u202e\\ud83f\\udffe\"]\n");
        assert_eq!(json("[\"##[error]\"]"), "[\"\\u0023#[error]\"]");
    }

    #[test]
    fn places_move_with_what_is_spelled_out() {
        let (fit, place) = with_places("ä\u{1b}b\u{202e}c");
        assert_eq!(fit, "ä\\u{1b}b\\u{202e}c");
        assert_eq!(&fit[place(0)..place(2)], "ä");
        assert_eq!(&fit[place(2)..place(3)], "\\u{1b}");
        assert_eq!(&fit[place(3)..place(4)], "b");
        assert_eq!(&fit[place(7)..place(8)], "c");
    }
}
