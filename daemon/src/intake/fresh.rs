//! Whether a count that is read over and over stands for something new.

/// So far ahead a count of its width may be; farther is behind.
const MOST_MISSED: u64 = 1000;

/// What a count says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Age {
    /// The first that is seen: the value beside it may be of last week.
    First,
    /// Nothing new.
    Same,
    /// The next value.
    Next,
    /// A value, and others before it were never seen.
    Missed,
    /// It went back: the instrument began to count anew, and its value may be any.
    Restarted,
}

/// The last count that was seen.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Fresh {
    last: Option<u64>,
}

impl Fresh {
    /// Takes in a count that has so many values before it begins anew; 0 where it never does.
    pub(super) const fn look(&mut self, count: u64, values: u64) -> Age {
        let Some(last) = self.last.replace(count) else {
            return Age::First;
        };
        let ahead = if values == 0 {
            count.wrapping_sub(last)
        } else {
            count.wrapping_add(values).wrapping_sub(last) % values
        };
        match ahead {
            0 => Age::Same,
            1 => Age::Next,
            2..=MOST_MISSED => Age::Missed,
            _ => Age::Restarted,
        }
    }

    /// Whether this count was seen last.
    pub(super) fn is(&self, count: u64) -> bool {
        self.last == Some(count)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_count_goes_on_wraps_and_begins_anew() {
        let mut fresh = Fresh::default();
        let wide = 65_536;
        let seen =
            [65_534, 65_534, 65_535, 0, 3, 3, 2, 40_000].map(|count| fresh.look(count, wide));
        assert_eq!(
            seen,
            [
                Age::First,
                Age::Same,
                Age::Next,
                Age::Next,
                Age::Missed,
                Age::Same,
                Age::Restarted,
                Age::Restarted
            ]
        );
        assert!(fresh.is(40_000));
        let mut fresh = Fresh::default();
        assert_eq!(
            [7, 8, 1].map(|count| fresh.look(count, 0)),
            [Age::First, Age::Next, Age::Restarted]
        );
    }
}
