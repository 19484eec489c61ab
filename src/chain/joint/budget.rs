//! What is lost of the clearance between the drawing and the joint in the hand.
//!
//! Each loss has a worst case, its greatest value, and a likely one, its mean when the errors behind
//! it are spread evenly between their limits (derived; a test draws 100,000 joints). Losses in
//! different directions are added as if they met, so both sums are on the safe side.

use std::f64::consts::PI;

use crate::chain::Measured;

/// Finishing stepover, mm (common practice, no source).
const STEPOVER: f64 = 0.3;
/// Fit of the flip dowels in their holes, on the diameter, mm (common practice, no source).
const FLIP: f64 = 0.1;
/// Part of the sanding allowance by which a split face ends too high or too low (no source).
const UNEVEN: f64 = 0.25;
/// Oil or wax on ball and socket together, mm (no source).
const FILM: f64 = 0.03;
/// Moisture of wood as it is cut, percent: 6 to 9 (common practice, no source).
const CUT_AT: f64 = 8.0;
/// Error of calipers on a diameter, either way, mm: the limit of DIN 862 for 0.01 mm digital calipers
/// up to 100 mm (from memory).
const CALIPERS: f64 = 0.03;
/// Air of a home: temperature, deg C, and most relative humidity (fact 2.4's range, 0.30 to 0.65).
const HOME: (f64, f64) = (21.0, 0.65);

/// Least clearance that a feel gives, mm: the least that a file may write.
const LEAST_GAP: f64 = 0.05;

/// What of a shop and a wood enters the budget.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Making {
    /// Tip radius of the finishing cutter, mm; 0 for a flat one, which leaves no cusps counted here.
    pub tip: f64,
    /// Its taper per side, radians.
    pub taper: f64,
    /// How much wider pin holes are than the dowel, mm.
    pub slip: f64,
    /// Sanding allowance of a split face, mm.
    pub sanding: f64,
    /// Tangential movement of the wood for each percent of moisture.
    pub movement: f64,
    /// What a coupon showed: it takes the place of guesses.
    pub measured: Measured,
}

/// Something lost of the clearance, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loss {
    /// What takes it.
    pub name: &'static str,
    /// At most.
    pub worst: f64,
    /// In the mean.
    pub likely: f64,
    /// Where it comes from.
    pub source: &'static str,
}

/// How a joint is meant to move.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Feel {
    /// Holds a pose.
    Stiff,
    /// Moves by itself, holds a little.
    Easy,
    /// Dangles.
    Loose,
}

impl Feel {
    /// What is to be left of the clearance, likely, mm (common practice, no source).
    #[must_use]
    pub fn left(self) -> f64 {
        match self {
            Feel::Stiff => 0.13,
            Feel::Easy => 0.23,
            Feel::Loose => 0.38,
        }
    }
}

/// Equilibrium moisture content of wood, percent, in air of `celsius` and relative humidity
/// `humidity` (0 to 1): Wood Handbook (FPL-GTR-190) equation 4-5, from memory, checked against its
/// published values.
#[must_use]
pub fn equilibrium_moisture(celsius: f64, humidity: f64) -> f64 {
    let (t, h) = (celsius, humidity);
    let w = 349.0 + 1.29 * t + 0.0135 * t * t;
    let k = 0.805 + 0.000_736 * t - 0.000_002_73 * t * t;
    let k1 = 6.27 - 0.009_38 * t - 0.000_303 * t * t;
    let k2 = 1.91 + 0.0407 * t - 0.000_293 * t * t;
    let kh = k * h;
    let (one, two) = (k1 * kh, k1 * k2 * kh * kh);
    1800.0 / w * (kh / (1.0 - kh) + (one + 2.0 * two) / (1.0 + one + two))
}

/// Greatest change of moisture after cutting, percent.
fn damp() -> f64 {
    equilibrium_moisture(HOME.0, HOME.1) - CUT_AT
}

/// Clearance lost when the grain of the ball lies across that of the socket: R C dM (fact 2.6,
/// derived), mm.
#[must_use]
pub fn crossed_grain(ball: f64, movement: f64) -> f64 {
    ball * movement * damp()
}

/// The losses of a joint with this ball and socket radius (mm) at its stop (radians).
#[must_use]
pub fn losses(ball: f64, socket: f64, swing: f64, making: &Making) -> Vec<Loss> {
    let season = crossed_grain(ball, making.movement) * swing.sin();
    let mut all = surfaces(ball, socket, making);
    all.push(
        // Half the step between two half balls, which is the dowels' fit; its mean is half of that.
        loss(
            "flip step",
            0.5 * FLIP,
            0.25 * FLIP,
            "derived; dowel fit 0.1 mm, habit",
        ),
    );
    all.push(pin_slip(making));
    all.push(heights(making));
    all.push(loss(
        "seasonal movement at the stop",
        season,
        0.5 * season,
        "facts of the Wood Handbook, 8 % to air of 65 %",
    ));
    all.push(loss("finish film", FILM, 0.5 * FILM, "habit"));
    all
}

/// What cutting leaves on ball and socket. Diameters that were measured have it in them, and the
/// solids are smaller by it: what stays is the error of the calipers.
fn surfaces(ball: f64, socket: f64, making: &Making) -> Vec<Loss> {
    let own = [
        (making.measured.ball, ball, ball),
        (making.measured.socket, socket, -socket),
    ];
    let guessed = || own.iter().filter(|(measured, _, _)| measured.is_none());
    let cusps: f64 = guessed().map(|&(_, _, rho)| cusp(making.tip, rho)).sum();
    let radii: f64 = guessed().map(|&(_, radius, _)| radius).sum();
    let taper = radii * (1.0 / making.taper.cos() - 1.0);
    let mut all = Vec::new();
    let known = own.len() - guessed().count();
    if known < own.len() {
        // The middle height of a parabola between its cusps is a third.
        all.push(loss(
            ["cusps of ball and socket", "cusps of the one not measured"][known],
            cusps,
            cusps / 3.0,
            "derived; stepover 0.3 mm, habit",
        ));
        // At elevation e the cutter's side leaves R (1 / cos(a - e) - 1), for e from 0 to a.
        all.push(loss(
            "taper leftover at the split plane",
            taper,
            taper / 3.0,
            "derived",
        ));
    }
    // Each radius is off by half the calipers' error w, spread evenly: the mean of the positive part
    // is w / 8 of one, w / 6 of the sum of two.
    let (worst, part, name) = match known {
        0 => return all,
        1 => (0.5 * CALIPERS, 0.25, "ball or socket, measured"),
        _ => (CALIPERS, 1.0 / 6.0, "ball and socket, measured"),
    };
    all.push(loss(
        name,
        worst,
        part * worst,
        "the shop's record; calipers 0.03 mm, DIN 862, from memory",
    ));
    all
}

/// Ball and socket, half the step each; two places in a disc are 128 / (45 pi) of its radius apart
/// in the mean.
fn pin_slip(making: &Making) -> Loss {
    let source = match making.measured.slip {
        Some(_) => "derived; slip of the shop's record",
        None => "derived; slip of the shop",
    };
    let likely = 64.0 / (45.0 * PI) * making.slip;
    loss("pin slip", making.slip, likely, source)
}

/// Four faces, each high or low; the mean of the positive part of half their sum is 7/30. What all
/// halves come out too high by the shop's record is no loss: the sheet corrects the zero by it.
fn heights(making: &Making) -> Loss {
    let uneven = UNEVEN * making.sanding;
    loss(
        "unequal sanding",
        2.0 * uneven,
        7.0 / 30.0 * uneven,
        "derived; a quarter of the allowance, habit",
    )
}

fn loss(name: &'static str, worst: f64, likely: f64, source: &'static str) -> Loss {
    Loss {
        name,
        worst,
        likely,
        source,
    }
}

/// Cusp height on a profile of radius `rho` (negative: hollow): s^2 / 8 (1 / r + 1 / rho) (fact
/// 3.3, derived). None where the cutter fills the hollow, or is flat.
fn cusp(tip: f64, rho: f64) -> f64 {
    if tip <= 0.0 {
        return 0.0;
    }
    (STEPOVER * STEPOVER / 8.0 * (1.0 / tip + 1.0 / rho)).max(0.0)
}

/// Sums of worst and likely losses, mm.
#[must_use]
pub fn sums(losses: &[Loss]) -> (f64, f64) {
    losses
        .iter()
        .fold((0.0, 0.0), |s, l| (s.0 + l.worst, s.1 + l.likely))
}

/// The clearance that leaves what a feel wants, to 0.01 mm (the shop's precision): the one that a
/// coupon showed, whatever the ball, else from the losses. The socket's own part of those follows the
/// clearance.
#[must_use]
pub fn clearance_for(feel: Feel, ball: f64, swing: f64, making: &Making) -> f64 {
    if let Some(gap) = making.measured.gap(feel) {
        return (gap.max(LEAST_GAP) * 100.0).round() / 100.0;
    }
    let mut clearance = 0.4;
    for _ in 0..8 {
        let likely = sums(&losses(ball, ball + clearance, swing, making)).1;
        clearance = likely + feel.left();
    }
    (clearance * 100.0).round() / 100.0
}

#[cfg(test)]
mod tests;
