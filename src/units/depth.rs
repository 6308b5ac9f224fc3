//! Intervals of depth below the surface.

use super::Length;

/// A layer of soil from `top` to `bottom`, both below the surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DepthInterval {
    top: Length,
    bottom: Length,
}

impl DepthInterval {
    /// The interval, or `None` where it is empty, upside down or above the surface.
    pub fn new(top: Length, bottom: Length) -> Option<Self> {
        (top >= Length::ZERO && bottom > top).then_some(Self { top, bottom })
    }

    /// From the surface down to `bottom`; `None` where `bottom` is not below the surface.
    pub fn down_to(bottom: Length) -> Option<Self> {
        Self::new(Length::ZERO, bottom)
    }

    /// Its upper end.
    pub fn top(self) -> Length {
        self.top
    }

    /// Its lower end.
    pub fn bottom(self) -> Length {
        self.bottom
    }

    /// From its upper to its lower end.
    pub fn thickness(self) -> Length {
        self.bottom - self.top
    }
}
