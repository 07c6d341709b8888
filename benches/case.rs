//! What the bench measures: one case is one thing that is run over and over.

/// One thing to measure. It is made once, prepared anew for each run, and only the run is timed.
pub(crate) trait Case {
    /// What a run starts from.
    type Input;
    /// What a run leaves; dropping it is not timed.
    type Output;

    /// Makes ready for one run. Not timed.
    fn prepare(&self) -> Self::Input;

    /// The run.
    fn run(&self, input: &mut Self::Input) -> Self::Output;

    /// How much one run does: how many moves, unless the unit is another.
    fn amount(&self) -> u64;

    /// What the amount counts.
    fn unit(&self) -> &'static str {
        "moves"
    }

    /// How many ticks of the world one run takes.
    fn ticks(&self) -> u64 {
        0
    }

    /// What it takes up in memory; `None` where nobody asks.
    fn memory(&self) -> Option<Memory> {
        None
    }
}

/// What a workload takes up in memory, measured with a counting allocator.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Memory {
    /// The network, in bytes.
    pub(crate) network_bytes: u64,
    /// The engine at its start, in bytes.
    pub(crate) engine_bytes: u64,
    /// The slots in which the engine keeps items, in bytes: part of the engine's.
    pub(crate) item_bytes: u64,
    /// How many hoppers there are.
    pub(crate) hoppers: u64,
}

impl Memory {
    /// Bytes a hopper beside its items.
    pub(crate) fn bytes_a_hopper(&self) -> f64 {
        (self.network_bytes + self.engine_bytes - self.item_bytes) as f64 / self.hoppers as f64
    }
}

/// Does something with cases: measures them, or runs one of them once.
pub(crate) trait Runner {
    /// Takes up the case of this name, `group/workload`. `make` is called only if it is needed.
    fn case<C: Case>(&mut self, id: &str, make: impl FnOnce() -> C);
}
