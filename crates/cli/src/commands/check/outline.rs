//! The outline of a scenario's text: where its goals stand. The language is read in the crate
//! `scenario`; this reads no more than brackets, names and lines, of a text that was found sound.

/// What stands where.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub(super) struct Outline {
    /// The fields of the file.
    pub(super) fields: Vec<String>,
    /// The names of the variants.
    pub(super) variants: Vec<String>,
    /// The goals, in the order of the text.
    goals: Vec<GoalPlace>,
    /// The line of the field `goals`.
    goals_line: usize,
    /// The variants that goals stand below in `OnlyFor`.
    only_for: Vec<String>,
}

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
struct GoalPlace {
    line: usize,
    /// The `OnlyFor` that it stands in.
    only_for: Option<usize>,
}

impl Outline {
    /// The outline of a text.
    pub(super) fn of(text: &str) -> Self {
        let tokens = tokens(text);
        let mut reader = OutlineReader {
            outline: Self::default(),
            frames: Vec::new(),
        };
        for place in 0..tokens.len() {
            reader.token(&tokens, place);
        }
        reader.outline
    }

    /// The lines of the goals that hold in a variant, from 1. If there are not as many as expected,
    /// all are said to stand where the goals begin.
    pub(super) fn goal_lines(&self, variant: Option<&str>, expected: usize) -> Vec<usize> {
        let holds = |goal: &&GoalPlace| {
            goal.only_for
                .is_none_or(|place| Some(self.only_for[place].as_str()) == variant)
        };
        let goals = self.goals.iter().filter(holds);
        let lines: Vec<usize> = goals.map(|goal| goal.line).collect();
        if lines.len() == expected {
            lines
        } else {
            vec![self.goals_line.max(1); expected]
        }
    }
}

#[derive(PartialEq, Eq, Debug)]
enum TokenKind {
    Word(String),
    Text(String),
    Mark(char),
}

#[derive(PartialEq, Eq, Debug)]
struct Token {
    kind: TokenKind,
    line: usize,
}

/// Something in brackets.
struct Frame {
    opener: char,
    /// The field that it is the value of, or the word before it.
    label: String,
    /// The `OnlyFor` that this is or is in.
    only_for: Option<usize>,
}

struct OutlineReader {
    outline: Outline,
    frames: Vec<Frame>,
}

impl OutlineReader {
    fn token(&mut self, tokens: &[Token], place: usize) {
        let mark = |place: Option<usize>| match place.and_then(|place| tokens.get(place)) {
            Some(Token {
                kind: TokenKind::Mark(mark),
                ..
            }) => Some(*mark),
            _ => None,
        };
        let before = mark(place.checked_sub(1));
        let is_field = mark(Some(place + 1)) == Some(':');
        let token = &tokens[place];
        match &token.kind {
            TokenKind::Mark(opener @ ('(' | '[' | '{')) => self.open(*opener, tokens, place),
            TokenKind::Mark(')' | ']' | '}') => {
                self.frames.pop();
            }
            TokenKind::Mark(_) => {}
            TokenKind::Word(word) => {
                if is_field && self.frames.len() == 1 {
                    self.outline.fields.push(word.clone());
                    if word == "goals" {
                        self.outline.goals_line = token.line;
                    }
                } else if self.is_in_goals() && matches!(before, Some('[' | ',')) {
                    self.goal(word, token.line);
                }
            }
            TokenKind::Text(text) => self.text(text, is_field, tokens, place),
        }
    }

    fn open(&mut self, opener: char, tokens: &[Token], place: usize) {
        let word = |back: usize| match place.checked_sub(back).map(|place| &tokens[place].kind) {
            Some(TokenKind::Word(word) | TokenKind::Text(word)) => Some(word.clone()),
            _ => None,
        };
        let label = word(1).or_else(|| {
            let is_value = place
                .checked_sub(1)
                .is_some_and(|place| tokens[place].kind == TokenKind::Mark(':'));
            word(2).filter(|_| is_value)
        });
        let label = label.unwrap_or_default();
        let mut only_for = self.frames.last().and_then(|frame| frame.only_for);
        if label == "OnlyFor" && self.is_in_goals() {
            only_for = Some(self.outline.only_for.len());
            self.outline.only_for.push(String::new());
        }
        self.frames.push(Frame {
            opener,
            label,
            only_for,
        });
    }

    /// Whether the innermost brackets are a list of goals.
    fn is_in_goals(&self) -> bool {
        let is_list = |frame: &Frame| frame.opener == '[' && frame.label == "goals";
        self.frames.last().is_some_and(is_list)
    }

    fn goal(&mut self, word: &str, line: usize) {
        if word != "OnlyFor" {
            let only_for = self.frames.last().and_then(|frame| frame.only_for);
            self.outline.goals.push(GoalPlace { line, only_for });
        }
    }

    fn text(&mut self, text: &str, is_field: bool, tokens: &[Token], place: usize) {
        let Some(frame) = self.frames.last() else {
            return;
        };
        let field = place.checked_sub(2).map(|place| &tokens[place].kind);
        let is_variant = field == Some(&TokenKind::Word("variant".to_owned()));
        if is_field && self.frames.len() == 2 && frame.label == "variants" {
            self.outline.variants.push(text.to_owned());
        } else if frame.label == "OnlyFor"
            && is_variant
            && let Some(place) = frame.only_for
        {
            text.clone_into(&mut self.outline.only_for[place]);
        }
    }
}

/// Takes a text apart into words, quoted texts and marks; comments are left out.
fn tokens(text: &str) -> Vec<Token> {
    let mut tokens = Vec::new();
    let mut line = 1;
    let mut rest = text;
    while let Some(letter) = rest.chars().next() {
        let length = match letter {
            '/' if rest.starts_with("//") => rest.find('\n').unwrap_or(rest.len()),
            '/' if rest.starts_with("/*") => comment_length(rest),
            '"' => {
                let (content, length) = quoted(rest);
                let kind = TokenKind::Text(content);
                tokens.push(Token { kind, line });
                length
            }
            letter if letter.is_alphabetic() || letter == '_' => {
                let end = rest.find(|c: char| !c.is_alphanumeric() && c != '_');
                let length = end.unwrap_or(rest.len());
                let kind = TokenKind::Word(rest[..length].to_owned());
                tokens.push(Token { kind, line });
                length
            }
            letter => {
                if !letter.is_whitespace() {
                    let kind = TokenKind::Mark(letter);
                    tokens.push(Token { kind, line });
                }
                letter.len_utf8()
            }
        };
        line += rest[..length].matches('\n').count();
        rest = &rest[length..];
    }
    tokens
}

/// How long the comment at the beginning of this text is, comments inside it included.
fn comment_length(text: &str) -> usize {
    let mut depth = 0;
    let mut place = 0;
    while place < text.len() {
        let rest = &text[place..];
        if rest.starts_with("/*") {
            depth += 1;
            place += 2;
        } else if rest.starts_with("*/") {
            depth -= 1;
            place += 2;
            if depth == 0 {
                return place;
            }
        } else {
            place += rest.chars().next().map_or(1, char::len_utf8);
        }
    }
    text.len()
}

/// The text in the quotes at the beginning of this one, and its length with them.
fn quoted(text: &str) -> (String, usize) {
    let mut content = String::new();
    let mut letters = text.char_indices().skip(1);
    while let Some((place, letter)) = letters.next() {
        match letter {
            '"' => return (content, place + 1),
            '\\' => content.extend(letters.next().map(|(_, letter)| letter)),
            letter => content.push(letter),
        }
    }
    (content, text.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = r#"// goals: [ Not, these ]
(
    title: "a \"goals: [\" b",
    variants: {"one": {"n": 1}, "two": {}},
    modules: {"m": (parts: {"goals": Chest()})},
    goals: [
        MisplacedAtMost(Plus(0, "$n")), /* LostAtMost(0), */
        OnlyFor(variant: "two", goals: [
            SievesIntact,
            Contents(parts: ["x", "y"], at_least: Pick([1, 2], 0)),
        ]),
        OnlyFor(goals: [LostAtMost(0)], variant: "one"),
        MarkWithin(
            mark: Cleared, within: "2s"),
    ],
)
"#;

    #[test]
    fn each_goal_has_the_line_where_it_begins() {
        let outline = Outline::of(TEXT);
        assert_eq!(outline.fields, ["title", "variants", "modules", "goals"]);
        assert_eq!(outline.variants, ["one", "two"]);
        assert_eq!(outline.goal_lines(Some("one"), 3), [7, 12, 13]);
        assert_eq!(outline.goal_lines(Some("two"), 4), [7, 9, 10, 13]);
        assert_eq!(outline.goal_lines(None, 2), [7, 13]);
    }

    #[test]
    fn goals_that_cannot_be_told_apart_stand_where_they_begin() {
        assert_eq!(Outline::of(TEXT).goal_lines(None, 3), [6, 6, 6]);
        assert_eq!(Outline::of("").goal_lines(None, 1), [1]);
    }
}
