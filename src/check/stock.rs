//! Whether parts come out of the boards as measured, and what a thickness error does.

use super::finding::{Amount, Finding, Limit, Subject};
use crate::chain::SKIN_OF_STOCK;
use crate::diagnostic::Severity;

/// Rounding noise of thicknesses, mm.
const NOISE: f64 = 1e-9;
/// Error of a measured thickness that the note works out, mm: within one panel of plywood (EN 315,
/// sanded, 0.6 mm) or a board planed by hand.
const EXAMPLE: f64 = 0.3;

/// The board for a part that needs `need` mm of stock, of `boards` (mm, thinnest first).
pub fn board(subject: &Subject<'_>, need: f64, boards: &[f64]) -> Finding {
    let skin = Amount::Length(SKIN_OF_STOCK).text(subject.unit);
    let words = format!("stock needed, sanding and a skin of {skin} included:");
    let need_amount = Amount::Length(need);
    match boards.iter().find(|&&b| b + NOISE >= need) {
        Some(&board) => {
            let limit = Some(Limit::most(Amount::Length(board), "board of the shop"));
            subject.finds(Severity::Note, "stock", &words, need_amount, limit)
        }
        None => {
            let most = boards.last().copied().unwrap_or(0.0);
            let limit = Limit::most(Amount::Length(most), "thickest board of the shop");
            let error = subject.finds(Severity::Error, "stock", &words, need_amount, Some(limit));
            error.way_out("make the body lower, or add a thicker board to the shop file")
        }
    }
}

/// Distance in mm between a face cut in the first set-up and one cut in the second, over what the
/// design says, when the stock is `error` mm thicker than stated (fact 6.7, derived). The split face
/// is up in the first set-up and down in the second.
pub fn thickness_error(zero: [Zero; 2], error: f64) -> f64 {
    match zero {
        [Zero::Top, Zero::Top] => error,
        [Zero::Bed, Zero::Bed] => -error,
        [Zero::Top, Zero::Bed] | [Zero::Bed, Zero::Top] => 0.0,
    }
}

/// Where a set-up takes its zero.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Zero {
    /// Upper face of the stock.
    Top,
    /// Bed of the machine.
    Bed,
}

/// How to set zero, and what the other ways cost.
pub fn zero(subject: &Subject<'_>) -> Finding {
    let ball = |zero| 2.0 * thickness_error(zero, EXAMPLE);
    let (top, bed) = (ball([Zero::Top; 2]), ball([Zero::Bed; 2]));
    let text = |mm: f64| Amount::Length(mm).text(subject.unit);
    let words = format!(
        "set zero on the split face in both set-ups: on top of the stock with the inside up, on the \
         bed with the outside up; then the thickness of the stock does not matter. With zero on top \
         in both, stock {} thicker than stated makes each glued ball {} too tall; on the bed in both, \
         {} too low",
        text(EXAMPLE),
        text(top),
        text(-bed)
    );
    subject.notes("zero", words)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::Place;
    use crate::units::Unit;

    #[test]
    fn the_same_face_in_both_set_ups_has_no_error() {
        // Fact 6.7 (derived): distances from face A, which is up first and down second.
        let (d1, h2, t) = (9.525, 9.525, 19.05);
        for error in [-0.5, 0.0, 0.4, 1.3] {
            let real = t + error;
            let first = |z| if z == Zero::Top { d1 } else { real - (t - d1) };
            let second = |z| if z == Zero::Bed { h2 } else { real - (t - h2) };
            for zero in [Zero::Top, Zero::Bed]
                .map(|a| [[a, Zero::Top], [a, Zero::Bed]])
                .concat()
            {
                let apart = second(zero[1]) - first(zero[0]);
                assert!(
                    (apart - thickness_error(zero, error)).abs() < 1e-12,
                    "{zero:?}"
                );
            }
        }
    }

    #[test]
    fn the_thinnest_board_that_does_is_taken() {
        let place = Place::default();
        let subject = Subject {
            name: "x",
            section: None,
            place: &place,
            unit: Unit::Mm,
        };
        let found = board(&subject, 12.0, &[10.0, 12.0, 19.05]);
        assert_eq!(found.limit.unwrap().amount, Amount::Length(12.0));
        assert_eq!(
            board(&subject, 19.2, &[10.0, 19.05]).message.severity,
            Severity::Error
        );
        assert_eq!(board(&subject, 1.0, &[]).message.severity, Severity::Error);
    }
}
