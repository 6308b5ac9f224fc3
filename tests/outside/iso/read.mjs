// Reads a zip of ISO 11783-10 task data with the npm package isoxml and prints what it found.
//
//     node read.mjs FILE.zip

import { readFileSync } from "node:fs";
import { ISOXMLManager } from "isoxml";

const manager = new ISOXMLManager();
await manager.parseISOXMLFile(new Uint8Array(readFileSync(process.argv[2])), "application/zip");
const root = manager.rootElement.attributes;
const tasks = (root.Task ?? []).map(({ attributes: task }) => {
  const zones = task.TreatmentZone ?? [];
  const grids = (task.Grid ?? []).map((grid) => {
    const { GridType, GridMaximumColumn: columns, GridMaximumRow: rows } = grid.attributes;
    const found = { type: String(GridType), columns, rows, bytes: grid.binaryData?.length };
    if (!grid.binaryData) return found;
    // Warns of a wrong size, which it then refuses to read.
    grid.verifyGridSize(manager, 1);
    found.codes = grid.getAllReferencedTZNCodes();
    if (found.type === "2" && found.bytes === 4 * columns * rows) {
      // Cells of nothing are left out by this reader.
      found.cells = grid.toGeoJSON(["rate"]).features.map((cell) => [
        ...cell.geometry.coordinates[0][0],
        cell.properties.rate,
      ]);
    }
    return found;
  });
  return {
    name: task.TaskDesignator,
    zones: zones.map(({ attributes: zone }) => ({
      code: zone.TreatmentZoneCode,
      polygons: (zone.PolygonTreatmentZoneonly ?? []).length,
      values: (zone.ProcessDataVariable ?? []).map(({ attributes: value }) => [
        value.ProcessDataDDI,
        value.ProcessDataValue,
        value.ProductIdRef?.entity?.attributes.ProductDesignator,
        value.ValuePresentationIdRef?.entity?.attributes.UnitDesignator,
      ]),
    })),
    field: task.PartfieldIdRef?.entity?.attributes.PartfieldDesignator,
    customer: task.CustomerIdRef?.entity?.attributes.CustomerLastName,
    grids,
  };
});
console.log(JSON.stringify({ warnings: manager.getWarnings(), tasks }));
