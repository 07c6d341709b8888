//! The curves, drawn as SVG: each a strip over the whole run, without words, so that the page can
//! stretch it to its width and put one cursor through all of them.
//!
//! Colours here are names for the page's style, which gives each its colour by day and by night.

use std::error::Error;

use plotters::backend::SVGBackend;
use plotters::chart::ChartBuilder;
use plotters::drawing::IntoDrawingArea;
use plotters::series::{AreaSeries, LineSeries};
use plotters::style::{Color, RGBColor};

/// The first and the second run, limits, and moments of the operator.
const RUNS: [RGBColor; 2] = [RGBColor(0x11, 0x11, 0x11), RGBColor(0x22, 0x22, 0x22)];
const LIMIT: RGBColor = RGBColor(0x33, 0x33, 0x33);
const OPERATOR: RGBColor = RGBColor(0x44, 0x44, 0x44);
/// Width and height of a strip's own coordinates.
const SIZE: (u32, u32) = (1000, 100);
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

    /// The strip as an `<svg>` element; empty if it cannot be drawn.
    pub(super) fn svg(&self) -> String {
        let mut text = String::new();
        match self.draw(SVGBackend::with_string(&mut text, SIZE)) {
            Ok(()) => text.replacen(
                "<svg ",
                r#"<svg preserveAspectRatio="none" aria-hidden="true" focusable="false" "#,
                1,
            ),
            Err(_) => String::new(),
        }
    }

    fn draw(&self, backend: SVGBackend<'_>) -> Result<(), Box<dyn Error>> {
        let area = backend.into_drawing_area();
        let top = self.highest().max(1e-9) * 1.06;
        let end = self.run_ticks.max(1) as f64;
        let mut chart = ChartBuilder::on(&area).build_cartesian_2d(0.0..end, 0.0..top)?;
        for (ticks, colour) in [(self.operator, OPERATOR), (self.deadlines, LIMIT)] {
            for tick in ticks {
                let at = *tick as f64;
                chart.draw_series(LineSeries::new([(at, 0.0), (at, top)], colour))?;
            }
        }
        for limit in self.limits {
            chart.draw_series(LineSeries::new([(0.0, *limit), (end, *limit)], LIMIT))?;
        }
        for (line, colour) in self.lines.iter().zip(RUNS).rev() {
            let points = self.points(line);
            if colour == RUNS[0] {
                chart.draw_series(AreaSeries::new(points.clone(), 0.0, colour.mix(0.16)))?;
            }
            chart.draw_series(LineSeries::new(points, colour))?;
        }
        drop(chart);
        area.present()?;
        Ok(())
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
        let svg = strip.svg();
        assert!(svg.starts_with("<svg preserveAspectRatio"), "{svg}");
        assert!(!svg.contains("<text"), "{svg}");
    }
}
