//! The colours of a scale: one hue from dark to pale, in even steps of lightness.

/// Steps of the scale.
const STEPS: usize = 9;
/// Hue, rad, of Oklab: a blue, which eyes that take red for green tell from wood as others do.
const HUE: f64 = 4.2;
/// Lightness and chroma at both ends (by eye).
const LIGHTNESS: [f64; 2] = [0.34, 0.94];
const CHROMA: [f64; 2] = [0.075, 0.02];

/// Linear light of the scale, from dark to pale.
#[must_use]
pub fn ramp() -> Vec<[f32; 3]> {
    let step = |k: usize| {
        let share = k as f64 / (STEPS - 1) as f64;
        let between = |[a, b]: [f64; 2]| a + share * (b - a);
        let (sin, cos) = HUE.sin_cos();
        let chroma = between(CHROMA);
        of_oklab([between(LIGHTNESS), chroma * cos, chroma * sin])
    };
    (0..STEPS).map(step).collect()
}

/// Linear light at a share of the scale, 0 dark to 1 pale.
pub(super) fn tone(ramp: &[[f32; 3]], share: f32) -> [f32; 3] {
    let at = share.clamp(0.0, 1.0) * (ramp.len() - 1) as f32;
    let k = (at as usize).min(ramp.len() - 2);
    let part = at - k as f32;
    std::array::from_fn(|c| ramp[k][c] + part * (ramp[k + 1][c] - ramp[k][c]))
}

/// Oklab (B. Ottosson, 2020, matrices from memory) to linear light.
fn of_oklab([l, a, b]: [f64; 3]) -> [f32; 3] {
    let [x, y, z] = [
        l + 0.396_337_777_4 * a + 0.215_803_757_3 * b,
        l - 0.105_561_345_8 * a - 0.063_854_172_8 * b,
        l - 0.089_484_177_5 * a - 1.291_485_548_0 * b,
    ]
    .map(|v| v * v * v);
    [
        4.076_741_662_1 * x - 3.307_711_591_3 * y + 0.230_969_929_2 * z,
        -1.268_438_004_6 * x + 2.609_757_401_1 * y - 0.341_319_396_5 * z,
        -0.004_196_086_3 * x - 0.703_418_614_7 * y + 1.707_614_701_0 * z,
    ]
    .map(|v| v.clamp(0.0, 1.0) as f32)
}
