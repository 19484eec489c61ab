//! Closed forms: boxes, cylinder in cone, spheres.

use super::*;
