//! Faults: rules broken on purpose, one at a time.
//!
//! A check that compares two engines is worth something only if it notices every rule that one of
//! them breaks. Each fault breaks one rule of `docs/look-up/tick-rules.md`; a sound check notifies the broken
//! engine from the whole one.

use std::fmt;

/// Defines the faults, each with a sentence that is both its documentation and its text.
macro_rules! define_faults {
    ($($name:ident: $text:literal,)*) => {
        /// One rule broken on purpose.
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
        pub enum Fault {
            $(#[doc = $text] $name,)*
        }

        impl Fault {
            /// Every fault, in the order of the rules.
            pub const ALL: &'static [Fault] = &[$(Fault::$name,)*];

            /// What is done wrong.
            const fn text(self) -> &'static str {
                match self {
                    $(Self::$name => $text,)*
                }
            }
        }
    };
}

impl fmt::Display for Fault {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{self:?}: {}", self.text())
    }
}

define_faults! {
    // Section 1: inventories.
    InsertPrefersMatchingSlot: "a slot of the same kind is taken before an earlier empty one",
    InsertFromTheBack: "the last slot with room is taken, not the first",
    TakeFromTheBack: "items are taken from the last slot first",
    FullWithoutEmptySlot: "an inventory with no empty slot counts as full",
    BoxInBox: "a box takes up another box",
    EmptyBoxesShareSlot: "two empty boxes of a kind share a slot",
    FillLevelRoundedUp: "the fill level is rounded up",
    FillLevelWithoutOne: "the fill level lacks the 1 for holding anything at all",
    FillLevelCountsEqually: "every item weighs a 64th of a slot in the fill level",

    // Section 2: phases.
    InputsAfterSignals: "phase 1 comes after phase 2",
    LooseBeforeSignals: "phase 3 comes before phase 2",
    HoppersBeforeLoose: "phase 4 comes before phase 3",
    RanksIgnored: "signal events of one tick come in the order of scheduling alone",
    LastScheduledFirst: "of signal events of one rank, the last scheduled comes first",
    YoungestLooseFirst: "loose stacks take their turns in reverse",
    SelectorsAfterHoppers: "selectors take their turns after all hoppers",
    UpdateOrderIgnored: "turns are always taken in the order of declaration",
    SignalOrderIgnored: "a change reaches those that it concerns in the order of declaration",
    SignalOrderReversed: "the signal order is read backwards",
    SortsInSequence: "a change reaches observers first, then hoppers, and so on, whatever the signal order",
    ComparatorsByDeclaration: "an inventory notifies its comparators in the order of declaration",
    BenchesBeforeHoppers: "benches come before the hoppers",
    ShuttlesBeforeLoose: "shuttles come before the loose items",
    DestinationToldFirst: "a move notifies the readers of its destination first",
    InsertionUntold: "an inventory into which an item goes notifies nobody",
    OccupationUntold: "a change of occupation notifies nobody",

    // Section 3: signals.
    LoopsSettleSilently: "members of a loop schedule nothing when the signals settle",
    EverythingSettlesAtZero: "every delayed part starts at 0",
    LoopsSettleInReverse: "members of a loop schedule in reverse",
    LoopsSettleByDeclaration: "members of a loop schedule in the order of declaration",
    LockedRepeaterSettlesAtZero: "a locked repeater starts at 0",
    TriggerOnAtStartFires: "a dropper whose trigger is on at the start fires",
    PressedAgainStaysLonger: "pressing a button that is on schedules its going off anew",
    ButtonOneTickLong: "a button stays on one tick longer",
    WireWithoutLoss: "a wire loses nothing",
    WireTakesFirstInput: "a wire takes its first input, not its highest",
    FeedingRepeaterIsNoFirst: "a repeater that feeds a repeater or comparator is ranked as any other",
    RepeaterOffIsThird: "a repeater turns off in the rank of turning on",
    ShortPulseEndsByFeeding: "a repeater that feeds ends a short pulse in the first rank",
    ShortPulseEndsThird: "a repeater ends a short pulse in the third rank",
    FeedingComparatorIsLast: "a comparator that feeds a repeater or comparator is of the last rank",
    ComparatorIsThird: "every comparator is of the third rank",
    DelayLineIsLast: "a delay line is of the last rank",
    FiringIsThird: "a dropper's firing is of the third rank",
    RepeatersAreNotFed: "a repeater is not fed by its input",
    LocksAreNotFed: "a repeater is not fed by its lock",
    RearsAreNotFed: "a comparator is not fed by its rear",
    SidesAreNotFed: "a comparator is not fed by its side",
    FedThroughWires: "a repeater or comparator is fed through a wire",
    EverythingIsFed: "every part that reads a signal is fed by it",
    RepeaterLosesShortPulse: "a repeater takes its input as it is when the event comes",
    RepeaterLockIgnored: "a repeater's lock does nothing",
    RepeaterLockOffUnseen: "a repeater does not look again when its lock goes off",
    CompareWantsMore: "a comparator compares for more than the side, not for as much",
    SubtractIsDifference: "a comparator gives the difference where the side is greater",
    ValueKeptFromScheduling: "an event brings the value seen when it was scheduled",
    SchedulesWhilePending: "a part schedules again while an event of its own is pending",
    SignalDelayOneLong: "comparators, inverters, latches, all of and none of take one tick longer",
    ObserverRiseOneLong: "an observer's pulse starts one tick later",
    ObserverPulseOneLong: "an observer's pulse lasts one tick longer",
    ObserverSeesDuringPulse: "an observer sees changes during its pulse",
    ObserverMissesLocksOff: "an observer of a lock or trigger sees it go on only",
    ObserverSeesEveryLevel: "an observer of any signal sees every change of its level",
    ObserverOfWireSeesOnAndOff: "an observer of a wire sees it go on and off only",
    ObserverOfDelayLineSeesOnAndOff: "an observer of a delay line sees it go on and off only",
    ObserversByDeclaration: "locks, triggers and matches reach their observers in the order of declaration",
    HoldNotForgotten: "a hold goes off though its input came on again",
    HoldOneShort: "a hold ends one tick early",
    LatchSetWins: "a latch is set when both its inputs are on",
    LatchKeepsNothing: "a latch goes off with its set input",
    ToggleOnFallingEdge: "a toggle flips when its input goes off",
    ToggleCountsAll: "a toggle flips once for each edge, pending or not",
    AllOfIsAnyOf: "all of is on when one input is",
    NoneOfIsNotAllOf: "none of is on until every input is",
    ClocksAfterOthers: "clocks come after the other events of their tick",
    ClocksByDeclaration: "clocks change in the order of declaration",
    ClockPhaseReversed: "a clock's phase counts backwards",
    DelayLineLosesChanges: "a delay line schedules nothing while an event is pending",
    BreadthFirst: "a change runs through the parts that it reaches breadth first",
    ObserversLast: "observers of a signal come after all that it drives",
    ReadersFirst: "signals that read a change come before all others that it reaches",
    ReadersLast: "signals that read a change come after all others that it reaches",
    LocksAreSeenLast: "observers of a lock or trigger come after all that the change reaches",
    TriggerIsSeenFirst: "observers of a trigger come before the dropper schedules its firing",
    AnyRiseIsAnEdge: "a rise from one level above 0 to another triggers droppers and toggles",
    NextEventAfterChange: "a part schedules its own next event after its change has run on",

    // Section 4: hoppers.
    CooldownWaitsWhileLocked: "a locked hopper does not count down",
    LockIgnored: "a hopper's lock does nothing",
    LockedRefuses: "a locked hopper receives nothing",
    LockedKeeps: "nothing can be pulled from a locked hopper",
    PullBeforePush: "a hopper pulls before it pushes",
    PushesFirstSlotOnly: "a hopper tries to push from its first filled slot only",
    PullsFirstSlotOnly: "a hopper tries to pull from the first filled slot only",
    PushOrPull: "a hopper that has pushed does not pull",
    OnlyPushCoolsDown: "a pull alone leaves the hopper ready",
    PartTakenSucceeds: "a part taken from a stack at rest ends the pull with success",
    WholeTakenGoesOn: "a stack taken whole does not end the pull",
    YoungestStackFirst: "a hopper looks at the youngest stack of its mouth first",
    CooldownOneShort: "the cooldown after a push or pull is one tick short",
    LastItemNeedsNoCooldown: "a hopper that hands on its last item is ready at once",
    ArrivalNeverShort: "arrival sets the longer cooldown in any case",
    ArrivalAlwaysShort: "arrival sets the shorter cooldown in any case",
    ArrivalInAnyHopper: "arrival counts though the hopper was not empty",
    PullIsArrival: "a pull into an empty hopper sets the cooldown of an arrival",
    DeliveryIsNoArrival: "a delivery sets no cooldown",
    FirstTurnAtZero: "the tick of the last turn starts at 0",

    // Section 5: droppers, streams, mouths.
    DropperDelayOneLong: "a dropper fires one tick later",
    DropperCountsAll: "a dropper schedules a firing for each edge, pending or not",
    DropperFiresOnFallingEdge: "a dropper fires when its trigger goes off",
    DropperTakesFirstSlot: "a dropper takes from its first filled slot, without a draw",
    DropperAlwaysDraws: "a dropper draws though one slot only holds something",
    DispenserReplacesBox: "a dispenser throws out the box that stands on its bench",
    DispenserThrowsBox: "a dispenser throws the box that its bench has no room for",
    DispenserKeepsStray: "a dispenser keeps what is no box",
    StreamOneTickLong: "a stream takes one tick longer",
    StreamStopsAge: "a stack does not age on a stream",
    AgesFromNextTick: "a stack does not age in the tick in which it came loose",
    DespawnOneLate: "a stack is lost one tick later",
    RestsAtOnce: "what comes loose at a mouth is at rest at once",
    MergesIntoLast: "a stack merges into the last one with room",
    MergesWithLesserSum: "stacks merge only if the sum stays below the stack limit",
    MergeTakesOlderAge: "merged stacks take the older age",
    MergedAgeOneMore: "merged stacks take the younger age and one tick more",
    MergeAgesLaterStack: "a stack into which an earlier one merges ages one tick more",
    MergedStackMovesBack: "merged stacks keep the place of the newcomer",
    MergesEveryTick: "a stack at rest tries to merge in every tick",
    NeverMerges: "stacks never merge",
    NothingOffered: "no stack is offered",
    OfferedInReverse: "a stack is offered to the hoppers in reverse",
    OfferIgnoresLock: "a stack is offered to locked hoppers as well",
    OfferIgnoresCooldown: "a stack is offered to hoppers that are not ready as well",
    OfferPullsOnly: "a hopper that is offered a stack does not push",
    OfferShowsWholeMouth: "a hopper that is offered a stack sees the whole mouth",

    // Section 6: benches, selectors, shuttles, the operator.
    LiftOneTickLate: "a box is lifted one tick later",
    LiftCountsAllTicks: "the ticks that lift a box need not be in a row",
    LiftCountGoesOn: "setting a box down does not start the count anew",
    FullBoxWithoutEmptySlot: "a box with no empty slot counts as full to a bench or predicate",
    SelectorLatencyOneLong: "a selector's latency is one tick longer",
    SelectorIntervalIgnored: "a selector keeps no interval",
    SelectorIntervalInsideOnly: "a selector's interval counts only from an item still inside",
    SelectorHoldsOneMore: "a selector holds one item more",
    SelectorLockIgnored: "a selector's lock does nothing",
    SelectorRefusesWhileLocked: "a locked selector accepts nothing",
    SelectorMayMoveTwo: "a selector hands on every item that is ready",
    WhenFullForMatchesOnly: "`when_full` serves matches only",
    WhenFullForRestOnly: "`when_full` serves the rest only",
    MatchSeenElsewhere: "a match delivered elsewhere is seen as well",
    RestSeenAsMatch: "an item delivered to the rest target is seen as a match",
    SelectorIsNoHopper: "what a selector hands on arrives as from a dropper",
    BoxOfAcceptsEmpty: "an empty box counts as a box of any kinds",
    BoxOfWantsOne: "a box counts as a box of kinds if it holds any of them",
    SingleExcludesBoxes: "a box does not count as an item of stack limit 1",
    DwellOneLong: "a shuttle stays one tick longer",
    TravelOneLong: "a shuttle travels one tick longer",
    ReleaseIgnored: "a shuttle needs no release",
    ShuttlesInReverse: "shuttles take their turns in reverse",
    DepartureFreesNextTick: "a dock stays taken for the rest of the tick of a departure",
    DocksWhereTaken: "a shuttle docks though another stands there",
    InputsInReverse: "the inputs of a tick are done in reverse",
    DeliveryAllOrNothing: "a delivery that does not fit whole is refused",
    WithdrawsFromTheBack: "an operator's withdrawal starts with the last slot",
    WithdrawsFirstSlotOnly: "an operator's withdrawal takes from one slot only",
    LooseDeliveryFullStacksLast: "a loose delivery makes its full stacks last",
    LooseDeliveryInOneStackEach: "a loose delivery makes a stack of each item",

    // Deliveries that wait.
    NobodyWaitsForRoom: "what is left of a delivery that waits for room is refused",
    HeldIsRefused: "a delivery due while its signal is off is refused",
    HoldIgnored: "a delivery comes in though its signal is off",
    HeldWaitsForRoomToo: "a delivery that a signal may hold waits for room though it does not say so",
    NewcomerComesFirst: "a delivery that is due goes to the front of its line",
    LinesMoveLast: "lines move at the end of phase 1, not at its beginning",
    LinesMoveInReverse: "the lines of the places move in reverse",
    LineMovesBackwards: "a line moves from its last delivery to its first",
    HeldStopsTheLine: "a delivery that is held stops those behind it that wait for room",
    LineIsNoQueue: "a delivery that waits for room comes in before an earlier one",
    ImpatientStandsBehind: "a delivery that does not wait for room stands behind those that do",

    // Mishaps.
    StuckOneTickLong: "a signal is stuck one tick longer",
    StuckComesFreeLast: "signals come free at the end of phase 1, not at its beginning",
    StuckByDeclaration: "signals get stuck and come free in the order of declaration",
    StuckSilently: "a signal that gets stuck changes its level without anybody being reached",
    StuckAfterChange: "a signal is stuck only once its change has run on",
    StuckPartHeedsItsLevel: "a signal that is stuck goes by the level at which it is",
    StuckPartStandsStill: "a signal that is stuck keeps the level of its own",
    SleeperIsNotStuck: "a sleeping signal cannot get stuck",
    FreedSilently: "a signal that comes free takes its level without anybody being reached",
    FreedKeepsItsLevel: "a signal that comes free keeps the level at which it was stuck",
    FillsOneSlot: "an inventory that is filled by hand takes one stack",
    FillGoesByLine: "nothing is filled by hand where deliveries wait",
    TakesLastBox: "of several boxes the last is taken away",
    TakesBoxFromFirstSlotOnly: "a box is taken away only if no other thing lies before it",
    BenchKeepsBox: "the box on a bench is not taken away",
    BoxTakenUntold: "the taking away of a box notifies nobody",
    SleeperGivesBox: "a box is taken away from what sleeps",

    // Section 8: costs.
    CostCountsEmptyPush: "the target's slots cost though the hopper holds nothing",
    CostSkipsAboveWhenFull: "the inventory above costs nothing when the hopper is full",
    CostOfMouthMissing: "an open mouth costs nothing",
    CostOfCapMissing: "a cap costs nothing",
    CostOfIdleMissing: "a turn that ends at step 2 costs nothing",
    CostOfSelectorByHolds: "a selector as target counts as many slots as it holds items",
    CostOfAbsentAboveMissing: "an unoccupied dock or bench above costs nothing",
    CostAfterTurn: "a turn costs by what it leaves, not by what it finds",
    CostOfOffers: "an offer costs as a turn does",

    // Section 9: sleep and reopening.
    SleepOneTickLong: "a part sleeps one tick longer",
    SleepComesFirst: "parts sleep from the start of their tick on, before its other inputs",
    SleepComesLast: "parts sleep from the end of phase 1 on, after all inputs of their tick",
    SleepingHopperActs: "a sleeping hopper takes its turns",
    SleepingHopperCountsDown: "the cooldown of a sleeping hopper goes down",
    SleepingSelectorActs: "a sleeping selector takes its turns",
    SleepingSelectorGetsReady: "the ready times of a sleeping selector do not wait",
    SleepingSelectorForgetsInterval: "the time that a selector's interval counts from does not wait",
    SleepingShuttleTravels: "the travel time of a sleeping shuttle runs on",
    SleepingShuttleDwells: "the docked time of a sleeping shuttle runs on",
    SleepingBenchCounts: "the count of a sleeping bench goes on",
    SleepingBenchLifts: "a sleeping bench looks whether its box is to be lifted",
    SleepingClockRunsOn: "a clock that wakes is where it would be without its sleep",
    SleepersLastTurnRunsOn: "the last turn of a sleeper is counted as if it had one in every tick",
    SleepersEventsComeOnTime: "what a sleeping part has scheduled comes when it was to come",
    SleepersEventsComeAtWaking: "what a part has scheduled for its sleep comes when it wakes, all at once",
    SleepersEventsAreLast: "what a sleeping part has scheduled comes in the last rank",
    SleepersEventsAreScheduledAnew: "what a sleeping part has scheduled counts as scheduled anew",
    SleepingStreamFlows: "stacks travel on a sleeping stream",
    AgesAsleep: "stacks age on a sleeping stream and at a sleeping mouth",
    RestsAsleep: "stacks come to rest and merge at a sleeping mouth",
    OfferedAsleep: "a stack at rest at a sleeping mouth is offered",
    NothingFallsAsleep: "nothing is thrown or delivered onto a sleeping stream or mouth",
    SetsOutWhileAsleep: "what is put on a sleeping stream arrives as if it had been awake",
    StreamIsLeftEarly: "a stack is off its stream from the start of the tick in which it reaches the mouth",
    StreamIsLeftAtRest: "a stack is on its stream until it is at rest",
    SleeperIsPushedInto: "things are pushed into what sleeps",
    SleeperIsPulledFrom: "things are pulled out of what sleeps",
    SleeperTakesDelivery: "a delivery comes in where it is asleep",
    SleeperGivesWithdrawal: "things are withdrawn from what sleeps",
    OfferedToSleepers: "a stack is offered to sleeping hoppers as well",
    SleepingMouthIsOpen: "a hopper takes from a sleeping mouth in its turn",
    CostOfSleepingTarget: "a sleeping target costs as one that is awake",
    CostOfSleepingAbove: "what sleeps above costs as if it were awake",
    CostOfSleepingMouth: "a sleeping mouth costs as an open one",
    SleepingBenchTakesBox: "a dispenser sets its box down on a sleeping bench",
    SleepingBenchIsPassedByBoxes: "a dispenser throws its box past a sleeping bench",
    SleepingBenchStopsThrows: "a dispenser keeps other things before a sleeping bench",
    SleepingDockIsOpen: "the inventory docked at a sleeping dock is open",
    SleepingShuttleIsOpen: "the inventory of a sleeping shuttle is open",
    SleepingDockIsReached: "a shuttle docks at a sleeping dock",
    SleepingDockIsLeft: "a shuttle departs from a sleeping dock",
    ShuttleWaitsForDock: "the times of a shuttle wait while the dock where it is or to which it goes sleeps",
    SleepersReadAsEmpty: "a comparator reads what sleeps as nothing",
    SleepingSignalHears: "a sleeping signal heeds its inputs",
    SleepingComparatorNotices: "a sleeping comparator notices that its inventory changed",
    SleepingObserverSees: "a sleeping observer sees changes",
    SleepingDropperHears: "the trigger of a sleeping dropper fires it",
    SleepingLeverMoves: "a sleeping lever moves",
    SleepingButtonIsPressed: "a sleeping button can be pressed",
    SleepingSignalsAreOff: "a signal goes off when it falls asleep",
    WakersLookAgain: "a part that wakes looks at its inputs again",
    SleepersLockUnchanged: "the lock of a sleeping hopper or selector does not change",
    SleepersLockUnseen: "observers do not see the lock of a sleeper change",
    SleepersTriggerUnseen: "observers do not see the trigger of a sleeper change",
    CostOfSleepingHopper: "a sleeping hopper costs as one that waits",
    ReopeningKeepsUpdateOrder: "the update order stays after a reopening",
    ReopeningKeepsSignalOrder: "the signal order stays after a reopening",
    ReopeningKeepsLastTurns: "the last turns stay after a reopening",
    ReopeningSparesSleepers: "the last turns of sleepers stay after a reopening",
    ReopeningReversesEvents: "what is scheduled turns round at a reopening",
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fault_says_its_name_and_what_it_does() {
        assert_eq!(
            Fault::PullBeforePush.to_string(),
            "PullBeforePush: a hopper pulls before it pushes"
        );
    }
}
