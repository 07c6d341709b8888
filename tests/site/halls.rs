//! Random halls: modules of which is known what they are, set down at random.

use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::part::{
    Bench, ComparatorMode, Container, Dropper, Hopper, Intake, Lift, Outlet, Part, Rear, Selector,
    Signal, Stream, Watched,
};
use hallwright_core::predicate::Predicate;
use hallwright_core::rules::Rules;
use hallwright_core::slot::Filling;
use hallwright_declared::placement::{Built, Placed, Placement, Supports};
use hallwright_declared::space::{Axes, Block, Side};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use Side::{MinusX, MinusY, MinusZ, PlusX, PlusY, PlusZ};

/// Random draws of a seed.
pub(crate) struct Draw(ChaCha8Rng);

impl Draw {
    pub(crate) fn new(seed: u64) -> Self {
        Self(ChaCha8Rng::seed_from_u64(seed))
    }

    /// A number below this one.
    pub(crate) fn below(&mut self, count: usize) -> usize {
        self.0.random_range(0..count)
    }

    /// A number from low to high, both included.
    fn between(&mut self, low: i32, high: i32) -> i32 {
        self.0.random_range(low..=high)
    }

    pub(crate) fn is_heads(&mut self) -> bool {
        self.0.random_range(0..2) == 0
    }

    pub(crate) fn pick<T: Copy>(&mut self, of: &[T]) -> T {
        of[self.below(of.len())]
    }
}

/// A hall in the making.
pub(crate) struct Hall {
    builder: NetworkBuilder,
    placement: Placement,
}

/// Between the corners of two modules, in blocks: none reaches from one to the other.
const APART_BLOCKS: i32 = 40;

/// A hall of so many modules, and where it stands.
pub(crate) fn hall(draw: &mut Draw, modules: usize) -> (Network, Placement) {
    hall_apart(draw, modules, APART_BLOCKS)
}

/// The same with so many blocks between the corners of two modules: with few they reach into each other.
pub(crate) fn hall_apart(draw: &mut Draw, modules: usize, apart: i32) -> (Network, Placement) {
    let mut hall = Hall {
        builder: NetworkBuilder::new(Rules::default()),
        placement: Placement::default(),
    };
    hall.builder.kind("flax", StackLimit::SixtyFour);
    hall.placement.supports = Supports::Added;
    let all: Vec<Axes> = Axes::all().collect();
    for number in 0..modules {
        let in_row = i32::try_from(number).expect("halls are small");
        let corner = Block::new(in_row % 8, draw.between(-2, 2), in_row / 8);
        let origin = Block::new(corner.x * apart, corner.y, corner.z * apart);
        let mut module = Module {
            hall: &mut hall,
            name: format!("m{number}"),
            axes: draw.pick(&all),
            origin,
        };
        let make = draw.pick(&MODULES);
        make(&mut module, draw);
    }
    let network = hall.builder.build().expect("every module is sound");
    (network, hall.placement)
}

/// How many sorts of modules there are.
pub(crate) const MODULES: [fn(&mut Module, &mut Draw); 13] = [
    column, line, filter, delayed, lift, stream, waterfall, bench, selector, watcher, subtractor,
    latch, double,
];

/// A module in the making.
pub(crate) struct Module<'a> {
    hall: &'a mut Hall,
    name: String,
    axes: Axes,
    origin: Block,
}

fn at(x: i32, y: i32, z: i32) -> Placed {
    Placed::at(Block::new(x, y, z))
}

impl Module<'_> {
    fn add(&mut self, name: &str, part: Part, placed: Placed) -> PartId {
        let placed = placed.set_down(self.axes, self.origin);
        self.hall.placement.parts.push(Some(Box::new(placed)));
        let name = format!("{} {name}", self.name);
        self.hall.builder.add(&name, part)
    }

    fn block(&self, x: i32, y: i32, z: i32) -> Block {
        self.origin + self.axes.way(Block::new(x, y, z))
    }

    fn full(&mut self, x: i32, y: i32, z: i32) {
        let block = self.block(x, y, z);
        self.hall.placement.full.push(block);
    }

    fn cap(&mut self, x: i32, y: i32, z: i32) {
        let block = self.block(x, y, z);
        self.hall.placement.caps.push(block);
    }

    /// A store of 27 slots, built as one of several, with something in it now and then.
    fn store(&mut self, draw: &mut Draw, name: &str, placed: Placed) -> PartId {
        let built = draw.pick(&[Built::Usual, Built::ChestApart, Built::Chest]);
        self.store_as(draw, name, placed.built(built))
    }

    fn store_as(&mut self, draw: &mut Draw, name: &str, placed: Placed) -> PartId {
        let store = self.add(name, Part::Container(Container { slots: 27 }), placed);
        if draw.is_heads() {
            let filling = Filling {
                slot: 0,
                kind: KindId::from_index(0),
                count: u8::try_from(draw.between(1, 64)).expect("64 is small"),
                contents: Vec::new(),
            };
            self.hall.builder.fill(store, filling);
        }
        store
    }

    fn hopper(
        &mut self,
        name: &str,
        placed: Placed,
        target: Option<PartId>,
        intake: Intake,
        lock: Option<PartId>,
    ) -> PartId {
        let part = Hopper {
            target,
            intake,
            lock,
        };
        self.add(name, Part::Hopper(part), placed)
    }

    fn signal(&mut self, name: &str, placed: Placed, signal: Signal) -> PartId {
        self.add(name, Part::Signal(signal), placed)
    }

    fn lever(&mut self, name: &str, placed: Placed) -> PartId {
        self.signal(name, placed, Signal::Lever { starts_on: false })
    }

    /// A wire from one source, with this loss at its end.
    fn wire(&mut self, name: &str, path: Vec<Block>, from: PartId, loss: i32) -> PartId {
        let loss = u8::try_from(loss).expect("losses are small");
        let inputs = vec![(from, loss)];
        self.signal(name, Placed::along_path(path), Signal::Wire { inputs })
    }
}

/// Stores above each other, with hoppers between them.
fn column(module: &mut Module, draw: &mut Draw) {
    let height = draw.between(1, 4);
    let mut below = module.store(draw, "store 0", at(0, 0, 0));
    for number in 1..=height {
        let y = 2 * number;
        // The hopper draws from the store above it, which is declared after it.
        let above = PartId::from_index(below.index() + 2);
        let hopper = at(0, y - 1, 0);
        let hopper = match draw.is_heads() {
            true => hopper.facing(MinusY),
            false => hopper,
        };
        module.hopper(
            &format!("hopper {number}"),
            hopper,
            Some(below),
            Intake::Above(above),
            None,
        );
        below = module.store(draw, &format!("store {number}"), at(0, y, 0));
        assert_eq!(below, above, "parts are numbered in order");
    }
}

/// A line of hoppers that push into each other, into a barrel at its end.
fn line(module: &mut Module, draw: &mut Draw) {
    let length = draw.between(1, 6);
    let mut next = module.store_as(draw, "end", at(length, 0, 0).built(Built::Barrel));
    for x in (0..length).rev() {
        module.cap(x, 1, 0);
        next = module.hopper(
            &format!("hopper {x}"),
            at(x, 0, 0),
            Some(next),
            Intake::Cap,
            None,
        );
    }
}

/// A hopper that a comparator reads, and one below it that the comparator locks through a strong block and
/// a wire below that.
fn filter(module: &mut Module, draw: &mut Draw) {
    module.cap(0, 3, 0);
    let sieve = module.hopper("sieve", at(0, 2, 0).facing(MinusX), None, Intake::Cap, None);
    let reads = Signal::Comparator {
        rear: Rear::Inventory(sieve),
        side: None,
        mode: draw.pick(&[ComparatorMode::Compare, ComparatorMode::Subtract]),
    };
    let eye = module.signal("eye", at(0, 2, 1).facing(PlusZ), reads);
    module.full(0, 2, 2);
    let wire = module.wire("wire", vec![Block::new(0, 1, 2)], eye, 0);
    let store = module.store(draw, "store", at(0, 0, 0));
    module.hopper(
        "gate",
        at(0, 1, 0),
        Some(store),
        Intake::Above(sieve),
        Some(wire),
    );
}

/// A lever, wire, repeaters, wire up a stair, and an inverter that locks a hopper.
fn delayed(module: &mut Module, draw: &mut Draw) {
    let lever = module.lever("lever", at(0, 0, 0));
    let first = draw.between(1, 15);
    let path = (1..=first).map(|x| Block::new(x, 0, 0)).collect();
    let wire = module.wire("wire", path, lever, first - 1);
    let repeater = |input| Signal::Repeater {
        input,
        delay_ticks: 2,
        lock: None,
    };
    let one = module.signal("one", at(first + 1, 0, 0).facing(PlusX), repeater(wire));
    let two = module.signal("two", at(first + 2, 0, 0).facing(PlusX), repeater(one));
    let steps = draw.between(1, 5);
    let stair = |step: i32| Block::new(first + 3 + step, step, 0);
    let stair_wire = module.wire("stair", (0..=steps).map(stair).collect(), two, steps);
    let top = stair(steps) + Block::new(1, 0, 0);
    module.full(top.x, top.y, top.z);
    // The wire points at the full block behind the stair, and makes it weak.
    let inverter = Signal::Inverter { input: stair_wire };
    let beyond = at(top.x + 1, top.y, 0).fastened(MinusX);
    let inverter = module.signal("inverter", beyond, inverter);
    module.cap(top.x + 2, top.y + 1, 0);
    let hopper = at(top.x + 2, top.y, 0);
    module.hopper("hopper", hopper, None, Intake::Cap, Some(inverter));
}

/// Droppers above each other that hand items up. One repeater triggers the upper one itself, and the lower
/// one by acting on the block above it.
fn lift(module: &mut Module, draw: &mut Draw) {
    let lever = module.lever("lever", at(2, 1, 0));
    let repeater = Signal::Repeater {
        input: lever,
        delay_ticks: 2,
        lock: None,
    };
    let repeater = module.signal("repeater", at(1, 1, 0).facing(MinusX), repeater);
    let store = module.store(draw, "store", at(0, 2, 0));
    let dropper = |target| {
        Part::Dropper(Dropper {
            trigger: Some(repeater),
            outlet: Outlet::Into(target),
        })
    };
    let upper = module.add("upper", dropper(store), at(0, 1, 0));
    module.add("lower", dropper(upper), at(0, 0, 0).facing(PlusY));
}

/// A dropper, a stream with its mouth in its last block or beside it, and a hopper below that.
fn stream(module: &mut Module, draw: &mut Draw) {
    let length = draw.between(2, 8);
    let is_last = draw.is_heads();
    let end = if is_last { length - 1 } else { length };
    let store = module.store(draw, "store", at(end, -1, 0));
    let mouth = module.add("mouth", Part::Mouth, at(end, 1, 0));
    module.hopper(
        "hopper",
        at(end, 0, 0),
        Some(store),
        Intake::Mouth(mouth),
        None,
    );
    let path = (0..length).map(|x| Block::new(x, 1, 0));
    let transit_ticks = 100;
    let stream = Part::Stream(Stream {
        transit_ticks,
        mouth,
    });
    let stream = module.add("stream", stream, Placed::along_path(path));
    for x in 0..length {
        module.full(x, 1, 1);
        module.full(x, 1, -1);
    }
    if is_last {
        module.full(length, 1, 0);
    }
    let button = module.signal(
        "button",
        at(-2, 1, 0).fastened(PlusX),
        Signal::Button { hold_ticks: 20 },
    );
    let dropper = Dropper {
        trigger: Some(button),
        outlet: Outlet::Loose(stream),
    };
    module.add("dropper", Part::Dropper(dropper), at(-1, 1, 0));
}

/// A stream that falls.
fn waterfall(module: &mut Module, draw: &mut Draw) {
    let (upper, lower) = (draw.between(1, 8), draw.between(1, 8));
    let mut path: Vec<Block> = (0..upper).map(|x| Block::new(x, 0, 0)).collect();
    path.extend((upper - 1..upper - 1 + lower).map(|x| Block::new(x, -1, 0)));
    for block in path.clone() {
        for side in Side::LEVEL {
            let wall = block.beside(side);
            if !path.contains(&wall) {
                module.full(wall.x, wall.y, wall.z);
            }
        }
    }
    let last = path[path.len() - 1];
    let mouth = module.add("mouth", Part::Mouth, Placed::at(last));
    let stream = Part::Stream(Stream {
        transit_ticks: 80,
        mouth,
    });
    module.add("stream", stream, Placed::along_path(path));
    let below = last + Block::new(0, -1, 0);
    module.hopper(
        "hopper",
        Placed::at(below),
        None,
        Intake::Mouth(mouth),
        None,
    );
}

/// A dispenser with a bench, a hopper below that, and a mouth beside it.
fn bench(module: &mut Module, draw: &mut Draw) {
    let mouth = module.add("mouth", Part::Mouth, at(2, 1, 0));
    let bench = Bench {
        lift: Lift::Empty,
        after_ticks: 4,
        output: mouth,
    };
    let bench = module.add("bench", Part::Bench(bench), at(1, 1, 0));
    let store = module.store_as(draw, "store", at(1, -1, 0).built(Built::Barrel));
    module.hopper(
        "empties",
        at(1, 0, 0),
        Some(store),
        Intake::Above(bench),
        None,
    );
    module.hopper(
        "takes",
        at(2, 0, 0).facing(MinusY),
        None,
        Intake::Mouth(mouth),
        None,
    );
    let button = Signal::Button { hold_ticks: 30 };
    let button = module.signal("button", at(-1, 1, 0).fastened(PlusX), button);
    let dispenser = Dropper {
        trigger: Some(button),
        outlet: Outlet::Bench(bench),
    };
    module.add("dispenser", Part::Dropper(dispenser), at(0, 1, 0));
}

/// A hopper that pushes into a selector of two stores, and a lever that locks it.
fn selector(module: &mut Module, draw: &mut Draw) {
    let fits = module.store(draw, "fits", at(1, 1, 0));
    let rest = module.store_as(draw, "rest", at(0, 0, 0));
    let lever = module.lever("lever", at(0, 1, 1).fastened(PlusZ));
    module.full(0, 1, 2);
    let selector = Selector {
        latency_ticks: 8,
        interval_ticks: 8,
        holds: 1,
        takes: Predicate::Kinds(vec![KindId::from_index(0)]),
        match_target: fits,
        rest_target: rest,
        when_full: None,
        lock: Some(lever),
    };
    let sides = at(0, 1, 0)
        .gate("in", MinusX)
        .gate("match", PlusX)
        .gate("rest", MinusY);
    let selector = module.add("selector", Part::Selector(Box::new(selector)), sides);
    module.cap(-1, 2, 0);
    module.hopper("hopper", at(-1, 1, 0), Some(selector), Intake::Cap, None);
}

/// An observer of a hopper's lock that triggers a dropper, and one of a wire.
fn watcher(module: &mut Module, draw: &mut Draw) {
    let lever = module.lever("lever", at(2, 1, 0));
    module.cap(1, 2, 0);
    let hopper = module.hopper(
        "hopper",
        at(1, 1, 0).facing(PlusZ),
        None,
        Intake::Cap,
        Some(lever),
    );
    let watches = Watched::Lock(hopper);
    let observer = module.signal(
        "observer",
        at(0, 1, 0).facing(PlusX),
        Signal::Observer { watches },
    );
    let store = module.store(draw, "store", at(-1, 0, 0));
    let dropper = Dropper {
        trigger: Some(observer),
        outlet: Outlet::Into(store),
    };
    module.add("dropper", Part::Dropper(dropper), at(-1, 1, 0));
    let length = draw.between(1, 6);
    let path = (0..length).map(|x| Block::new(3 + x, 1, 0)).collect();
    let wire = module.wire("wire", path, lever, length - 1);
    let watches = Watched::Signal(wire);
    let end = at(3 + length, 1, 0).facing(MinusX);
    module.signal("end", end, Signal::Observer { watches });
}

/// A comparator that reads a barrel through a full block, less what a repeater gives it at its side.
fn subtractor(module: &mut Module, draw: &mut Draw) {
    let barrel = module.store_as(draw, "barrel", at(0, 1, 0).built(Built::Barrel));
    module.full(1, 1, 0);
    let lever = module.lever("lever", at(2, 1, 2));
    let repeater = Signal::Repeater {
        input: lever,
        delay_ticks: 4,
        lock: None,
    };
    let side = module.signal("side", at(2, 1, 1).facing(MinusZ), repeater);
    let comparator = Signal::Comparator {
        rear: Rear::Inventory(barrel),
        side: Some(side),
        mode: ComparatorMode::Subtract,
    };
    let comparator = module.signal("comparator", at(2, 1, 0).facing(PlusX), comparator);
    let wire = module.wire("wire", vec![Block::new(3, 1, 0)], comparator, 0);
    module.cap(4, 2, 0);
    module.hopper("hopper", at(4, 1, 0), None, Intake::Cap, Some(wire));
}

/// A latch that is set and reset by hand and locks a hopper, itself or through a full block.
fn latch(module: &mut Module, draw: &mut Draw) {
    let set = module.lever("set", at(-1, 0, 0));
    let reset = module.signal("reset", at(0, 0, -1), Signal::Button { hold_ticks: 20 });
    let sides = at(0, 0, 0)
        .gate("set", MinusX)
        .gate("reset", MinusZ)
        .gate("out", PlusX);
    let latch = module.signal("latch", sides, Signal::Latch { set, reset });
    let hopper = match draw.is_heads() {
        true => {
            module.full(1, 0, 0);
            at(2, 0, 0)
        }
        false => at(1, 0, 0),
    };
    let x = hopper.position.map_or(0, |block| block.x);
    module.cap(x, 1, 0);
    module.hopper("hopper", hopper, None, Intake::Cap, Some(latch));
}

/// A double chest with two hoppers below it and two comparators beside it.
fn double(module: &mut Module, draw: &mut Draw) {
    let mut placed = at(0, 1, 0);
    placed.along = Some(PlusX);
    let chest = module.add("double", Part::Container(Container { slots: 54 }), placed);
    for x in 0..2 {
        let store = module.store_as(draw, &format!("store {x}"), at(x, -1, 0));
        let hopper = at(x, 0, 0);
        module.hopper(
            &format!("hopper {x}"),
            hopper,
            Some(store),
            Intake::Above(chest),
            None,
        );
        let reads = Signal::Comparator {
            rear: Rear::Inventory(chest),
            side: None,
            mode: ComparatorMode::Compare,
        };
        module.signal(&format!("eye {x}"), at(x, 1, 1).facing(PlusZ), reads);
    }
}
