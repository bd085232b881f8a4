//! Hypotheses made from what a build shows.

use super::super::course::Course;
use super::Filter;

impl Filter {
    /// A person has said that this very pull was made.
    pub(in super::super) fn is_made(&mut self, pull: usize) {
        if let Some(known) = self.known.get_mut(pull) {
            *known = true;
        }
    }

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
