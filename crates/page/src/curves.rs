//! The curves, drawn as SVG: each a strip over the whole run, without words, so that the page can
//! stretch it to its width and put one cursor through all of them.
//!
//! What is drawn has classes, to which the page's style gives colours by day and by night.

/// The classes of the first and the second run's lines, of limits and of flags of the operator.
const RUNS: [&str; 2] = ["first", "second"];
const LIMIT: &str = "bound";
const OPERATOR: &str = "operator";
/// Width and height of a strip's own coordinates.
const SIZE: (f64, f64) = (1000.0, 100.0);
/// How many steps a curve has at most.
const STEPS: usize = 500;

/// What one strip shows.
pub(super) struct Strip<'s> {
    /// For each run: its values, each the number of `step_ticks` ticks.
    pub(super) lines: Vec<Vec<f64>>,
    /// Ticks of one value.
    pub(super) step_ticks: u64,
    /// Ticks of the longer run.
    pub(super) run_ticks: u64,
    /// Bounds of goals.
    pub(super) limits: &'s [f64],
    /// Ticks in which the operator did something.
    pub(super) operator: &'s [u64],
    /// Ticks until which goals want the marks of a stop.
    pub(super) deadlines: &'s [u64],
}

impl Strip<'_> {
    /// The highest value or bound.
    pub(super) fn highest(&self) -> f64 {
        let values = self.lines.iter().flatten().chain(self.limits);
        values.copied().fold(0.0, f64::max)
    }

    /// The strip as an `<svg>` element.
    pub(super) fn svg(&self) -> String {
        let (width, height) = SIZE;
        let top = self.highest().max(1e-9) * 1.06;
        let end = self.run_ticks.max(1) as f64;
        let mut shapes = String::new();
        let mut add = |shape: &str, class: &str, points: &[(f64, f64)]| {
            let points: Vec<String> = points
                .iter()
                .map(|(tick, value)| {
                    let (x, y) = (tick / end * width, (1.0 - value / top) * height);
                    format!("{x:.1},{y:.1}")
                })
                .collect();
            let points = points.join(" ");
            shapes.push_str(&format!(r#"<{shape} class="{class}" points="{points}"/>"#));
        };
        for (ticks, class) in [(self.operator, OPERATOR), (self.deadlines, LIMIT)] {
            for tick in ticks {
                let at = *tick as f64;
                add("polyline", class, &[(at, 0.0), (at, top)]);
            }
        }
        for limit in self.limits {
            add("polyline", LIMIT, &[(0.0, *limit), (end, *limit)]);
        }
        for (line, class) in self.lines.iter().zip(RUNS).rev() {
            let curve = self.points(line);
            if let (true, Some((last, _))) = (class == RUNS[0], curve.last()) {
                let module = [&[(0.0, 0.0)], &curve[..], &[(*last, 0.0)]].concat();
                add("polygon", class, &module);
            }
            add("polyline", class, &curve);
        }
        format!(
            "<svg viewBox=\"0 0 {width} {height}\" preserveAspectRatio=\"none\" aria-hidden=\"true\" \
             focusable=\"false\">{shapes}</svg>"
        )
    }

    /// The corners of a curve: of very many values, the most in each step.
    fn points(&self, line: &[f64]) -> Vec<(f64, f64)> {
        let values_a_step = line.len().div_ceil(STEPS).max(1);
        let step_ticks = (values_a_step as u64 * self.step_ticks) as f64;
        let steps = line.chunks(values_a_step).enumerate();
        let mut points = Vec::new();
        for (number, values) in steps {
            let most = values.iter().copied().fold(0.0, f64::max);
            let from = number as f64 * step_ticks;
            let to = (from + step_ticks).min(self.run_ticks as f64);
            if points.last().is_none_or(|(_, before)| *before != most) {
                points.push((from, most));
                points.push((to, most));
            } else if let Some(last) = points.last_mut() {
                last.0 = to;
            }
        }
        points
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_curve_keeps_its_peak_however_long_it_is() {
        let mut line = vec![1.0; 20_000];
        line[12_345] = 7.0;
        let strip = Strip {
            lines: vec![line],
            step_ticks: 1,
            run_ticks: 20_000,
            limits: &[9.0],
            operator: &[100],
            deadlines: &[200],
        };
        assert_eq!(strip.highest(), 9.0);
        let points = strip.points(&strip.lines[0]);
        // 20,000 ticks in 500 steps of 40; tick 12,345 is in the step from 12,320 to 12,360.
        assert_eq!(
            points,
            [
                (0.0, 1.0),
                (12_320.0, 1.0),
                (12_320.0, 7.0),
                (12_360.0, 7.0),
                (12_360.0, 1.0),
                (20_000.0, 1.0)
            ]
        );
    }

    #[test]
    fn a_strip_has_its_runs_bounds_and_moments() {
        let strip = Strip {
            lines: vec![vec![0.0, 50.0], vec![25.0]],
            step_ticks: 10,
            run_ticks: 20,
            limits: &[100.0],
            operator: &[5],
            deadlines: &[15],
        };
        // 106 is the top, for the bound of 100 is the highest. Of 20 ticks on 1,000 points, tick 5 is at
        // 250; 50 of 106 is at (1 - 0.4717) * 100 = 52.8 from above, 25 at 76.4 and 100 at 5.7.
        assert_eq!(
            strip.svg(),
            "<svg viewBox=\"0 0 1000 100\" preserveAspectRatio=\"none\" aria-hidden=\"true\" \
             focusable=\"false\">\
             <polyline class=\"operator\" points=\"250.0,100.0 250.0,0.0\"/>\
             <polyline class=\"bound\" points=\"750.0,100.0 750.0,0.0\"/>\
             <polyline class=\"bound\" points=\"0.0,5.7 1000.0,5.7\"/>\
             <polyline class=\"second\" points=\"0.0,76.4 500.0,76.4\"/>\
             <polygon class=\"first\" points=\"0.0,100.0 0.0,100.0 500.0,100.0 500.0,52.8 1000.0,52.8 \
             1000.0,100.0\"/>\
             <polyline class=\"first\" points=\"0.0,100.0 500.0,100.0 500.0,52.8 1000.0,52.8\"/>\
             </svg>"
        );
    }
}
