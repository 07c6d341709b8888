//! The page of the dirty hall: its parts, stores, curves and flags, by hand from
//! `tests/render/dirty.ron`.

use serde_json::{Value, json};

use crate::support::{Data, drawn};

fn dirty() -> (Data, hallwright_report::findings::Findings) {
    drawn("render/dirty.ron")
}

#[test]
fn parts_sections_and_stores_are_reported_by_their_numbers() {
    let (data, _) = dirty();
    assert_eq!(data["ticksPerSecond"], 20);
    assert_eq!(data["cooldownTicks"], 8);
    assert_eq!(data["runTicks"], 500);
    assert_eq!(
        data["kinds"][0],
        json!({"name": "barley", "limit": 64, "box": false})
    );
    assert_eq!(
        data["kinds"][7],
        json!({"name": "box", "limit": 1, "box": true})
    );
    let sorts = data.numbers(&data["parts"]["sort"]);
    let sort_of = |name: &str| {
        let names = data["parts"]["names"].as_array().expect("a list");
        let part = names
            .iter()
            .position(|known| known == name)
            .expect("it is there");
        data["parts"]["sorts"][sorts[part] as usize]
            .as_str()
            .expect("a word")
    };
    for (part, sort) in [
        ("inbox", "container"),
        ("feeder", "hopper"),
        ("yard", "mouth"),
        ("brook", "stream"),
        ("thrower", "dropper"),
        ("north", "dock"),
        ("barge", "shuttle"),
        ("slow selector", "selector"),
        ("stop lever", "lever"),
        ("bell", "button"),
        ("shelf lamp", "comparator"),
        ("beat", "clock"),
        ("load", "all of"),
    ] {
        assert_eq!(sort_of(part), sort, "{part}");
    }
    let section = &data["sections"][0];
    assert_eq!(section["name"], "line");
    assert_eq!(
        data.names(data.numbers(&section["line"])),
        ["line 1", "line 2"]
    );
    assert_eq!(
        data.names(data.numbers(&section["queue"])),
        ["inbox", "feeder"]
    );
    let flax = &data["stores"][1];
    assert_eq!(flax["name"], "flax store");
    assert_eq!(
        data.names(data.numbers(&flax["parts"])),
        ["shelf", "flax chest"]
    );
    assert_eq!(data.numbers(&flax["takes"]), [1]);
    assert_eq!(flax["overflow"], false);
    assert_eq!(data["stores"][4]["overflow"], true);
    assert_eq!(data["flows"], json!(["barley", "served"]));
}

#[test]
fn curves_have_a_number_for_every_tick() {
    let (data, found) = dirty();
    let curves = &data["series"];
    assert_eq!(curves["stepTicks"], 1);
    let at = |curve: &Value, ticks: &[usize]| -> Vec<u64> {
        let curve = data.series(curve);
        assert_eq!(curve.len(), 500);
        ticks.iter().map(|tick| curve[*tick]).collect()
    };
    // 40 in the line's inbox; 24 are stored by tick 206, all by tick 394, and 6 come in tick 420.
    assert_eq!(
        at(&curves["backlog"][0], &[3, 210, 300, 398, 430]),
        [40, 16, 16 - 4, 0, 6]
    );
    // The slates come in tick 15 and stay.
    assert_eq!(at(&curves["backlog"][2], &[14, 15, 499]), [0, 6, 6]);
    // The feeder is locked during the stops.
    assert_eq!(
        at(&curves["unlocked"], &[100, 230, 300, 450]),
        [12, 11, 12, 11]
    );
    // Oak from tick 10 to 108, wool from 20 to 118, a box from 30 to 128, wool from 230 to 328, oak from
    // 234 to 332, slate from 460.
    assert_eq!(
        at(
            &curves["loose"],
            &[5, 15, 25, 35, 115, 125, 200, 232, 300, 331, 400, 480]
        ),
        [0, 1, 2, 3, 2, 1, 0, 1, 2, 1, 0, 1]
    );
    // Barley is stored in ticks 22, 30, … 206, 274, … 394, boxes served in ticks 108
    // and 126.
    assert_eq!(
        at(&curves["counted"][0], &[21, 22, 206, 273, 274, 499]),
        [0, 1, 24, 24, 25, 40]
    );
    assert_eq!(at(&curves["counted"][1], &[107, 108, 126]), [0, 1, 2]);
    let work = data.series(&curves["work"]);
    assert_eq!(work.iter().sum::<u64>(), found.cost.work_units);
    assert_eq!(work.iter().max(), Some(&found.cost.peak_work_units));
}

#[test]
fn flags_are_those_worth_going_to() {
    let (data, _) = dirty();
    let moment = |tick: u64, sort: &str, name: &str, part: Option<&str>| json!({"tick": tick, "sort": sort, "name": name, "part": part});
    let lost = |tick, name, part| moment(tick, "loss", name, Some(part));
    let done = |tick, name, part| moment(tick, "operator", name, Some(part));
    let sieve = |tick, part| {
        let name = format!("sieve not intact: {part}");
        moment(tick, "wrong", &name, Some(part))
    };
    assert_eq!(
        data["flags"],
        json!([
            sieve(0, "leaky sieve"),
            moment(37, "wrong", "first passed by", None),
            moment(57, "wrong", "first misplaced in flax store", None),
            sieve(70, "flax sieve"),
            lost(109, "lost: 1 item of oak", "pond"),
            lost(119, "lost: 3 items of wool", "yard"),
            lost(129, "lost: 1 item of box", "yard"),
            moment(200, "stop", "stop 1", None),
            done(200, "stop lever on", "stop lever"),
            done(230, "press bell", "bell"),
            moment(260, "stop", "restart 1", None),
            done(260, "stop lever off", "stop lever"),
            done(310, "take out 4 items from till", "till"),
            lost(329, "lost: 2 items of wool", "yard"),
            lost(333, "lost: 1 item of oak", "yard"),
            moment(400, "stop", "stop 2", None),
            done(400, "stop lever on", "stop lever"),
            done(460, "press bell", "bell"),
        ])
    );
}
