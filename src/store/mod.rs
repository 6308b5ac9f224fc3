//! Puts finished results on the disk: all of them or none.
//!
//! Results are written into a temporary folder beside the target while a lock is held. A target
//! that is absent or empty is replaced by a rename; one that holds only what an earlier run listed
//! is swapped, and put back if the swap fails. Anything else in it is the user's, and is refused.
//! What is meant to be edited is only ever written where nothing stands yet.

mod beside;
mod fresh;
mod inventory;
mod lock;
mod single;
mod slug;
mod swap;
mod sweep;
mod whole;

pub use beside::{may_store_beside, store_beside, stored_beside};
pub use fresh::store_new_files;
pub use single::{remove_empty_folder, remove_file, replace_file};
pub use slug::slugs;
pub use swap::{Output, StoreError, store};
pub use sweep::{sweep, unfinished_in};
pub use whole::{holds_a_result, is_as_written, results_in};
