//! The rules of a network's world, and its update order.

use hallwright_core::id::PartId;
use hallwright_core::order::{Order, Orders};
use hallwright_core::rules::Rules;

use super::{Sketch, Style};
use crate::draw::Draw;

/// Rules within the ranges that they allow, small enough for the edges to be met.
pub(super) fn rules(draw: &mut Draw, style: &Style) -> Rules {
    let mut rules = Rules {
        despawn_ticks: draw.weighted(&[(30, 20), (30, 60), (20, 200), (20, 6000)]),
        ..Rules::default()
    };
    if style.own_rules {
        let mut vary = |field: &mut u32, low: u32, high: u32| {
            if draw.percent(50) {
                *field = draw.between(low, high);
            }
        };
        vary(&mut rules.cooldown_ticks, 0, 12);
        vary(&mut rules.arrival_ticks, 1, 10);
        vary(&mut rules.dropper_delay_ticks, 1, 6);
        vary(&mut rules.signal_delay_ticks, 1, 3);
        vary(&mut rules.observer_pulse_ticks, 1, 4);
        vary(&mut rules.work_idle, 0, 5);
        vary(&mut rules.work_try, 0, 30);
        vary(&mut rules.work_mouth, 0, 40);
        vary(&mut rules.work_cap, 0, 5);
    }
    rules
}

impl Sketch {
    /// An update order of each sort.
    pub(super) fn update_order(&mut self) -> Order {
        let listed = [&*self.cast.hoppers, &*self.cast.selectors].concat();
        self.order_of(listed)
    }

    /// A signal order of each sort.
    pub(super) fn signal_order(&mut self) -> Order {
        let cast = &self.cast;
        let takers = [&*cast.hoppers, &*cast.selectors, &*cast.droppers];
        let listed = [takers.concat(), cast.signals.clone()].concat();
        self.order_of(listed)
    }

    /// Both orders, each of any sort.
    pub(super) fn orders(&mut self) -> Orders {
        Orders {
            update: self.update_order(),
            signal: self.signal_order(),
        }
    }

    /// An order of these parts.
    fn order_of(&mut self, mut listed: Vec<PartId>) -> Order {
        match self.draw.between(0, 3) {
            0 => Order::Declared,
            1 => Order::Reversed,
            2 => Order::Shuffled(self.draw.number()),
            _ => {
                self.draw.shuffle(&mut listed);
                Order::Listed(listed)
            }
        }
    }
}
