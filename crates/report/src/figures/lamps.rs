//! What lamps show.

use super::{Amount, Better, Definition, Take, Topic, Unit, When, figures};

const BASE: Definition = Definition {
    topic: Topic::Lamps,
    better: Better::Neither,
    when: When::AtTheEnd,
    ..Definition::BASE
};

figures! {
    /// When a lamp first rose.
    FIRST_RISE: Definition {
        words: "first rise",
        key: "first_rise_at_tick",
        unit: Unit::Tick,
        recorded: Some("first rise"),
        take: Take::Lamp(|lamp| Some(Amount::Moment(lamp.first_rise.map(|rise| rise.at)))),
        ..BASE
    };
    /// What it watches held then; nothing if it never rose.
    FIRST_RISE_HOLDING: Definition {
        words: "held at the first rise",
        key: "first_rise_watched_items",
        unit: Unit::Items,
        take: Take::Lamp(|lamp| {
            let rise = lamp.first_rise?;
            Some(Amount::Count(rise.watched_items))
        }),
        ..BASE
    };
    /// How often it rose.
    RISES: Definition {
        words: "rises",
        key: "rises",
        unit: Unit::Rises,
        recorded: Some("rises"),
        take: Take::Lamp(|lamp| Some(Amount::Count(lamp.rises))),
        ..BASE
    };
}
