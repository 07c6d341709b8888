//! The numbers of the tick rules, each with its default, each open to being overridden.

/// Every number that the tick rules leave to the builder's world.
///
/// The defaults are common practice among sorter builders, with no published source.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct Rules {
    /// Ticks a second of the world; for showing times only. At least 1.
    pub ticks_per_second: u32,
    /// A hopper's cooldown after a push or pull, in ticks. 0 to 255.
    pub cooldown_ticks: u32,
    /// The cooldown of a wholly empty hopper into which an item goes, in ticks; one less where the
    /// rules say so. 1 to 255.
    pub arrival_ticks: u32,
    /// From a dropper's trigger to its firing, in ticks. At least 1.
    pub dropper_delay_ticks: u32,
    /// The delay of comparator, inverter, latch, toggle, all of, none of and of an observer's
    /// rise, in ticks. At least 1.
    pub signal_delay_ticks: u32,
    /// How long an observer's pulse lasts, in ticks. At least 1.
    pub observer_pulse_ticks: u32,
    /// The age at which a loose stack is lost, in ticks. At least 1.
    pub despawn_ticks: u32,
    /// The speed of a stream, in ten-thousandths of a block a tick. At least 1.
    pub stream_speed_ten_thousandths: u32,
    /// Work of a turn that ends at a cooldown or a lock, in work units. Like the other three at most
    /// 1,000,000,000, so that what a turn does can be added up.
    pub work_idle: u32,
    /// Work of a turn that gets as far as pushing, in work units.
    pub work_try: u32,
    /// Added work of looking into an open mouth, in work units.
    pub work_mouth: u32,
    /// Added work of a hopper that is capped, in work units.
    pub work_cap: u32,
}

/// The most that each part of a turn's work may be.
const WEIGHT_AT_MOST: u32 = 1_000_000_000;

impl Default for Rules {
    fn default() -> Self {
        Self {
            ticks_per_second: 20,
            cooldown_ticks: 8,
            arrival_ticks: 8,
            dropper_delay_ticks: 4,
            signal_delay_ticks: 2,
            observer_pulse_ticks: 2,
            despawn_ticks: 6000,
            stream_speed_ten_thousandths: 694,
            work_idle: 1,
            work_try: 10,
            work_mouth: 20,
            work_cap: 1,
        }
    }
}

impl Rules {
    /// Ticks that a stream of this many blocks takes: `ceil(length / speed)`, at least 1.
    #[must_use]
    pub fn transit_ticks(&self, length_blocks: u32) -> u32 {
        let ticks = (u64::from(length_blocks) * 10_000)
            .div_ceil(u64::from(self.stream_speed_ten_thousandths.max(1)));
        u32::try_from(ticks.max(1)).unwrap_or(u32::MAX)
    }

    /// The first field that is outside its range: its name, value and range. `None` if all is well.
    #[must_use]
    pub fn out_of_range(&self) -> Option<(&'static str, u32, &'static str)> {
        let at_least_one = [
            ("ticks_per_second", self.ticks_per_second),
            ("dropper_delay_ticks", self.dropper_delay_ticks),
            ("signal_delay_ticks", self.signal_delay_ticks),
            ("observer_pulse_ticks", self.observer_pulse_ticks),
            ("despawn_ticks", self.despawn_ticks),
            (
                "stream_speed_ten_thousandths",
                self.stream_speed_ten_thousandths,
            ),
        ];
        if self.cooldown_ticks > 255 {
            return Some(("cooldown_ticks", self.cooldown_ticks, "0 to 255"));
        }
        if !(1..=255).contains(&self.arrival_ticks) {
            return Some(("arrival_ticks", self.arrival_ticks, "1 to 255"));
        }
        let weights = [
            ("work_idle", self.work_idle),
            ("work_try", self.work_try),
            ("work_mouth", self.work_mouth),
            ("work_cap", self.work_cap),
        ];
        let too_heavy = weights.iter().find(|(_, value)| *value > WEIGHT_AT_MOST);
        if let Some((name, value)) = too_heavy {
            return Some((name, *value, "at most 1,000,000,000"));
        }
        at_least_one
            .iter()
            .find(|(_, value)| *value == 0)
            .map(|(name, _)| (*name, 0, "at least 1"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stream_takes_the_ceiling_of_length_by_speed() {
        let rules = Rules::default();
        // 1 / 0.0694 = 14.41, 10 / 0.0694 = 144.09, worked out by hand.
        assert_eq!(rules.transit_ticks(1), 15);
        assert_eq!(rules.transit_ticks(10), 145);
        assert_eq!(rules.transit_ticks(0), 1);
    }

    #[test]
    fn a_rule_outside_its_range_is_named() {
        assert_eq!(Rules::default().out_of_range(), None);
        let rules = Rules {
            arrival_ticks: 0,
            ..Rules::default()
        };
        assert_eq!(rules.out_of_range(), Some(("arrival_ticks", 0, "1 to 255")));
        let rules = Rules {
            work_try: 1_000_000_001,
            ..Rules::default()
        };
        let range = "at most 1,000,000,000";
        assert_eq!(
            rules.out_of_range(),
            Some(("work_try", 1_000_000_001, range))
        );
    }
}
