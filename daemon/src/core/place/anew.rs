//! A tracker made from what a build shows.

use super::{Tracker, waits};
use pullmark_schema::build::Build;

impl Tracker {
    /// The same for a build whose plan was changed, or of which something was taken back: what the build shows made is
    /// made, and each tool is where its last pull was placed.
    #[must_use]
    pub fn anew(&self, build: &Build) -> Self {
        let mut tracker = Self::new(build);
        tracker
            .filter
            .rank(&tracker.course, |fastener| waits(build, fastener));
        let made: Vec<usize> = (0..tracker.course.pulls.len())
            .filter(|pull| {
                let place = &tracker.course.pulls[*pull].place;
                let fastener = &place.fastener;
                build.passes_done(fastener) > place.pass || build.standing(fastener).is_done()
            })
            .collect();
        tracker.filter.made(&tracker.course, &made);
        tracker.tools.clone_from(&self.tools);
        for (number, tool) in (0..).zip(&self.tools) {
            let mut readings = build.readings.values().rev();
            let last = readings.find_map(|known| {
                let place = known.placement.place()?;
                (known.reading.tool == *tool).then_some(place)
            });
            if let Some(pull) = last.and_then(|place| tracker.course.number(place)) {
                let is_under = tracker.is_open(build, pull);
                tracker
                    .filter
                    .moved(&tracker.course, number, pull, is_under);
            }
        }
        tracker
    }
}
