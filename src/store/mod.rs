//! Puts finished results on the disk: all of them or none.
//!
//! Results are written into a temporary folder beside the target while a lock is held. A target
//! that is absent or empty is replaced by a rename; one that holds only what an earlier run listed
//! is swapped, and put back if the swap fails. Anything else in it is the user's, and is refused.

mod inventory;
mod lock;
mod swap;

pub use swap::{Output, StoreError, store};
