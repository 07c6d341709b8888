//! Runs spread over the cores, in a bench of its own: the allocator that counts bytes in the other one
//! counts for all threads together, so that they would wait for each other.

mod case;
mod figures;
mod goals;
mod measure;
mod runs_parallel;
mod scenarios;
mod table;

fn main() {
    let mut measure = measure::Measure::from_arguments();
    runs_parallel::runs_parallel(&mut measure);
    print!("{}", table::table(&measure.finish()));
}
