//! Units as D-SI writes them: `\newton\metre`, `\milli\newton\metre`, `\percent`. Others are not guessed.

/// What a unit is, with its power of ten.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unit {
    /// N·m times a power of ten.
    Torque(i32),
    /// A plain number times a power of ten.
    Ratio(i32),
}

/// Decimal prefixes (SI Brochure, 9th edition, table 7) that a hand tool's torque could be written with.
const PREFIXES: [(&str, i32); 9] = [
    ("mega", 6),
    ("kilo", 3),
    ("hecto", 2),
    ("deca", 1),
    ("deci", -1),
    ("centi", -2),
    ("milli", -3),
    ("micro", -6),
    ("nano", -9),
];

impl Unit {
    /// Nothing for a unit of another quantity, or one that is not known here. A joule is not a newton metre.
    pub(super) fn read(text: &str) -> Option<Self> {
        match text {
            "\\one" => Some(Self::Ratio(0)),
            "\\percent" => Some(Self::Ratio(-2)),
            "\\ppm" => Some(Self::Ratio(-6)),
            _ => torque(text),
        }
    }
}

fn torque(text: &str) -> Option<Unit> {
    let (mut power, mut pending, mut newton, mut metre) = (0, None, false, false);
    for word in text.strip_prefix('\\')?.split('\\') {
        let seen = match word {
            "newton" => &mut newton,
            "metre" => &mut metre,
            _ => {
                let (_, exponent) = PREFIXES.iter().find(|(name, _)| *name == word)?;
                if pending.replace(*exponent).is_some() {
                    return None;
                }
                continue;
            }
        };
        if std::mem::replace(seen, true) {
            return None;
        }
        power += pending.take().unwrap_or(0);
    }
    (newton && metre && pending.is_none()).then_some(Unit::Torque(power))
}

/// As people write the units of surroundings; others are shown as they stand.
pub(super) fn symbol(text: &str) -> &str {
    match text {
        "\\kelvin" => "K",
        "\\degreecelsius" => "°C",
        "\\percent" => "%",
        "\\pascal" => "Pa",
        "\\hecto\\pascal" => "hPa",
        "\\kilo\\pascal" => "kPa",
        "\\one" => "",
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_newton_metres_and_ratios_alone() {
        for (text, unit) in [
            ("\\newton\\metre", Unit::Torque(0)),
            ("\\metre\\newton", Unit::Torque(0)),
            ("\\milli\\newton\\metre", Unit::Torque(-3)),
            ("\\centi\\newton\\metre", Unit::Torque(-2)),
            ("\\newton\\centi\\metre", Unit::Torque(-2)),
            ("\\kilo\\newton\\milli\\metre", Unit::Torque(0)),
            ("\\one", Unit::Ratio(0)),
            ("\\percent", Unit::Ratio(-2)),
            ("\\ppm", Unit::Ratio(-6)),
        ] {
            assert_eq!(Unit::read(text), Some(unit), "{text}");
        }
        for text in [
            "",
            "\\",
            "Nm",
            "\\joule",
            "\\newton",
            "\\metre",
            "\\kelvin",
            "\\newton\\newton\\metre",
            "\\newton\\metre\\metre",
            "\\newton\\metre\\milli",
            "\\milli\\milli\\newton\\metre",
            "\\newton\\metre\\tothe{2}",
            "\\newton\\per\\metre",
            "\\newton\\metre\\per\\second",
            "\\newton \\metre",
            "\\pound\\foot",
            "\\poundforce\\foot",
            "\\kilogramforce\\metre",
        ] {
            assert_eq!(Unit::read(text), None, "{text}");
        }
    }
}
