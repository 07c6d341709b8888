//! What waits in all sections over time, as a small curve in plain characters.

use super::page::Page;
use hallwright_report::findings::Findings;
use hallwright_report::units::{grouped, seconds};

/// How many lines high the curve is.
const LINES: u64 = 4;

/// Draws the curve, if there are sections and anything ever waited in them.
pub(super) fn write(page: &mut Page, found: &Findings) {
    let curves = found.sections.iter().map(|section| &section.backlog);
    let longest = curves.clone().map(|backlog| backlog.curve_items.len());
    let at = |point| {
        let curves = curves.clone();
        curves.filter_map(move |backlog| backlog.curve_items.get(point))
    };
    let points: Vec<u64> = (0..longest.max().unwrap_or(0))
        .map(|point| at(point).sum())
        .collect();
    if points.iter().all(|items| *items == 0) {
        return;
    }
    let mut marks = Vec::new();
    for stop in &found.stops {
        let resume = stop.resume.as_ref();
        marks.extend(resume.map(|resume| (resume.at.0, '>')));
        marks.push((stop.at.0, '!'));
    }
    page.blank();
    for line in curve(&points, &marks, found.run_ticks, page.width()) {
        page.unbroken(&line);
    }
    let signs = if marks.is_empty() {
        ""
    } else {
        " (! stop, > restart)"
    };
    let end = seconds(found.run_ticks, found.ticks_per_second);
    page.line(&format!(
        "Backlog: items waiting in all sections from 0 s to {end}{signs}"
    ));
}

/// The curve with its axis, and below it the marks at their ticks.
fn curve(points: &[u64], marks: &[(u64, char)], run_ticks: u64, width: usize) -> Vec<String> {
    let peak = points.iter().copied().max().unwrap_or(0).max(1);
    let most = grouped(peak);
    let margin = most.len();
    let columns = most_in_each(points, width.saturating_sub(margin + 2));
    let mut lines: Vec<String> = (0..LINES)
        .rev()
        .map(|line| {
            let label = match line {
                0 => "0",
                line if line + 1 == LINES => &most,
                _ => "",
            };
            // Whatever is there is seen.
            let height = |items: u64| (items * LINES).div_ceil(peak);
            let bars = columns.iter();
            let bars: String = bars
                .map(|items| if height(*items) > line { '#' } else { ' ' })
                .collect();
            format!("{label:>margin$} |{bars}")
        })
        .collect();
    let mut axis = vec!['-'; columns.len()];
    for (tick, sign) in marks {
        let column = tick * columns.len() as u64 / run_ticks.max(1);
        if let Some(place) = axis.get_mut(usize::try_from(column).unwrap_or(usize::MAX)) {
            *place = *sign;
        }
    }
    let axis: String = axis.into_iter().collect();
    lines.push(format!("{:margin$} +{axis}", ""));
    lines
}

/// The points in so many columns at most: the most of those that come together.
fn most_in_each(points: &[u64], columns: usize) -> Vec<u64> {
    let step = points.len().div_ceil(columns.max(1)).max(1);
    let chunks = points.chunks(step);
    chunks
        .map(|chunk| chunk.iter().copied().max().unwrap_or(0))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_curve_shows_whatever_is_there_and_marks_the_stop() {
        // Of 4 lines for 8 items, 1 item takes one and 4 take two; tick 25 of 40 is in column 2 of 4.
        assert_eq!(
            curve(&[1, 8, 0, 4], &[(25, '!')], 40, 80),
            ["8 | #  ", "  | #  ", "  | # #", "0 |## #", "  +--!-"]
        );
    }

    #[test]
    fn a_curve_keeps_to_its_width_and_its_peak() {
        let mut points = vec![0; 200];
        points[123] = 1000;
        let lines = curve(&points, &[], 200, 40);
        assert!(lines.iter().all(|line| line.chars().count() <= 40));
        assert!(lines[0].starts_with("1,000 |") && lines[0].contains('#'));
    }
}
