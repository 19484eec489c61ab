//! Where the eye stands, and how the pieces fill the picture.

use std::f64::consts::FRAC_PI_2;

use nalgebra::{Point3, Vector3};

/// From where the creature is seen. It looks along -x, its back along +z.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    /// Turn of the eye round the creature, rad: 0 in front of it, a quarter turn at its left.
    pub azimuth: f64,
    /// Height of the eye over the horizon, rad: a quarter turn looks straight down.
    pub elevation: f64,
}

impl View {
    /// Three quarters from the front and the left, a little from above (chosen by eye on the
    /// demo creatures).
    pub const FRONT_LEFT: View = View {
        azimuth: 0.80,
        elevation: 0.45,
    };
    /// The left side: head to the left.
    pub const SIDE: View = View {
        azimuth: FRAC_PI_2,
        elevation: 0.0,
    };
    /// From above: head to the left.
    pub const TOP: View = View {
        azimuth: FRAC_PI_2,
        elevation: FRAC_PI_2,
    };

    /// Directions to the right and up in the picture, and towards the eye. Angles that are no
    /// numbers count as 0.
    pub(super) fn axes(&self) -> [Vector3<f64>; 3] {
        let [azimuth, elevation] =
            [self.azimuth, self.elevation].map(|a| if a.is_finite() { a } else { 0.0 });
        let ((sa, ca), (se, ce)) = (azimuth.sin_cos(), elevation.sin_cos());
        [
            Vector3::new(sa, -ca, 0.0),
            Vector3::new(ca * se, sa * se, ce),
            Vector3::new(-ca * ce, -sa * ce, se),
        ]
    }
}

impl Default for View {
    fn default() -> Self {
        View::FRONT_LEFT
    }
}

/// Columns and rows of a picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Size {
    width: usize,
    height: usize,
}

impl Size {
    /// Most pixels either way (habit): a page has no use for more.
    pub const MOST: usize = 8192;

    /// A size; `None` unless both are 1 to [`Size::MOST`] pixels.
    #[must_use]
    pub fn new(width: usize, height: usize) -> Option<Size> {
        let fits = |n| (1..=Size::MOST).contains(&n);
        (fits(width) && fits(height)).then_some(Size { width, height })
    }

    /// Columns.
    pub fn width(self) -> usize {
        self.width
    }

    /// Rows.
    pub fn height(self) -> usize {
        self.height
    }
}

impl Default for Size {
    /// For a README or a page.
    fn default() -> Self {
        Size {
            width: 1600,
            height: 900,
        }
    }
}

/// Samples of a pixel in each direction.
pub(super) const SAMPLES: usize = 3;
/// Part of the picture left free at each edge (by eye).
const MARGIN: f64 = 0.06;

/// From the creature (mm) into samples of the picture and back.
#[derive(Debug, Clone, Copy)]
pub(super) struct Camera {
    axes: [Vector3<f64>; 3],
    middle: Vector3<f64>,
    /// Samples to a mm.
    pub scale: f64,
    /// Columns and rows of samples.
    pub samples: [usize; 2],
}

impl Camera {
    /// All points inside the margin; 1 mm is a pixel where there is nothing to fit.
    pub fn fit(points: &[Point3<f64>], view: &View, size: Size) -> Camera {
        let axes = view.axes();
        let samples = [size.width, size.height].map(|n| n * SAMPLES);
        let mut low = Vector3::repeat(f64::INFINITY);
        let mut high = -low;
        for p in points {
            let seen = axes.map(|a| a.dot(&p.coords));
            low = low.inf(&Vector3::from(seen));
            high = high.sup(&Vector3::from(seen));
        }
        if low > high || points.is_empty() {
            (low, high) = (Vector3::zeros(), Vector3::zeros());
        }
        let room = |k: usize| samples[k] as f64 * (1.0 - 2.0 * MARGIN) / (high[k] - low[k]);
        let scale = room(0).min(room(1));
        Camera {
            axes,
            middle: (low + high) / 2.0,
            scale: if scale.is_finite() {
                scale
            } else {
                SAMPLES as f64
            },
            samples,
        }
    }

    /// Column and row in samples (growing to the right and down) and depth in mm (growing to
    /// the eye).
    pub fn sees(&self, p: &Point3<f64>) -> [f64; 3] {
        let [x, y, depth] = [0, 1, 2].map(|k| self.axes[k].dot(&p.coords) - self.middle[k]);
        let [width, height] = self.samples.map(|n| n as f64);
        [
            width / 2.0 + x * self.scale,
            height / 2.0 - y * self.scale,
            depth,
        ]
    }

    /// The point seen at a place in samples and a depth.
    pub fn point(&self, [x, y]: [f64; 2], depth: f64) -> Point3<f64> {
        let [width, height] = self.samples.map(|n| n as f64);
        let [right, up, eye] = self.axes;
        Point3::from(
            right * ((x - width / 2.0) / self.scale + self.middle[0])
                + up * ((height / 2.0 - y) / self.scale + self.middle[1])
                + eye * (depth + self.middle[2]),
        )
    }

    /// Direction to the eye.
    pub fn eye(&self) -> Vector3<f64> {
        self.axes[2]
    }
}
