//! The JSON Schema of a method table.

use super::MethodTable;

/// The JSON Schema of a method table, in draft 2020-12, made from the Rust types.
pub fn method_table_schema() -> serde_json::Value {
    schemars::schema_for!(MethodTable).to_value()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_schema_refuses_unknown_fields_and_names_the_required_ones() {
        let schema = method_table_schema();
        assert_eq!(schema["additionalProperties"], false);
        let required = schema["required"].as_array().unwrap();
        for field in ["id", "source", "locator", "depth", "basis", "reads", "need_unit"] {
            assert!(required.iter().any(|name| name == field), "{field}");
        }
    }
}
