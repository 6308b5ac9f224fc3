//! The JSON Schema of a method table.

use super::MethodTable;

/// The JSON Schema of a method table, in draft 2020-12, made from the Rust types.
pub fn method_table_schema() -> serde_json::Value {
    schemars::schema_for!(MethodTable).to_value()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Set `LIMEWRIGHT_BLESS=1` to rewrite the file after a wanted change.
    #[test]
    fn the_schema_on_disk_is_the_one_the_types_give() {
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/schemas/method_table.schema.json");
        let made = serde_json::to_string_pretty(&method_table_schema()).unwrap() + "\n";
        if std::env::var("LIMEWRIGHT_BLESS").is_ok_and(|value| value == "1") {
            std::fs::write(path, &made).unwrap();
        }
        let found = std::fs::read_to_string(path).expect("schemas/method_table.schema.json");
        assert!(found == made, "the schema has drifted; run the test with LIMEWRIGHT_BLESS=1");
    }

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
