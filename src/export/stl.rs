//! Binary STL of one mesh, through the `stl_io` crate.
//!
//! Layout (STL specification of 1989 as commonly published): 80 bytes of header that must not
//! begin with "solid", a count, and 50 bytes a triangle. STL has no unit; the header names it,
//! for people only.

use super::words::NOT_FOR_CUTTING;
use std::fmt;
use std::io::Cursor;
use stl_io::{Normal, Triangle, Vertex};

/// Length of the header.
const HEADER: usize = 80;
/// Header and count.
const START: usize = HEADER + 4;
/// Bytes of one triangle.
const FACET: usize = 50;

/// Why no mesh could be written or read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StlError {
    /// A triangle names a position that is not there.
    NoSuchPosition {
        /// Number of the triangle, from 0.
        triangle: usize,
    },
    /// More triangles than the format can count.
    TooMany(usize),
    /// The length does not fit the count in the header.
    Length {
        /// Bytes that the count asks for.
        wanted: u64,
        /// Bytes there are.
        found: u64,
    },
    /// The reader's own words.
    Io(String),
}

impl fmt::Display for StlError {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            StlError::NoSuchPosition { triangle } => {
                write!(f, "triangle {triangle} names a position that is not there")
            }
            StlError::TooMany(n) => write!(f, "{n} triangles are more than STL can count"),
            StlError::Length { wanted, found } => {
                write!(
                    f,
                    "the STL has {found} bytes where its count asks for {wanted}"
                )
            }
            StlError::Io(words) => write!(f, "the STL cannot be read: {words}"),
        }
    }
}

impl std::error::Error for StlError {}

/// The STL file of a mesh: positions in mm, triangles counter-clockwise seen from outside.
/// Normals come from the positions as rounded to `f32`, computed in `f64`; a triangle without
/// area gets the normal 0 0 0, which the format allows.
///
/// # Errors
/// [`StlError::NoSuchPosition`], [`StlError::TooMany`].
pub fn write(
    name: &str,
    bench_only: bool,
    positions: &[[f32; 3]],
    triangles: &[[u32; 3]],
) -> Result<Vec<u8>, StlError> {
    if u32::try_from(triangles.len()).is_err() {
        return Err(StlError::TooMany(triangles.len()));
    }
    let known = |t: &[u32; 3]| t.iter().all(|&i| (i as usize) < positions.len());
    if let Some(triangle) = triangles.iter().position(|t| !known(t)) {
        return Err(StlError::NoSuchPosition { triangle });
    }
    let facets = triangles
        .iter()
        .map(|t| facet(t.map(|i| positions[i as usize])));
    let mut bytes = Vec::with_capacity(START + FACET * triangles.len());
    stl_io::write_stl(&mut bytes, facets).map_err(io)?;
    bytes[..HEADER].copy_from_slice(&header(name, bench_only));
    Ok(bytes)
}

/// Corners of every triangle as they stand in the bytes of a file.
///
/// # Errors
/// [`StlError::Length`], [`StlError::Io`].
pub fn read(bytes: &[u8]) -> Result<Vec<[[f32; 3]; 3]>, StlError> {
    let found = bytes.len() as u64;
    let count = bytes
        .get(HEADER..START)
        .map_or(0, |b| u32::from_le_bytes([b[0], b[1], b[2], b[3]]));
    let wanted = START as u64 + FACET as u64 * u64::from(count);
    if wanted != found {
        return Err(StlError::Length { wanted, found });
    }
    let mut cursor = Cursor::new(bytes);
    stl_io::create_stl_reader(&mut cursor)
        .map_err(io)?
        .map(|t| t.map(|t| t.vertices.map(|v| v.0)).map_err(io))
        .collect()
}

fn io(error: std::io::Error) -> StlError {
    StlError::Io(error.to_string())
}

fn facet(corners: [[f32; 3]; 3]) -> Triangle {
    Triangle {
        normal: Normal::new(normal(&corners)),
        vertices: corners.map(Vertex::new),
    }
}

fn normal(corners: &[[f32; 3]; 3]) -> [f32; 3] {
    let [p, q, r] = corners.map(|c| c.map(f64::from));
    let minus = |a: [f64; 3]| [a[0] - p[0], a[1] - p[1], a[2] - p[2]];
    let (a, b) = (minus(q), minus(r));
    let n = [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ];
    let length = n.iter().map(|c| c * c).sum::<f64>().sqrt();
    if length > 0.0 {
        // Adding 0 turns -0 into 0.
        n.map(|c| (c / length) as f32 + 0.0)
    } else {
        [0.0; 3]
    }
}

/// "limberwood, unit mm, NAME", as plain ASCII, cut to 80 bytes and filled with blanks. It
/// begins with the program's name, so never with "solid".
fn header(name: &str, bench_only: bool) -> [u8; HEADER] {
    let mark = if bench_only { NOT_FOR_CUTTING } else { "" };
    let comma = if bench_only { ", " } else { "" };
    let text = format!("limberwood, unit mm, {mark}{comma}{name}");
    let mut bytes = [b' '; HEADER];
    for (byte, c) in bytes.iter_mut().zip(text.chars()) {
        *byte = match c {
            ' '..='~' => c as u8,
            _ => b'_',
        };
    }
    bytes
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const UP: [[f32; 3]; 3] = [[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]];

    #[test]
    fn bytes_are_as_the_format_says() {
        // Sizes and the bytes of +1 as little-endian float32: STL as commonly published.
        let bytes = write("tail", false, &UP, &[[0, 1, 2]; 12]).unwrap();
        assert_eq!(bytes.len(), 684);
        assert_eq!(bytes[80..84], 12u32.to_le_bytes());
        assert_eq!(bytes[84..96], [0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0x80, 0x3f]);
        assert_eq!(bytes[132..134], [0, 0]);
    }

    #[test]
    fn header_names_unit_part_and_mark() {
        let text = |name: &str, bench| {
            let bytes = write(name, bench, &UP, &[]).unwrap();
            assert_eq!(bytes.len(), 84);
            String::from_utf8(bytes[..80].to_vec()).unwrap()
        };
        assert_eq!(
            text("solid ü", false).trim_end(),
            "limberwood, unit mm, solid _"
        );
        assert!(text("x", true).contains("NOT FOR CUTTING"));
        assert!(text(&"x".repeat(300), true).starts_with("limberwood, unit mm, NOT"));
    }

    #[test]
    fn bad_meshes_are_refused() {
        assert_eq!(
            write("x", false, &UP, &[[0, 1, 2], [0, 1, 3]]),
            Err(StlError::NoSuchPosition { triangle: 1 })
        );
        let mut bytes = write("x", false, &UP, &[[0, 1, 2]]).unwrap();
        bytes.pop();
        assert_eq!(
            read(&bytes),
            Err(StlError::Length {
                wanted: 134,
                found: 133
            })
        );
        assert!(matches!(read(b"solid x"), Err(StlError::Length { .. })));
    }

    #[test]
    fn a_triangle_without_area_has_no_normal() {
        assert_eq!(normal(&[UP[0], UP[1], UP[1]]), [0.0; 3]);
    }

    proptest! {
        #[test]
        fn positions_come_back_bit_for_bit(
            positions in prop::collection::vec(prop::array::uniform3(-1e4f32..1e4), 3..40),
            picks in prop::collection::vec(prop::array::uniform3(0u32..3), 0..60),
        ) {
            let bytes = write("p", false, &positions, &picks).unwrap();
            let wanted: Vec<_> =
                picks.iter().map(|t| t.map(|i| positions[i as usize])).collect();
            prop_assert_eq!(read(&bytes).unwrap(), wanted);
        }

        #[test]
        fn normals_are_unit_and_square_to_both_edges(
            corners in prop::array::uniform3(prop::array::uniform3(-100f32..100.0)),
        ) {
            let n = normal(&corners).map(f64::from);
            let [p, q, r] = corners.map(|c| c.map(f64::from));
            let along = |a: [f64; 3]| (0..3).map(|i| (a[i] - p[i]) * n[i]).sum::<f64>();
            // Six decimals of f32 over edges up to 350 long.
            prop_assert!((n.iter().map(|c| c * c).sum::<f64>() - 1.0).abs() < 1e-6);
            prop_assert!(along(q).abs() < 1e-4 && along(r).abs() < 1e-4);
        }
    }
}
