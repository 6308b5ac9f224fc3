//! The one macro behind every quantity: a finite number of SI units, and the operators that
//! make sense for any quantity (sums, differences, multiples, ratios of like to like).

/// Declares a newtype over a finite `f64` in the SI unit named in its documentation.
///
/// The generated `from_si` panics on a number that is not finite: bounded inputs are checked
/// where they are read, so such a number is a fault of the program.
macro_rules! quantity {
    ($(#[$meta:meta])* $name:ident { $($(#[$cmeta:meta])* $from:ident, $(#[$rmeta:meta])* $to:ident = $factor:expr;)+ }) => {
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
        pub struct $name(pub(in crate::units) f64);

        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);

            pub(in crate::units) fn from_si(value: f64) -> Self {
                assert!(value.is_finite(), concat!(stringify!($name), " must be a finite number"));
                Self(value)
            }

            $(
                $(#[$cmeta])*
                ///
                /// # Panics
                /// If the number is not finite.
                pub fn $from(value: f64) -> Self {
                    Self::from_si(value * $factor)
                }

                $(#[$rmeta])*
                pub fn $to(self) -> f64 {
                    self.0 / $factor
                }
            )+

            /// The greater of the two.
            #[must_use]
            pub fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }

            /// The lesser of the two.
            #[must_use]
            pub fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }

            /// The size without the sign.
            #[must_use]
            pub fn abs(self) -> Self {
                Self(self.0.abs())
            }

            /// Total order; quantities are finite, so it is the order of the numbers.
            #[must_use]
            pub fn total_cmp(&self, other: &Self) -> std::cmp::Ordering {
                self.0.total_cmp(&other.0)
            }
        }

        impl std::ops::Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self { Self::from_si(self.0 + other.0) }
        }
        impl std::ops::Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self { Self::from_si(self.0 - other.0) }
        }
        impl std::ops::AddAssign for $name {
            fn add_assign(&mut self, other: Self) { *self = *self + other; }
        }
        impl std::ops::Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self { Self::from_si(self.0 * factor) }
        }
        impl std::ops::Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self { Self::from_si(self.0 / divisor) }
        }
        impl std::ops::Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 { self.0 / other.0 }
        }
        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
                items.fold(Self::ZERO, |total, item| total + item)
            }
        }
    };
}

/// Declares `$a * $b = $c`, where all three hold SI units and the product needs no factor.
macro_rules! product_of {
    ($a:ident * $b:ident = $c:ident) => {
        impl std::ops::Mul<$b> for $a {
            type Output = $c;
            fn mul(self, other: $b) -> $c {
                $c::from_si(self.0 * other.0)
            }
        }
    };
}

pub(crate) use product_of;
pub(crate) use quantity;
