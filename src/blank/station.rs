//! Places on the machine: what stands against them, and in which order pieces come to them.

use crate::chain::MachineStation;

/// Rounding noise of places, mm.
const NOISE: f64 = 1e-9;

/// What stands against a station.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StationError {
    /// A piece there reaches from the first corner to the second, beyond what the machine reaches.
    Off {
        /// Number of the station.
        station: usize,
        /// Corners of the piece in machine coordinates, mm.
        corners: [[f64; 2]; 2],
        /// What the machine reaches from 0, mm.
        travel: [f64; 2],
    },
    /// Pieces at two stations lie over each other.
    Overlap {
        /// Numbers of the stations.
        stations: [usize; 2],
        /// By how much along x and y, mm.
        by: [f64; 2],
    },
    /// There are stations, but none for this set-up.
    None {
        /// The first set-up.
        inside_up: bool,
    },
}

/// Corners of a piece at a station, in machine coordinates: the flip about the middle line leaves them
/// where they are.
pub fn corners(station: &MachineStation, size: [f64; 2], dowel: [f64; 2]) -> [[f64; 2]; 2] {
    let low = [0, 1].map(|k: usize| station.at[k] - dowel[k]);
    [low, [0, 1].map(|k: usize| low[k] + size[k])]
}

/// All that stands against the stations for pieces up to a size, whose front dowel stands at `dowel`.
pub fn conflicts(
    stations: &[MachineStation],
    size: [f64; 2],
    dowel: [f64; 2],
    travel: Option<[f64; 2]>,
) -> Vec<StationError> {
    let boxes: Vec<_> = stations.iter().map(|s| corners(s, size, dowel)).collect();
    let mut found = Vec::new();
    for (k, corners) in boxes.iter().enumerate() {
        if let Some(travel) = travel {
            let off = |i: usize| corners[0][i] < -NOISE || corners[1][i] > travel[i] + NOISE;
            if off(0) || off(1) {
                found.push(StationError::Off {
                    station: k,
                    corners: *corners,
                    travel,
                });
            }
        }
        for (j, other) in boxes[..k].iter().enumerate() {
            let by = [0, 1]
                .map(|i: usize| corners[1][i].min(other[1][i]) - corners[0][i].max(other[0][i]));
            if by[0] > NOISE && by[1] > NOISE {
                found.push(StationError::Overlap {
                    stations: [j, k],
                    by,
                });
            }
        }
    }
    for inside_up in [true, false] {
        if !stations.is_empty() && stations.iter().all(|s| s.inside_up != inside_up) {
            found.push(StationError::None { inside_up });
        }
    }
    found
}

/// A piece at a station in one round of the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Load {
    /// Number of the station.
    pub station: usize,
    /// Number of the piece, from 0.
    pub piece: usize,
}

/// The rounds in which pieces come to the stations: in each, the first set-up takes new ones and the
/// second those that came off the first in the round before, in their order. One station a set-up when
/// none is given: 0 for the first and 1 for the second.
pub fn rounds(stations: &[MachineStation], pieces: usize) -> Vec<Vec<Load>> {
    let of = |inside_up: bool| -> Vec<usize> {
        let own = stations.iter().enumerate();
        own.filter(|(_, s)| s.inside_up == inside_up)
            .map(|(k, _)| k)
            .collect()
    };
    let (inside, outside) = if stations.is_empty() {
        (vec![0], vec![1])
    } else {
        (of(true), of(false))
    };
    if inside.is_empty() || outside.is_empty() {
        return Vec::new();
    }
    let (mut next, mut cut, mut done) = (0, 0, 0);
    let mut all = Vec::new();
    while done < pieces {
        let first: Vec<Load> = inside
            .iter()
            .zip(next..pieces)
            .map(|(&station, piece)| Load { station, piece })
            .collect();
        let second: Vec<Load> = outside
            .iter()
            .zip(done..cut)
            .map(|(&station, piece)| Load { station, piece })
            .collect();
        next += first.len();
        done += second.len();
        // What is cut from the inside in this round is turned after it.
        cut = next;
        all.push([first, second].concat());
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::Place;
    use proptest::prelude::*;

    fn station(inside_up: bool, at: [f64; 2]) -> MachineStation {
        MachineStation {
            name: "a".to_owned(),
            inside_up,
            at,
            offset: "G54",
            place: Place::default(),
        }
    }

    #[test]
    fn pieces_side_by_side_are_free_and_nearer_ones_are_not() {
        let (size, dowel) = ([400.0, 180.0], [12.5, 90.0]);
        let at = |y: f64| [station(true, [12.5, 90.0]), station(false, [12.5, y])];
        assert!(conflicts(&at(270.0), size, dowel, Some([400.0, 360.0])).is_empty());
        let found = conflicts(&at(269.0), size, dowel, None);
        assert_eq!(
            found,
            [StationError::Overlap {
                stations: [0, 1],
                by: [400.0, 1.0]
            }]
        );
        let found = conflicts(&at(271.0), size, dowel, Some([400.0, 360.0]));
        assert!(matches!(found[..], [StationError::Off { station: 1, .. }]));
        let one = [station(true, [12.5, 90.0])];
        let found = conflicts(&one, size, dowel, None);
        assert_eq!(found, [StationError::None { inside_up: false }]);
    }

    proptest! {
        #[test]
        fn every_piece_is_cut_from_both_sides_once_and_in_order(
            inside in 1..5usize, outside in 1..5usize, pieces in 0..40usize
        ) {
            let stations: Vec<_> = (0..inside + outside)
                .map(|k| station(k < inside, [0.0; 2]))
                .collect();
            let mut seen = [vec![], vec![]];
            let mut turned = 0;
            for round in rounds(&stations, pieces) {
                prop_assert!(!round.is_empty());
                let mut used: Vec<usize> = round.iter().map(|l| l.station).collect();
                used.dedup();
                prop_assert_eq!(used.len(), round.len());
                for load in &round {
                    let second = usize::from(load.station >= inside);
                    if second == 1 {
                        prop_assert!(load.piece < turned);
                    }
                    seen[second].push(load.piece);
                }
                turned = seen[0].len();
            }
            let all: Vec<usize> = (0..pieces).collect();
            prop_assert_eq!(&seen[0], &all);
            prop_assert_eq!(&seen[1], &all);
        }
    }
}
