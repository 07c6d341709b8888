//! Pages are read by people in a hurry, often in a language that is not their first: sentences are
//! short, one thought each, and a page ends before its reader tires.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::root;

const MOST_WORDS_OF_A_SENTENCE: usize = 25;
const MOST_WORDS_OF_A_PAGE: usize = 2_500;

/// Turns of phrase that have to be decoded, and what is plain. Small letters, between blanks.
const DECODED: [(&str, &str); 12] = [
    ("is no", "is not a"),
    ("are no", "are not"),
    ("was no", "was not a"),
    ("were no", "were not"),
    ("is told", "is reported"),
    ("are told", "are reported"),
    ("for want of", "because there is not any"),
    ("may be had", "is possible"),
    ("is to be had", "is possible"),
    ("beforehand", "before"),
    ("lest", "so that not"),
    ("no wise", "not"),
];

/// What stands for a span of code in a text: one word, whatever is in it.
const CODE: char = '\u{25a1}';

/// Text that belongs together, such as a paragraph or the cell of a table, and the line it begins on.
struct Block {
    line: usize,
    text: String,
}

/// A sentence and the line it begins on.
#[derive(Debug, PartialEq)]
struct Sentence {
    line: usize,
    text: String,
}

impl Sentence {
    fn words(&self) -> usize {
        words(&self.text).count()
    }
}

/// What has a letter or a digit, or is a span of code, between blanks.
fn words(text: &str) -> impl Iterator<Item = &str> {
    let is_word = |word: &&str| {
        word.chars()
            .any(|letter| letter.is_alphanumeric() || letter == CODE)
    };
    text.split_whitespace().filter(is_word)
}

/// A page without its blocks of code and its comments, cut where a thought cannot go on.
fn blocks(page: &str) -> Vec<Block> {
    let mut blocks: Vec<Block> = Vec::new();
    let mut fence = None;
    let mut is_comment = false;
    let mut is_open = false;
    for (line, text) in (1..).zip(page.lines()) {
        let trimmed = text.trim();
        if let Some(marks) = fence {
            if trimmed.starts_with(marks) {
                fence = None;
            }
            continue;
        }
        fence = ["```", "~~~"]
            .into_iter()
            .find(|marks| trimmed.starts_with(marks));
        is_comment |= trimmed.starts_with("<!--");
        if fence.is_some() || is_comment || trimmed.is_empty() {
            is_comment &= !trimmed.ends_with("-->");
            is_open = false;
            continue;
        }
        if trimmed.starts_with('|') {
            for text in cells(trimmed) {
                blocks.push(Block { line, text });
            }
            is_open = false;
            continue;
        }
        let is_heading = trimmed.starts_with('#');
        let item = item(trimmed);
        if !is_open || is_heading || item.is_some() {
            blocks.push(Block {
                line,
                text: String::new(),
            });
        }
        let block = blocks.last_mut().expect("one was begun");
        if !block.text.is_empty() {
            block.text.push('\n');
        }
        block
            .text
            .push_str(item.unwrap_or(trimmed).trim_start_matches(['#', '>', ' ']));
        is_open = !is_heading;
    }
    for block in &mut blocks {
        block.text = plain(&block.text);
    }
    blocks
}

/// What stands behind the mark of a list's item.
fn item(line: &str) -> Option<&str> {
    let behind = line.trim_start_matches(|letter: char| letter.is_ascii_digit());
    let marks: &[&str] = if behind.len() < line.len() {
        &[". ", ") "]
    } else {
        &["- ", "* ", "+ "]
    };
    marks.iter().find_map(|mark| behind.strip_prefix(mark))
}

/// The cells of a table's row; none of the rule below its head.
fn cells(row: &str) -> Vec<String> {
    let is_rule = row.chars().all(|letter| "|-: ".contains(letter));
    if is_rule {
        return Vec::new();
    }
    let mut cells = vec![String::new()];
    let mut is_code = false;
    let mut is_escaped = false;
    for letter in row.trim_matches('|').chars() {
        is_code ^= letter == '`';
        if letter == '|' && !is_code && !is_escaped {
            cells.push(String::new());
        } else {
            cells.last_mut().expect("there is one").push(letter);
        }
        is_escaped = letter == '\\';
    }
    cells
}

/// Without marks: a span of code is one letter, a link is its words. Ends of lines stay where they are.
fn plain(text: &str) -> String {
    let mut plain = String::new();
    let mut rest = text;
    while let Some(letter) = rest.chars().next() {
        let after = &rest[letter.len_utf8()..];
        rest = after;
        match letter {
            '`' => {
                let marks = 1 + after.len() - after.trim_start_matches('`').len();
                let inside = &after[marks - 1..];
                match inside.split_once(&"`".repeat(marks)) {
                    Some((code, behind)) => {
                        plain.push(CODE);
                        plain.extend(code.chars().filter(|letter| *letter == '\n'));
                        rest = behind;
                    }
                    None => plain.push(letter),
                }
            }
            ']' if after.starts_with('(') => {
                rest = after.split_once(')').map_or("", |(_, behind)| behind);
            }
            '[' | '*' | '\\' => {}
            '!' if after.starts_with('[') => {}
            _ => plain.push(letter),
        }
    }
    plain
}

/// A sentence ends at a full stop, question or exclamation mark before a blank and no small letter, but for
/// the command's own name.
fn sentences(page: &str) -> Vec<Sentence> {
    let mut sentences = Vec::new();
    for Block { mut line, text } in blocks(page) {
        let letters: Vec<char> = text.chars().collect();
        let mut begin = 0;
        for end in 1..=letters.len() {
            let is_end = end == letters.len() || ends(&letters[..end], &letters[end..]);
            if !is_end {
                continue;
            }
            let text: String = letters[begin..end].iter().collect();
            let skipped = text.len() - text.trim_start().len();
            let before = text[..skipped].matches('\n').count();
            let breaks = text.matches('\n').count();
            if words(&text).next().is_some() {
                sentences.push(Sentence {
                    line: line + before,
                    text: text.split_whitespace().collect::<Vec<_>>().join(" "),
                });
            }
            line += breaks;
            begin = end;
        }
    }
    sentences
}

/// Whether a sentence ends between the two.
fn ends(before: &[char], after: &[char]) -> bool {
    if !after[0].is_whitespace() {
        return false;
    }
    let mut before = before.iter().rev();
    let last = before.find(|letter| !"\"')_\u{201d}".contains(**letter));
    let next: String = after
        .iter()
        .skip_while(|letter| letter.is_whitespace())
        .take("hallwright".len())
        .collect();
    last.is_some_and(|last| ".?!".contains(*last))
        && (next == "hallwright" || !next.starts_with(char::is_lowercase))
}

/// What in a sentence has to be decoded.
fn decoded(sentence: &str) -> Option<String> {
    let small = sentence
        .to_lowercase()
        .replace(|letter: char| !letter.is_alphanumeric(), " ");
    let small = format!(" {} ", words(&small).collect::<Vec<_>>().join(" "));
    // These are plain.
    let small = [
        "there is no ",
        "there are no ",
        " is no longer ",
        " are no longer ",
    ]
    .iter()
    .fold(small, |text, said| text.replace(said, " "));
    let phrase = DECODED
        .iter()
        .find(|(said, _)| small.contains(&format!(" {said} ")));
    if let Some((said, better)) = phrase {
        return Some(format!("`{said}`: say `{better}`"));
    }
    // A label has a colon, and may be a clause.
    let is_whole = sentence.ends_with('.') && !sentence.contains(": ");
    let begins = |word: &str| is_whole && sentence.starts_with(word);
    if begins("What ") || begins("Whoever ") || begins("Whatever ") {
        return Some("begins with a clause: begin with the subject".to_owned());
    }
    if begins("Of ") && !begins("Of course") {
        return Some("begins with `Of`: begin with the subject".to_owned());
    }
    None
}

/// What breaks a rule on a page, with the line it is on.
fn problems(name: &str, page: &str) -> Vec<String> {
    let mut problems = Vec::new();
    let words = words(page).count();
    if words > MOST_WORDS_OF_A_PAGE {
        problems.push(format!(
            "{name}: {words} words, at most {MOST_WORDS_OF_A_PAGE}"
        ));
    }
    for sentence in sentences(page) {
        let Sentence { line, text } = &sentence;
        let words = sentence.words();
        if words > MOST_WORDS_OF_A_SENTENCE {
            problems.push(format!("{name}:{line}: {words} words: {text}"));
        }
        if let Some(problem) = decoded(text) {
            problems.push(format!("{name}:{line}: {problem}: {text}"));
        }
    }
    problems
}

/// The pages for users, by the names they have from the root. The changelog is a list of the past.
fn pages() -> BTreeMap<String, PathBuf> {
    let root = root();
    let mut pages = vec![root.join("README.md")];
    super::words::files(&root.join("docs"), &["md"], &mut pages);
    let named = pages.into_iter().map(|path| {
        let name = path.strip_prefix(&root).unwrap_or(Path::new("")).display();
        (name.to_string(), path.clone())
    });
    named
        .filter(|(name, _)| name != "docs/CHANGELOG.md")
        .collect()
}

#[test]
fn pages_are_plain() {
    let pages = pages();
    assert!(pages.len() > 15);
    let mut broken = Vec::new();
    for (name, path) in &pages {
        let page = std::fs::read_to_string(path).expect("a text");
        broken.extend(problems(name, &page));
    }
    assert!(broken.is_empty(), "{}", broken.join("\n"));
}

#[test]
fn sentences_are_found_with_their_lines() {
    let page = "\
# A heading

The first takes 8.7 s. It
goes on. Does `a command. With a stop` end it? (Yes.) See
[the words. Of it](../there.md#a-b), e.g. this one.

- An item
  of two lines
1. Another. With two

| head | `a | b` |
| --- | ---: |
| a \\| cell. Of two | 3 |

```console
$ this is not a sentence
```
<!-- nor is this -->
![A picture](pictures/a.png)
";
    let expected = [
        (1, "A heading", 2),
        (3, "The first takes 8.7 s.", 5),
        (3, "It goes on.", 3),
        (4, "Does \u{25a1} end it?", 4),
        (4, "(Yes.)", 1),
        (4, "See the words.", 3),
        (5, "Of it, e.g. this one.", 5),
        (7, "An item of two lines", 5),
        (9, "Another.", 1),
        (9, "With two", 2),
        (11, "head", 1),
        (11, "\u{25a1}", 1),
        (13, "a | cell.", 2),
        (13, "Of two", 2),
        (13, "3", 1),
        (19, "A picture", 2),
    ];
    let found = sentences(page);
    let found: Vec<(usize, &str, usize)> = found
        .iter()
        .map(|sentence| (sentence.line, sentence.text.as_str(), sentence.words()))
        .collect();
    assert_eq!(found, expected);
}

#[test]
fn what_is_too_long_is_named_with_its_line() {
    let long = vec!["Word"; MOST_WORDS_OF_A_SENTENCE + 1].join(" ");
    let page = format!("Short.\n\nShort, too. {long}\n");
    let found = problems("a.md", &page);
    assert_eq!(found.len(), 1);
    assert!(found[0].starts_with("a.md:3: 26 words: Word"), "{found:?}");
    let just = vec!["Word"; MOST_WORDS_OF_A_SENTENCE].join(" ");
    assert_eq!(problems("a.md", &just), Vec::<String>::new());
    let page = format!("{just}.\n\n").repeat(101);
    assert_eq!(problems("a.md", &page), ["a.md: 2525 words, at most 2500"]);
    // The words in a block of code belong to the page (and that it is text), though not to a sentence.
    let page = format!("```text\n{page}```\n");
    assert_eq!(problems("a.md", &page), ["a.md: 2526 words, at most 2500"]);
}

#[test]
fn what_has_to_be_decoded_is_found() {
    for said in [
        "A box is no hopper.",
        "The result\nis told.",
        "What is not declared is left out.",
        "Whoever builds one knows.",
        "Of a miss, the worst run is shown.",
    ] {
        assert_eq!(problems("a.md", said).len(), 1, "{said}");
    }
    for said in [
        "What does it cost?",
        "## What a stop is made of",
        "There is no room.",
        "It is no longer there.",
        "Ask what it is.",
        "What to bring: all blocks.",
        "`is no ` is code.",
    ] {
        assert_eq!(problems("a.md", said), Vec::<String>::new(), "{said}");
    }
}
