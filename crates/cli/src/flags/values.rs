//! How the values of flags are read.

use std::path::PathBuf;

use hallwright_core::order::Order;
use hallwright_core::tick::Tick;
use hallwright_declared::space::Block;
use hallwright_report::figures::Name;
use hallwright_scenario::did_you_mean;
use hallwright_trials::StopRange;

/// No hall stands further out: so nothing is moved past the ends of the numbers.
const FURTHEST: u32 = 1_000_000_000;

pub(super) fn name_and_value(text: &str) -> Result<(String, String), String> {
    match text.split_once('=') {
        Some((name, value)) if !name.is_empty() => Ok((name.to_owned(), value.to_owned())),
        _ => Err("write it as NAME=VALUE, such as `sections=4`".to_owned()),
    }
}

pub(super) fn figure(text: &str) -> Result<Name, String> {
    let names: Vec<&str> = Name::all_compared().map(Name::words).collect();
    let found = Name::all_compared().find(|name| name.words() == text);
    found.ok_or_else(|| {
        did_you_mean(text, names.iter().copied())
            .unwrap_or_else(|| format!("there are: {}", names.join(", ")))
    })
}

pub(super) fn tick(text: &str) -> Result<Tick, String> {
    let number = text.trim_end_matches('t').parse();
    let mend = "write it in ticks, such as `3600`";
    number.map(Tick).map_err(|_| mend.to_owned())
}

pub(super) fn tick_and_file(text: &str) -> Result<(Tick, PathBuf), String> {
    let mend = "write it as TICK=FILE, such as `3600=halfway.saved`";
    let (at, file) = text.split_once('=').ok_or(mend)?;
    if file.is_empty() {
        return Err(mend.to_owned());
    }
    Ok((tick(at).map_err(|_| mend)?, PathBuf::from(file)))
}

pub(super) fn order(text: &str) -> Result<Order, String> {
    let mend =
        || "write `declared`, `reversed` or `shuffled:SEED`, such as `shuffled:7`".to_owned();
    match text {
        "declared" => Ok(Order::Declared),
        "reversed" => Ok(Order::Reversed),
        _ => {
            let seed = text.strip_prefix("shuffled:").ok_or_else(mend)?;
            seed.parse().map(Order::Shuffled).map_err(|_| mend())
        }
    }
}

pub(super) fn stop_range(text: &str) -> Result<StopRange, String> {
    let mend = || {
        "write it as FROM..TO/STEP in ticks, such as `1200..1207/1`; FROM at most TO, STEP at \
         least 1"
            .to_owned()
    };
    let number = |text: &str| text.trim().trim_end_matches('t').parse::<u64>().ok();
    let (from, rest) = text.split_once("..").ok_or_else(mend)?;
    let (to, step) = rest.split_once('/').unwrap_or((rest, "1"));
    match (number(from), number(to), number(step)) {
        (Some(from), Some(to), Some(step)) if from <= to && step > 0 => Ok(StopRange {
            from: Tick(from),
            to: Tick(to),
            step_ticks: step,
        }),
        _ => Err(mend()),
    }
}

/// Three whole numbers with commas between them.
pub(super) fn block(text: &str) -> Result<Block, String> {
    let mend = || "write it as X,Y,Z in whole blocks, such as `120,64,-30`".to_owned();
    let numbers: Result<Vec<i32>, _> = text.split(',').map(|one| one.trim().parse()).collect();
    match numbers.as_deref() {
        Ok([x, y, z]) if [x, y, z].iter().all(|one| one.abs_diff(0) <= FURTHEST) => {
            Ok(Block::new(*x, *y, *z))
        }
        Ok([_, _, _]) => Err(format!("no coordinate is further than {FURTHEST} from 0")),
        _ => Err(mend()),
    }
}

/// A range, or one tick.
pub(super) fn tick_range(text: &str) -> Result<StopRange, String> {
    if let Ok(only) = tick(text) {
        return Ok(StopRange {
            from: only,
            to: only,
            step_ticks: 1,
        });
    }
    stop_range(text).map_err(|mend| format!("{mend}; or one tick, such as `1200`"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stop_range_may_leave_its_step_out() {
        let expected = StopRange {
            from: Tick(5),
            to: Tick(9),
            step_ticks: 1,
        };
        assert_eq!(stop_range("5..9"), Ok(expected));
        assert_eq!(stop_range("5t..9t/1t"), Ok(expected));
        assert_eq!(tick_range("5t..9t"), Ok(expected));
        let only = StopRange {
            to: Tick(5),
            ..expected
        };
        assert_eq!(tick_range("5"), Ok(only));
        assert!(tick_range("five").is_err());
        assert!(stop_range("9..5").is_err());
        assert!(stop_range("1..9/0").is_err());
    }

    #[test]
    fn a_block_has_three_whole_numbers() {
        assert_eq!(block("1,-2, 3"), Ok(Block::new(1, -2, 3)));
        for wrong in ["", "1,2", "1,2,3,4", "a,2,3", "1.5,2,3", "0,2000000000,0"] {
            assert!(block(wrong).is_err(), "{wrong}");
        }
    }
}
