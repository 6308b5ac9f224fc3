//! The names of a rate map's properties as text, made once for all cells.

use super::number::write_value;
use super::rate_map::{
    BUFFER_PH, CELL, LIMIT, LayerNames, MapColumns, MapUnits, PH, RISK, SAMPLE_ZONE, SAMPLES,
    TABLE_LIMIT, TEXTURE,
};

/// The names of all properties as they stand in a feature, made once.
pub(super) struct Keys {
    /// A feature up to the name of its cell.
    pub(super) start: Vec<u8>,
    pub(super) zone: Key,
    pub(super) area: Key,
    pub(super) readings: ReadingKeys,
    pub(super) layers: Vec<LayerKeys>,
    pub(super) need: Key,
    pub(super) rate: Key,
    pub(super) product: Key,
    pub(super) unmet: Key,
    pub(super) limit: Key,
    pub(super) table_limit: Key,
    pub(super) samples: Key,
    pub(super) risk: Key,
}

/// The names of what was read of a layer.
pub(super) struct ReadingKeys {
    pub(super) ph: Key,
    pub(super) buffer_ph: Key,
    pub(super) values: Vec<Key>,
    pub(super) texture: Key,
}

/// The names of one of several layers.
pub(super) struct LayerKeys {
    pub(super) readings: ReadingKeys,
    pub(super) need: Key,
    pub(super) table_limit: Key,
}

impl Keys {
    pub(super) fn of(with: MapColumns<'_>, units: &MapUnits) -> Self {
        let readings = |[ph, buffer_ph, texture]: [&str; 3], values: &[String]| ReadingKeys {
            ph: Key::of(ph),
            buffer_ph: Key::of(buffer_ph),
            values: values.iter().map(|name| Key::of(name)).collect(),
            texture: Key::of(texture),
        };
        let layer = |names: &LayerNames| LayerKeys {
            readings: readings([&names.ph, &names.buffer_ph, &names.texture], &names.values),
            need: Key::of(&names.need),
            table_limit: Key::of(&names.table_limit),
        };
        Self {
            start: ["{\"type\":\"Feature\",\"properties\":{\"", CELL, "\":\""]
                .concat()
                .into_bytes(),
            zone: Key::of(SAMPLE_ZONE),
            area: Key::of(units.area),
            readings: readings([PH, BUFFER_PH, TEXTURE], with.values),
            layers: with.layers.iter().map(layer).collect(),
            need: Key::of(units.need),
            rate: Key::of(units.rate),
            product: Key::of(units.product),
            unmet: Key::of(units.unmet),
            limit: Key::of(LIMIT),
            table_limit: Key::of(TABLE_LIMIT),
            samples: Key::of(SAMPLES),
            risk: Key::of(RISK),
        }
    }
}

/// The name of a property behind another one, up to its value.
pub(super) struct Key(pub(super) Vec<u8>);

impl Key {
    pub(super) fn of(name: &str) -> Self {
        Self([",\"", name, "\":"].concat().into_bytes())
    }

    pub(super) fn write(&self, out: &mut Vec<u8>, value: f64) {
        out.extend_from_slice(&self.0);
        write_value(out, value);
    }

    pub(super) fn write_word(&self, out: &mut Vec<u8>, word: &str) {
        out.extend_from_slice(&self.0);
        out.push(b'"');
        out.extend_from_slice(word.as_bytes());
        out.push(b'"');
    }
}
