//! What is shown done and may have been missed: the net under the placing.

use super::habits::Habits;
use super::{Tracker, waits};
use pullmark_schema::build::Build;
use pullmark_schema::placement::Place;
use pullmark_schema::verdict::Answer;

/// A fastener that is shown done and may have been missed.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// Which.
    pub fastener: String,
    /// How probable it is that it is done.
    pub probability: f64,
}

/// What is shown done, and may well not be: one more pull on each is asked for before the bike leaves.
pub fn doubts(build: &Build, tracker: &Tracker, habits: &Habits) -> Vec<Doubt> {
    let course = &tracker.course;
    let mut list = Vec::new();
    for (number, slot) in course.slots.iter().enumerate() {
        if slot.later.is_some() {
            continue;
        }
        let ready = slot
            .steps
            .iter()
            .map(|pull| (*pull, &course.pulls[*pull].place))
            .filter(|(_, place)| !waits(build, &place.fastener));
        let (open, done): (Vec<_>, Vec<_>) =
            ready.partition(|(pull, _)| tracker.is_open(build, *pull));
        let unknown = |(pull, _): &(usize, &Place)| tracker.filter.is_unknown(*pull);
        let open_unknown = open.iter().filter(|at| unknown(at)).count();
        let done: Vec<_> = done.into_iter().filter(unknown).collect();
        let missed = tracker.filter.missing(number);
        let all: f64 = done.iter().map(|(_, place)| suspicion(build, place)).sum();
        let all = all + as_number(open_unknown);
        for (_, place) in done {
            let probability = missed * suspicion(build, place) / all;
            if probability >= habits.doubt {
                list.push(Doubt {
                    fastener: place.fastener.clone(),
                    probability: 1.0 - probability.min(1.0),
                });
            }
        }
    }
    list
}

fn as_number(count: usize) -> f64 {
    f64::from(u32::try_from(count).unwrap_or(u32::MAX))
}

/// One that came out under may have been left so, and the next one of its slot been taken for its repair.
fn suspicion(build: &Build, place: &Place) -> f64 {
    if had_an_under(build, place) {
        20.0
    } else {
        1.0
    }
}

fn had_an_under(build: &Build, place: &Place) -> bool {
    build.counting(&place.fastener).any(|reading| {
        reading
            .verdict
            .as_ref()
            .is_some_and(|verdict| verdict.answer == Answer::Under)
    })
}
