//! Hypotheses made from what a build shows.

use super::super::course::Course;
use super::Filter;

impl Filter {
    /// So many pulls are made, and nothing else is known.
    pub(in super::super) fn made(&mut self, course: &Course, pulls: &[usize]) {
        for pull in pulls {
            self.is_made(*pull);
            for known in &mut self.hypotheses {
                known.counts[course.pulls[*pull].slot] += 1.0;
            }
        }
    }
}
