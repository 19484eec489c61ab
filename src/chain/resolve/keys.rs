//! The keys of a section after `like` and `defaults`.

use crate::diagnostic::Place;
use crate::params::Located;
use crate::params::value::{EndForm, Factor, JointKind, OrAuto, Pins, SplitPose, Tabs};
use crate::params::written::{Eye, Flat, Plate, Point, Section};
use crate::units::{Angle, Length};

/// Where a key came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Origin {
    /// Written at the section.
    Own,
    /// Taken by `like`.
    Like,
    /// From `defaults`.
    Defaults,
}

/// A written key and where it came from.
#[derive(Debug)]
pub(super) struct Key<'a, T> {
    pub written: &'a Located<T>,
    pub origin: Origin,
}

// Not derived: a reference is `Copy` whatever `T` is.
impl<T> Clone for Key<'_, T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T> Copy for Key<'_, T> {}

/// Declares [`Keys`] and how they are taken over.
macro_rules! keys {
    ($($key:ident: $ty:ty),* $(,)?) => {
        /// The shape keys of a section. `name`, `like`, `repeat`, `taper` and `steps` belong
        /// to the entry and are never taken over.
        #[derive(Debug, Clone, Copy)]
        pub(super) struct Keys<'a> {
            $(pub $key: Option<Key<'a, $ty>>,)*
        }

        impl<'a> Keys<'a> {
            /// No key.
            pub const NONE: Self = Self { $($key: None,)* };

            /// The keys written at a section or in `defaults`.
            pub fn of(section: &'a Section, origin: Origin) -> Self {
                Self { $($key: section.$key.as_ref().map(|written| Key { written, origin }),)* }
            }

            /// The places of the keys written at the section itself.
            pub fn own(&self) -> Vec<&'a Place> {
                let all = [$(self.$key.filter(|k| k.origin == Origin::Own).map(|k| &k.written.place)),*];
                all.into_iter().flatten().collect()
            }

            /// These keys, and where one is missing that of `other`.
            pub fn or(self, other: Self) -> Self {
                Self { $($key: self.$key.or(other.$key),)* }
            }
        }
    };
}

keys! {
    scale: Factor,
    length: Length,
    outline: Vec<Located<Point>>,
    highest: Length,
    split: SplitPose,
    whole: bool,
    rim: OrAuto<Length>,
    lean: Angle,
    front: EndForm,
    rear: EndForm,
    front_joint: JointKind,
    rear_joint: JointKind,
    tip_width: Length,
    pins: Pins,
    plates: Vec<Located<Plate>>,
    tabs: Tabs,
    eyes: Vec<Located<Eye>>,
    flats: Vec<Located<Flat>>,
    sanding: Length,
}
