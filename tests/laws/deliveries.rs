//! What observers are reported of deliveries adds up to what the state says.

use hallwright_core::engine::{Engine, View};
use hallwright_core::event::{DeliveryNews, Moment, Observer};
use hallwright_core::id::KindId;
use hallwright_core::tick::Tick;
use hallwright_swarm::generate::generate;

/// Sums by kind: sent, delivered, refused, leaving out what boxes hold.
#[derive(Default)]
struct Reported {
    sums: Vec<[u64; 3]>,
}

impl Observer for Reported {
    fn delivery(&mut self, _moment: Moment, news: &DeliveryNews, view: &View<'_>) {
        assert!(news.sent + news.delivered + news.refused > 0, "{news:?}");
        self.sums.resize(view.network().kinds().len(), [0; 3]);
        let parts = [news.sent, news.delivered, news.refused];
        for (sum, part) in self.sums[news.kind.index()].iter_mut().zip(parts) {
            *sum += u64::from(part);
        }
    }
}

#[test]
fn what_is_reported_of_deliveries_is_what_the_state_says() {
    let mut waiting_networks = 0;
    for seed in 0..400 {
        let blueprint = generate(seed);
        let (network, setup) = blueprint.build().expect("it builds");
        if blueprint.kinds.iter().any(|kind| kind.is_box) {
            // There a kind may also have come in a box.
            continue;
        }
        let mut engine = Engine::new(&network, &setup);
        let mut reported = Reported::default();
        engine.run_until(Tick(blueprint.length_ticks), &mut reported);
        let view = engine.view();
        waiting_networks += u64::from(view.waiting().next().is_some());
        for (kind, [sent, delivered, refused]) in reported.sums.iter().enumerate() {
            let kind = KindId::from_index(kind);
            let waiting = view.waiting().filter(|(_, one)| one.kind == kind);
            let waiting: u64 = waiting.map(|(_, one)| u64::from(one.count)).sum();
            let state = [view.sent(kind), view.delivered(kind), view.refused(kind)];
            assert_eq!([*sent, *delivered, *refused], state, "seed {seed}");
            assert_eq!(*sent, delivered + refused + waiting, "seed {seed}");
        }
    }
    assert!(waiting_networks > 20, "{waiting_networks}");
}
