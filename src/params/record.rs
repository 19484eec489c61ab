//! The `record!` macro: one declaration of a written record.

/// Declares a written record.
macro_rules! record {
    (
        $(#[doc = $doc:literal])*
        $name:ident {
            $( $(#[doc = $fdoc:literal])* $key:ident : $presence:ident $ty:ty $(= $limits:expr)? ),* $(,)?
            $( ; $(#[doc = $idoc:literal])* $inner:ident : include $inner_ty:ty )?
        }
    ) => {
        $(#[doc = $doc])*
        #[derive(Debug, Clone, PartialEq)]
        pub struct $name {
            $( $(#[doc = $fdoc])* pub $key: record!(@type $presence $ty), )*
            $( $(#[doc = $idoc])* pub $inner: $inner_ty, )?
            /// Where the record begins.
            pub place: Place,
        }
    };
    (@type need $ty:ty) => { Located<$ty> };
    (@type may $ty:ty) => { Option<Located<$ty>> };
}
pub(crate) use record;
