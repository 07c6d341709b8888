use hallwright_scenario::{LoadOptions, load, render};
#[test]
fn x() {
    let loaded = load(
        &super::beside("valid/everything.ron"),
        &LoadOptions::default(),
    );
    println!("{}", render(&loaded.diagnostics, &loaded.sources, false));
    let scenario = loaded.scenario.unwrap();
    for (id, part) in scenario.network.parts() {
        println!("{id} {} {part:?}", scenario.network.name(id));
    }
    println!("{:?}", scenario.network.fillings());
    println!("{:#?}", scenario.declarations);
    println!("{:?}", scenario.timeline);
}
