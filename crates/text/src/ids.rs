//! The stable ids of all diagnostics. `docs/look-up/diagnostics.md` lists them, with the pages that explain each.

/// Defines the ids and the list of all.
macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident = $id:literal,)*) => {
        $($(#[$doc])* pub const $name: &str = $id;)*

        /// Every id, in the order of the pages that explain them.
        pub const ALL: &[&str] = &[$($name,)*];
    };
}

ids! {
    /// A file cannot be read.
    FILE_MISSING = "file::missing",
    /// A file is no UTF-8 text.
    FILE_NOT_TEXT = "file::not-text",
    /// A file is larger than the limit.
    FILE_TOO_LARGE = "file::too-large",
    /// A path that leads out of the root.
    FILE_OUTSIDE_ROOT = "file::outside-root",
    /// A file that includes itself.
    FILE_INCLUDES_ITSELF = "file::includes-itself",
    /// More included files than the limit.
    FILE_TOO_MANY = "file::too-many",
    /// A row of a CSV file does not fit.
    FILE_BAD_ROW = "file::bad-row",
    /// The text is no RON.
    SYNTAX = "text::syntax",
    /// Brackets nested too deep.
    TEXT_NESTED_TOO_DEEP = "text::nested-too-deep",
    /// A text in quotes that is too long.
    TEXT_TOO_LONG = "text::too-long",
    /// A field that is not there.
    UNKNOWN_FIELD = "text::unknown-field",
    /// A field that is needed.
    MISSING_FIELD = "text::missing-field",
    /// A field given twice.
    REPEATED_FIELD = "text::repeated-field",
    /// A word that is none of the choices.
    UNKNOWN_CHOICE = "text::unknown-choice",
    /// A value of the wrong type.
    WRONG_TYPE = "text::wrong-type",
    /// A number outside its range, or none.
    BAD_NUMBER = "text::bad-number",
    /// A time that cannot be understood.
    BAD_TIME = "text::bad-time",
    /// Two things of one name.
    DUPLICATE_NAME = "layout::duplicate-name",
    /// A side of a block that is none, or turns that no module can take.
    BAD_SIDE = "layout::bad-side",
    /// A name that cannot be one.
    BAD_NAME = "layout::bad-name",
    /// No part of this name.
    UNKNOWN_PART = "layout::unknown-part",
    /// A part that cannot stand there.
    WRONG_PART = "layout::wrong-part",
    /// A name for several parts where one is needed.
    NOT_ONE_PART = "layout::not-one-part",
    /// An instance that a row does not have.
    NOT_IN_ROW = "layout::not-in-row",
    /// No goods of this name.
    UNKNOWN_GOODS = "layout::unknown-goods",
    /// No parameter of this name.
    UNKNOWN_PARAMETER = "layout::unknown-parameter",
    /// A parameter that is given no value.
    MISSING_PARAMETER = "layout::missing-parameter",
    /// A value that does not fit its parameter or place.
    WRONG_VALUE = "layout::wrong-value",
    /// A range that nothing can be searched in.
    BAD_RANGE = "layout::bad-range",
    /// No variant of this name.
    UNKNOWN_VARIANT = "layout::unknown-variant",
    /// No module of this name.
    UNKNOWN_MODULE = "layout::unknown-module",
    /// A module that uses itself.
    MODULE_LOOP = "layout::module-loop",
    /// Modules nested too deep.
    NESTED_TOO_DEEP = "layout::nested-too-deep",
    /// A port that the module does not have.
    UNKNOWN_PORT = "layout::unknown-port",
    /// A chain whose ends cannot be connected.
    BAD_CHAIN = "layout::bad-chain",
    /// A part that needs exactly one of several fields.
    ONE_OF_FIELDS = "layout::one-of-fields",
    /// More parts than the limit.
    TOO_MANY_PARTS = "layout::too-many-parts",
    /// More parts named in lists than the limit.
    TOO_MANY_NAMES = "layout::too-many-names",
    /// A loop of signals without delay.
    ZERO_DELAY_LOOP = "layout::zero-delay-loop",
    /// A part that is connected to itself.
    LEADS_TO_ITSELF = "layout::leads-to-itself",
    /// A number outside what the rules allow.
    OUT_OF_RANGE = "layout::out-of-range",
    /// More in a slot than its limit.
    COUNT_BEYOND_LIMIT = "layout::count-beyond-limit",
    /// A slot that the part does not have.
    NO_SUCH_SLOT = "layout::no-such-slot",
    /// A slot filled twice.
    SLOT_FILLED_TWICE = "layout::slot-filled-twice",
    /// More than there are free slots for.
    NO_FREE_SLOT = "layout::no-free-slot",
    /// Contents given to something that is no box.
    NOT_A_BOX = "layout::not-a-box",
    /// A box inside a box.
    BOX_IN_BOX = "layout::box-in-box",
    /// A part that is in two stores.
    PART_IN_TWO_STORES = "layout::part-in-two-stores",
    /// A part that is in two regions.
    PART_IN_TWO_REGIONS = "layout::part-in-two-regions",
    /// A region that names nothing.
    EMPTY_REGION = "layout::empty-region",
    /// Two shuttles that start at one place.
    SAME_START = "layout::same-start",
    /// A path that is not as long as is said.
    LENGTH_DIFFERS = "layout::length-differs",
    /// A word of a floor that names no part.
    UNKNOWN_WORD = "floor::unknown-word",
    /// Rows of one floor that are not of one length.
    RAGGED_ROWS = "floor::ragged-rows",
    /// Two floors at one height.
    SAME_HEIGHT = "floor::same-height",
    /// A part in more blocks than it fills.
    DRAWN_TWICE = "floor::drawn-twice",
    /// A part in no block.
    NEVER_DRAWN = "floor::never-drawn",
    /// A sign that a part cannot have, or that it lacks.
    BAD_SIGN = "floor::bad-sign",
    /// Blocks that do not make the part.
    BAD_SHAPE = "floor::bad-shape",
    /// A link that is declared of a drawn part.
    LINK_DECLARED = "floor::link-declared",
    /// A part in a room that is no signal part.
    NO_SIGNAL_IN_ROOM = "room::no-signal-part",
    /// A part in a room that has a place of its own.
    PLACED_IN_ROOM = "room::placed-part",
    /// A part that is in two rooms.
    PART_IN_TWO_ROOMS = "room::part-in-two-rooms",
    /// A room that names nothing.
    EMPTY_ROOM = "room::empty-room",
    /// A time that is not after another.
    BAD_ORDER = "run::bad-order",
    /// A run longer than the limit.
    RUN_TOO_LONG = "run::too-long",
    /// More arrivals than can be kept.
    TOO_MANY_ARRIVALS = "run::too-many-arrivals",
    /// A request, or a goal about requests, for goods that no desk gives out.
    NO_DESK = "run::no-desk",
    /// A part that is put to sleep while it sleeps.
    ALREADY_ASLEEP = "run::already-asleep",
    /// A signal that gets stuck while it is stuck.
    ALREADY_STUCK = "run::already-stuck",
    /// A goal names no flow.
    UNKNOWN_FLOW = "goal::unknown-flow",
    /// A goal names no section.
    UNKNOWN_SECTION = "goal::unknown-section",
    /// A goal names no lamp.
    UNKNOWN_LAMP = "goal::unknown-lamp",
    /// A goal names no gather.
    UNKNOWN_GATHER = "goal::unknown-gather",
    /// A part that no item ever reaches.
    UNREACHED_PART = "smell::unreached-part",
    /// A lock that never goes off.
    LOCK_NEVER_OFF = "smell::lock-never-off",
    /// A mouth to which nothing comes.
    UNFED_MOUTH = "smell::unfed-mouth",
    /// A comparator on a place that never holds anything.
    NEVER_FILLED = "smell::never-filled",
    /// A stream to a mouth from which nothing is taken.
    BARE_MOUTH = "smell::bare-mouth",
    /// Goods that no store takes.
    GOODS_WITHOUT_STORE = "smell::goods-without-store",
    /// A sieve whose outlet is unlocked before anything arrives.
    SIEVE_LEAKS = "smell::sieve-leaks",
    /// A sieve that needs more than one item to open.
    SIEVE_SHORT = "smell::sieve-short",
    /// A sieve whose outlet stays locked.
    SIEVE_NEVER_OPENS = "smell::sieve-never-opens",
    /// A sieve into which goods can come that are not its own.
    SIEVE_FREE_SLOT = "smell::sieve-free-slot",
    /// A filler of a sieve that comes to it.
    FILLER_ARRIVES = "smell::filler-arrives",
    /// A hopper that is filled like a sieve, and is not declared as one.
    SIEVE_NOT_NAMED = "smell::sieve-not-named",
    /// A sieve that another one opens.
    SIEVE_MIXED_UP = "smell::sieve-mixed-up",
    /// Two sieves for one kind on one line.
    TWO_FILTERS = "smell::two-filters",
    /// A ring in which goods go round for ever.
    ENDLESS_RING = "smell::endless-ring",
    /// A hand-over from dropper to dropper that comes off in one signal order only.
    SIGNAL_ORDER = "smell::signal-order",
    /// Hoppers or droppers that no stop is judged by.
    NO_SECTION = "smell::no-section",
    /// A goal whose bound nothing can break.
    GOAL_ALWAYS_MET = "smell::goal-always-met",
    /// Two parts fill one block.
    SITE_OVERLAP = "site::overlap",
    /// There is no full block to carry a part, or to fasten it to.
    SITE_SUPPORT = "site::support",
    /// A side is named that its part has no use for.
    SITE_SIDE_UNKNOWN = "site::side-unknown",
    /// A part points where it cannot, or it is not said where it points.
    SITE_FACES = "site::faces",
    /// A hopper does not reach what it pushes into.
    SITE_TARGET_APART = "site::target-apart",
    /// A hopper does not reach what it draws from.
    SITE_ABOVE_APART = "site::above-apart",
    /// A mouth is not where things come loose, or not above its hopper.
    SITE_MOUTH_APART = "site::mouth-apart",
    /// A dropper or dispenser does not face what it hands on to.
    SITE_FRONT_APART = "site::front-apart",
    /// What is taken at its word is not met at one of its sides.
    SITE_SIDE_APART = "site::side-apart",
    /// A stream's block is neither beside the one before nor one lower.
    SITE_STREAM_PATH = "site::stream-path",
    /// A stream runs too far at one height.
    SITE_STREAM_RUN = "site::stream-run",
    /// A stream would run out at its side.
    SITE_STREAM_OPEN = "site::stream-open",
    /// A hopper drinks from a stream on the way.
    SITE_DRINKS = "site::drinks",
    /// A hopper that is to be closed is open.
    SITE_OPEN_TOP = "site::open-top",
    /// Two single chests make one.
    SITE_CHESTS_JOIN = "site::chests-join",
    /// A hopper draws from something that nobody declared.
    SITE_DRAWS_UNASKED = "site::draws-unasked",
    /// Something is pushed or thrown where nobody declared it.
    SITE_PUSHES_UNASKED = "site::pushes-unasked",
    /// A signal does not reach what is to hear it.
    SITE_SIGNAL_APART = "site::signal-apart",
    /// A signal does not reach what it is to lock.
    SITE_LOCK_APART = "site::lock-apart",
    /// A signal does not reach what it is to trigger.
    SITE_TRIGGER_APART = "site::trigger-apart",
    /// A comparator does not reach what it reads.
    SITE_READING_APART = "site::reading-apart",
    /// An observer does not see what it watches.
    SITE_WATCHING_APART = "site::watching-apart",
    /// A signal locks something unasked.
    SITE_LOCKS_UNASKED = "site::locks-unasked",
    /// A signal triggers something unasked.
    SITE_FIRES_UNASKED = "site::fires-unasked",
    /// A signal part hears, reads or watches something unasked.
    SITE_FEEDS_UNASKED = "site::feeds-unasked",
    /// A signal drowns what a comparator reads.
    SITE_DROWNED = "site::drowned",
    /// A dropper fires at the next change beside it.
    SITE_ARMED = "site::armed",
    /// A signal loses another level on its way than declared.
    SITE_LOSS = "site::loss",
    /// Drawn parts of two modules are linked that are no ports.
    SITE_BETWEEN_MODULES = "site::between-modules",
    /// A drawn part lacks something without which it does nothing.
    SITE_LOOSE_END = "site::loose-end",
    /// A signal would go further than it can in its time.
    SITE_TOO_FAST = "site::too-fast",
}
