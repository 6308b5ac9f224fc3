//! The one table of size limits: what the program takes on before it refuses.

/// Limits on the size of what is read and built. Every reader looks here, and only here.
#[derive(Debug)]
pub struct SizeLimits {
    /// Bytes of a job file.
    pub job_file_bytes: u64,
    /// Bytes of a user's own method table.
    pub method_file_bytes: u64,
    /// Bytes of any data file: boundary or samples.
    pub data_file_bytes: u64,
    /// Sample rows in one file.
    pub samples: usize,
    /// Columns in one table.
    pub columns: usize,
    /// Vertices in one boundary.
    pub boundary_vertices: usize,
    /// Vertices in one finished map.
    pub map_vertices: usize,
    /// Cells in one grid for a controller, over the box around the field.
    pub raster_cells: usize,
    /// Features in one layer of a map file.
    pub features: usize,
    /// Attributes of all features in one layer of a map file: features times columns.
    pub attributes: usize,
    /// How deep the parts of a map file may be nested in one another.
    pub nesting: usize,
    /// Bytes of memory that one part of a document of text may take while it is read, such as one
    /// feature with all its vertices.
    pub part_bytes: usize,
    /// Entries in one archive.
    pub archive_entries: usize,
    /// Bytes of all the members of an archive that are read, unpacked.
    pub unpacked_bytes: u64,
    /// Unpacked bytes of an archive's member for each packed one.
    pub unpacked_ratio: u64,
    /// Characters in one cell of a table.
    pub cell_characters: usize,
    /// Cells in one table of text.
    pub table_cells: usize,
    /// Cells in one map, counted over the box around the field: half a kilobyte of memory each.
    pub cells: usize,
    /// Problems shown at once before the rest is only counted.
    pub problems_shown: usize,
}

/// The limits in force. They are ours: generous for a field, small for a machine.
pub static LIMITS: SizeLimits = SizeLimits {
    job_file_bytes: 1 << 20,
    method_file_bytes: 1 << 20,
    data_file_bytes: 256 << 20,
    samples: 200_000,
    columns: 1_000,
    boundary_vertices: 1_000_000,
    map_vertices: 20_000_000,
    raster_cells: 50_000_000,
    features: 1_000_000,
    attributes: 20_000_000,
    nesting: 64,
    part_bytes: 512 << 20,
    archive_entries: 1_000,
    unpacked_bytes: 256 << 20,
    unpacked_ratio: 200,
    cell_characters: 32_767,
    table_cells: 10_000_000,
    cells: 5_000_000,
    problems_shown: 200,
};
