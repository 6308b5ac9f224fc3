//! The `limewright` command.

fn main() {}
