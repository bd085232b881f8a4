//! Guard factors from a test uncertainty ratio. The ratio has two meanings in print, so it never goes without its own.

/// What a test uncertainty ratio is a ratio of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TurDefinition {
    /// Half the tolerance over the expanded uncertainty at 95 %.
    ToleranceOverExpanded,
    /// The standard deviation of the process over that of the measurement.
    ProcessOverMeasurement,
}

/// A test uncertainty ratio with its definition.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tur {
    /// The ratio.
    pub value: f64,
    /// Of what.
    pub definition: TurDefinition,
}

/// What the tolerance is multiplied by, and the ratio that it came from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GuardFactor {
    /// Between 0 and 1.
    pub factor: f64,
    /// From which ratio.
    pub tur: Tur,
}

impl Tur {
    /// Half the tolerance over the expanded uncertainty.
    pub fn of_tolerance(half_tolerance: f64, expanded: f64) -> Self {
        Self {
            value: half_tolerance / expanded,
            definition: TurDefinition::ToleranceOverExpanded,
        }
    }

    /// Process over measurement.
    pub fn of_process(process: f64, measurement: f64) -> Self {
        Self {
            value: process / measurement,
            definition: TurDefinition::ProcessOverMeasurement,
        }
    }

    /// Root sum of squares: √(1 − 1/TUR²). Common practice. None for the other definition, and where the expanded
    /// uncertainty is larger than the tolerance: then no factor helps.
    pub fn root_sum_of_squares(self) -> Option<GuardFactor> {
        self.guard(|ratio| (1.0 - 1.0 / (ratio * ratio)).sqrt())
    }

    /// "Test 95": 1 − 1/TUR, which moves the limit in by the expanded uncertainty. Common practice. None as above.
    pub fn test_95(self) -> Option<GuardFactor> {
        self.guard(|ratio| 1.0 - 1.0 / ratio)
    }

    fn guard(self, formula: impl Fn(f64) -> f64) -> Option<GuardFactor> {
        let is_defined =
            self.definition == TurDefinition::ToleranceOverExpanded && self.value >= 1.0;
        is_defined.then(|| GuardFactor {
            factor: formula(self.value),
            tur: self,
        })
    }
}
