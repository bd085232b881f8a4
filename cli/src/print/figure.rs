//! Torques as the shop's settings want them shown: in which unit, with which decimal mark. What a tool displayed stays as it
//! was displayed, and a record stays in N·m.

use pullmark_daemon::shop::{DecimalMark, Shop, TorqueUnit};
use pullmark_schema::quantity::{Torque, Unit};
use std::sync::OnceLock;

/// How torques are shown.
#[derive(Debug, Clone, Copy)]
struct Shown {
    /// None for N·m.
    unit: Option<&'static Unit>,
    mark: char,
}

static SHOWN: OnceLock<Shown> = OnceLock::new();

/// Takes over what the shop has chosen, once.
pub(crate) fn show_as(shop: &Shop) {
    let mark = match shop.decimal {
        Some(DecimalMark::Comma) => ',',
        _ => '.',
    };
    let unit = shop.torque_unit.map(TorqueUnit::unit);
    let _ = SHOWN.set(Shown { unit, mark });
}

fn shown() -> Shown {
    let plain = Shown {
        unit: None,
        mark: '.',
    };
    SHOWN.get().copied().unwrap_or(plain)
}

/// The figure with its unit.
pub(crate) fn torque(torque: Torque) -> String {
    let (figure, symbol) = written(torque, shown());
    format!("{figure} {symbol}")
}

/// The figure alone.
pub(super) fn number(torque: Torque) -> String {
    written(torque, shown()).0
}

/// A figure has as many decimals as it takes for a step to be no more than 1 mN·m, and is rounded to the nearest step: two that
/// differ never look the same, and one that is over its limit never looks within it.
fn written(torque: Torque, Shown { unit, mark }: Shown) -> (String, &'static str) {
    let (figure, symbol) = match unit {
        None => {
            let whole = torque.to_string();
            (whole.trim_end_matches(" N·m").to_owned(), "N·m")
        }
        Some(unit) => {
            let value = unit.from_small_units(torque.small_units());
            let step = unit.from_small_units(1);
            let decimals = (0..9).find(|decimals| 0.1_f64.powi(*decimals) <= step);
            let decimals = usize::try_from(decimals.unwrap_or(9)).unwrap_or(9);
            let text = format!("{value:.decimals$}");
            let trimmed = match text.split_once('.') {
                Some(_) => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
                None => text,
            };
            (trimmed, unit.symbol)
        }
    };
    (figure.replace('.', &mark.to_string()), symbol)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn in_unit(small: i64, symbol: &str, mark: char) -> String {
        let unit = Some(Unit::find(symbol).unwrap());
        let (figure, symbol) = written(Torque::from_small_units(small), Shown { unit, mark });
        format!("{figure} {symbol}")
    }

    #[test]
    fn a_torque_is_shown_in_the_shops_unit_with_its_decimal_mark() {
        // 1 lbf·in = 0.112 984 829… N·m, 1 lbf·ft = 1.355 817 948… N·m (NIST SP 811, appendix B.8).
        assert_eq!(in_unit(5_000, "lbf·in", '.'), "44.254 lbf·in");
        assert_eq!(in_unit(40_000, "lbf·ft", ','), "29,5025 lbf·ft");
        assert_eq!(in_unit(5_000, "N·m", ','), "5 N·m");
        assert_eq!(in_unit(5_500, "N·m", ','), "5,5 N·m");
        let plain = Shown {
            unit: None,
            mark: '.',
        };
        assert_eq!(written(Torque::from_small_units(5_500), plain).0, "5.5");
    }

    #[test]
    fn what_is_more_is_shown_as_more() {
        for symbol in ["lbf·in", "lbf·ft", "kgf·cm", "ozf·in", "N·m"] {
            let figure = |small| {
                let text = in_unit(small, symbol, '.');
                text.split(' ').next().unwrap().parse::<f64>().unwrap()
            };
            for small in (-3_000..60_000).chain(299_000..300_000) {
                assert!(figure(small) < figure(small + 1), "{small} {symbol}");
            }
        }
    }
}
