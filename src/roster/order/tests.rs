//! The order sheet on made fields.
