//! The answers of one run, or of two beside each other: each question is asked once.

use serde::Serialize;

use super::summary::{Card, Line, Summary};

/// A question and what each run answers.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub(super) struct Question {
    /// What is asked.
    question: &'static str,
    /// How many pixels wide it should be for one run.
    room_pixels: u16,
    /// The worst state of the answers.
    state: &'static str,
    /// The answer of each run.
    answers: Vec<Answer>,
    /// What there is to say to it.
    rows: Vec<QuestionRow>,
}

/// The answer of one run.
#[derive(Clone, PartialEq, Debug, Default, Serialize)]
struct Answer {
    state: &'static str,
    answer: String,
}

/// A line with the figure of each run.
#[derive(Clone, PartialEq, Debug, Serialize)]
struct QuestionRow {
    label: String,
    /// The bound, if a goal sets the same one for every run; else each figure has its own.
    bound: String,
    /// Whether it is words alone.
    is_said: bool,
    cells: Vec<Line>,
}

/// Puts the answers of all runs together.
pub(super) fn beside(runs: &[&Summary]) -> Vec<Question> {
    let mut questions: Vec<&'static str> = Vec::new();
    for card in runs.iter().flat_map(|run| &run.cards) {
        if !questions.contains(&card.question) {
            questions.push(card.question);
        }
    }
    questions
        .into_iter()
        .map(|question| {
            let cards = runs.iter().map(|run| {
                let mut cards = run.cards.iter();
                cards.find(|card| card.question == question)
            });
            asked(question, &cards.collect::<Vec<_>>())
        })
        .collect()
}

fn asked(question: &'static str, cards: &[Option<&Card>]) -> Question {
    let answers: Vec<Answer> = cards
        .iter()
        .map(|card| {
            card.map_or_else(Answer::default, |card| Answer {
                state: card.state,
                answer: card.answer.clone(),
            })
        })
        .collect();
    let has = |state: &str| answers.iter().any(|answer| answer.state == state);
    let state = ["bad", "unknown", "open", "allowed", "plain", "good"]
        .into_iter()
        .find(|state| has(state));
    let mut labels: Vec<&str> = Vec::new();
    for line in cards.iter().flatten().flat_map(|card| &card.lines) {
        if !labels.contains(&line.label.as_str()) {
            labels.push(&line.label);
        }
    }
    let rows = labels.into_iter().map(|label| {
        let cells: Vec<Line> = cards
            .iter()
            .map(|card| {
                let mut lines = card.iter().flat_map(|card| &card.lines);
                let line = lines.find(|line| line.label == label);
                line.cloned().unwrap_or_default()
            })
            .collect();
        let bound = cells.first().map(|cell| cell.bound.clone());
        let bound = bound.filter(|bound| cells.iter().all(|cell| cell.bound == *bound));
        QuestionRow {
            label: label.to_owned(),
            bound: bound.unwrap_or_default(),
            is_said: cells.iter().all(|cell| cell.figure.is_empty()),
            cells,
        }
    });
    let widest = cards.iter().flatten().map(|card| card.room_pixels);
    Question {
        question,
        room_pixels: widest.max().unwrap_or(0),
        state: state.unwrap_or("plain"),
        rows: rows.collect(),
        answers,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn summary(state: &'static str, lines: &[(&str, &str)]) -> Summary {
        let lines = lines.iter().map(|(label, figure)| Line {
            label: (*label).to_owned(),
            figure: (*figure).to_owned(),
            ..Line::default()
        });
        Summary {
            name: String::new(),
            cards: vec![Card {
                question: "Lost",
                state,
                room_pixels: 100,
                answer: String::new(),
                lines: lines.collect(),
            }],
            goals: Vec::new(),
            made_from: Vec::new(),
        }
    }

    #[test]
    fn a_line_of_either_run_has_a_figure_for_both() {
        let one = summary("good", &[("items", "0 items")]);
        let other = summary("bad", &[("items", "3 items"), ("barley at pond", "5.0 s")]);
        let questions = beside(&[&one, &other]);
        assert_eq!(questions.len(), 1);
        assert_eq!(questions[0].state, "bad");
        let rows: Vec<(&str, &str, &str)> = questions[0]
            .rows
            .iter()
            .map(|row| {
                let figure = |run: usize| row.cells[run].figure.as_str();
                (row.label.as_str(), figure(0), figure(1))
            })
            .collect();
        assert_eq!(
            rows,
            [
                ("items", "0 items", "3 items"),
                ("barley at pond", "", "5.0 s")
            ]
        );
    }

    #[test]
    fn a_bound_stands_with_the_run_whose_goal_sets_it() {
        let bound = |mut summary: Summary, bound: &str| {
            summary.cards[0].lines[0].bound = bound.to_owned();
            summary
        };
        let one = bound(summary("good", &[("cleared", "7.9 s")]), "≤ 9.0 s");
        let other = summary("good", &[("cleared", "43.3 s")]);
        let row = &beside(&[&one, &other])[0].rows[0];
        assert_eq!(row.bound, "", "nothing bounds the other run");
        assert_eq!(
            (row.cells[0].bound.as_str(), row.cells[1].bound.as_str()),
            ("≤ 9.0 s", "")
        );
        let row = &beside(&[&one, &one])[0].rows[0];
        assert_eq!(row.bound, "≤ 9.0 s");
    }
}
