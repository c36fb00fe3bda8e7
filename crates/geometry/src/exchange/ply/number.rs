//! Single numbers of binary PLY.

use super::Index;
use super::header::Kind;

/// Which byte of a number comes first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Order {
    Little,
    Big,
}

/// Reads the number that `bytes` begin with as a `$kind`; 0 if there are too few, which callers see to.
macro_rules! read {
    ($kind:ty, $order:expr, $bytes:expr) => {
        match ($bytes.first_chunk(), $order) {
            (Some(bytes), Order::Little) => <$kind>::from_le_bytes(*bytes),
            (Some(bytes), Order::Big) => <$kind>::from_be_bytes(*bytes),
            (None, _) => Default::default(),
        }
    };
}

/// The number of this kind that `bytes` begin with.
#[inline]
pub(super) fn number(kind: Kind, order: Order, bytes: &[u8]) -> f64 {
    match kind {
        Kind::F32 => f64::from(read!(f32, order, bytes)),
        Kind::F64 => read!(f64, order, bytes),
        // All others have 32 bits at most.
        _ => whole(kind, order, bytes) as f64,
    }
}

/// The whole number of this kind that `bytes` begin with, cut down to one if it has a fraction.
#[inline]
pub(super) fn whole(kind: Kind, order: Order, bytes: &[u8]) -> i64 {
    match kind {
        Kind::I8 => i64::from(read!(i8, order, bytes)),
        Kind::U8 => i64::from(read!(u8, order, bytes)),
        Kind::I16 => i64::from(read!(i16, order, bytes)),
        Kind::U16 => i64::from(read!(u16, order, bytes)),
        Kind::I32 => i64::from(read!(i32, order, bytes)),
        Kind::U32 => i64::from(read!(u32, order, bytes)),
        Kind::F32 => read!(f32, order, bytes) as i64,
        Kind::F64 => read!(f64, order, bytes) as i64,
    }
}

/// What stands in a list of vertices.
#[inline]
pub(super) fn index(kind: Kind, order: Order, bytes: &[u8]) -> Index {
    if kind.is_whole() { Index::Whole(whole(kind, order, bytes)) } else { Index::Number(number(kind, order, bytes)) }
}
