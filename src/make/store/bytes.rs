//! Numbers and words as bytes, which come back bit by bit: a number that goes through decimal text may
//! not.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Mutex, PoisonError};

/// What can be kept as bytes.
pub(super) trait Stored: Sized {
    /// Adds it to bytes.
    fn put(&self, to: &mut Vec<u8>);
    /// Takes it off the front of bytes; nothing when they are none of it.
    fn take(from: &mut &[u8]) -> Option<Self>;
}

/// All fields of a type in their order, by name: a new field does not compile until it is listed.
macro_rules! stored {
    ($type:ty { $($field:ident),* $(,)? }) => {
        impl Stored for $type {
            fn put(&self, to: &mut Vec<u8>) {
                let Self { $($field),* } = self;
                $(Stored::put($field, to);)*
            }

            fn take(from: &mut &[u8]) -> Option<Self> {
                Some(Self { $($field: Stored::take(from)?),* })
            }
        }
    };
}

/// The values of an enumeration by number.
macro_rules! stored_as_number {
    ($type:ty { $($value:path = $number:literal),* $(,)? }) => {
        impl Stored for $type {
            fn put(&self, to: &mut Vec<u8>) {
                to.push(match self { $($value => $number),* });
            }

            fn take(from: &mut &[u8]) -> Option<Self> {
                match u8::take(from)? {
                    $($number => Some($value),)*
                    _ => None,
                }
            }
        }
    };
}

pub(super) use {stored, stored_as_number};

macro_rules! stored_number {
    ($($type:ty),*) => {$(
        impl Stored for $type {
            fn put(&self, to: &mut Vec<u8>) {
                to.extend(self.to_le_bytes());
            }

            fn take(from: &mut &[u8]) -> Option<Self> {
                let (own, rest) = from.split_first_chunk()?;
                *from = rest;
                Some(Self::from_le_bytes(*own))
            }
        }
    )*};
}

stored_number!(u8, u32, u64, f64);

impl Stored for usize {
    fn put(&self, to: &mut Vec<u8>) {
        (*self as u64).put(to);
    }

    fn take(from: &mut &[u8]) -> Option<Self> {
        u64::take(from)?.try_into().ok()
    }
}

impl Stored for bool {
    fn put(&self, to: &mut Vec<u8>) {
        to.push(u8::from(*self));
    }

    fn take(from: &mut &[u8]) -> Option<Self> {
        match u8::take(from)? {
            0 => Some(false),
            1 => Some(true),
            _ => None,
        }
    }
}

fn put_text(text: &str, to: &mut Vec<u8>) {
    text.len().put(to);
    to.extend(text.as_bytes());
}

impl Stored for String {
    fn put(&self, to: &mut Vec<u8>) {
        put_text(self, to);
    }

    fn take(from: &mut &[u8]) -> Option<Self> {
        let length = usize::take(from)?;
        let (own, rest) = from.split_at_checked(length)?;
        *from = rest;
        String::from_utf8(own.to_vec()).ok()
    }
}

/// Words of the program's own text, of which there are few: each is held once, to the end.
impl Stored for &'static str {
    fn put(&self, to: &mut Vec<u8>) {
        put_text(self, to);
    }

    fn take(from: &mut &[u8]) -> Option<Self> {
        static WORDS: Mutex<BTreeSet<&'static str>> = Mutex::new(BTreeSet::new());
        let text = String::take(from)?;
        let mut words = WORDS.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(word) = words.get(text.as_str()) {
            return Some(*word);
        }
        let word: &'static str = Box::leak(text.into_boxed_str());
        words.insert(word);
        Some(word)
    }
}

impl<T: Stored> Stored for Option<T> {
    fn put(&self, to: &mut Vec<u8>) {
        self.is_some().put(to);
        if let Some(own) = self {
            own.put(to);
        }
    }

    fn take(from: &mut &[u8]) -> Option<Self> {
        if bool::take(from)? {
            Some(Some(T::take(from)?))
        } else {
            Some(None)
        }
    }
}

impl<T: Stored> Stored for Vec<T> {
    fn put(&self, to: &mut Vec<u8>) {
        self.len().put(to);
        self.iter().for_each(|own| own.put(to));
    }

    fn take(from: &mut &[u8]) -> Option<Self> {
        let length = usize::take(from)?;
        // Everything takes a byte at least: no length of damaged bytes asks for more memory than they.
        let mut all = Vec::with_capacity(length.min(from.len()));
        for _ in 0..length {
            all.push(T::take(from)?);
        }
        Some(all)
    }
}

impl<T: Stored, const N: usize> Stored for [T; N] {
    fn put(&self, to: &mut Vec<u8>) {
        self.iter().for_each(|own| own.put(to));
    }

    fn take(from: &mut &[u8]) -> Option<Self> {
        let all: Option<Vec<T>> = (0..N).map(|_| T::take(from)).collect();
        all?.try_into().ok()
    }
}

impl<A: Stored, B: Stored> Stored for (A, B) {
    fn put(&self, to: &mut Vec<u8>) {
        self.0.put(to);
        self.1.put(to);
    }

    fn take(from: &mut &[u8]) -> Option<Self> {
        Some((A::take(from)?, B::take(from)?))
    }
}

impl<K: Stored + Ord, V: Stored> Stored for BTreeMap<K, V> {
    fn put(&self, to: &mut Vec<u8>) {
        self.len().put(to);
        for (key, own) in self {
            key.put(to);
            own.put(to);
        }
    }

    fn take(from: &mut &[u8]) -> Option<Self> {
        let all: Vec<(K, V)> = Stored::take(from)?;
        Some(all.into_iter().collect())
    }
}
