//! Pages as a browser shows them: Debian's Chromium, driven from here. Behind the feature `chromium`,
//! for it needs that browser; `.ci/run` installs it. Screenshots go to `target/screenshots`.

/// For everyone: names, roles, contrast, and cards that fit.
mod access;
/// Links to what a page shows.
mod address;
/// The browser.
mod chromium;
/// The command that draws the pages.
mod command;
/// What a page shows at a tick against the engine's state.
mod exact;
/// What the page opens with.
mod first;
/// Goods on their way between parts.
mod goods;
/// The keyboard alone.
mod keyboard;
/// A large hall stays usable.
mod large;
/// By day and by night, on a phone and on a desk: nothing sticks out, no errors; screenshots.
mod looks;
/// What the map does with wheel, fingers and keys, and how much of it is shown.
mod manners;
/// Names are untrusted text.
mod names;
/// Both variants beside each other.
mod pair;
/// The page on paper.
mod paper;
/// The pictures of the documentation.
mod pictures;
/// The build sheet, ticked off and on paper.
mod sheet;
/// How the stop went: bars of hall and sections, and why a mark came no sooner.
mod stop;
/// The way of one item.
mod story;
mod support;
/// Files that are made from the page.
mod takeaway;
/// Which span of time is seen, its axes and flags, and time that runs.
mod time;
/// Where it waits: tints and the list of the parts that waited most.
mod tints;
/// Dragging, stepping, jumping, opening, finding, comparing.
mod use_of_it;
/// A placed hall from above, from the side, and one height at a time.
mod views;
/// What parts waited for, by cause.
mod waits;
