/**
 * What a file may ask of us. A season of one club fits hundreds of times over; a hostile file is
 * stopped before it costs memory or minutes.
 */
export const limits = {
  /** Bytes of the file as it comes, 50 MB. */
  fileBytes: 50 * 1024 * 1024,
  /** Bytes that may come out of one zip, counted as they are inflated. */
  inflatedBytes: 150 * 1024 * 1024,
  zipEntries: 2_000,
  /** A package may carry a season's photos: bytes of the file, and files in it. */
  packageBytes: 500 * 1024 * 1024,
  packageEntries: 20_000,
  /** Wrong rows of a ledger that are listed; one is enough to refuse it. */
  listedEntries: 20,
  columns: 1_000,
  /** As many rows as a spreadsheet sheet holds. */
  rows: 1_048_576,
  /** Rows times columns. */
  cells: 20_000_000,
  /** As many characters as a spreadsheet cell holds. */
  cellLength: 32_767,
  treatments: 1_000,
  plots: 100_000,
  xmlDepth: 64,
  mergedCells: 100_000,
  /** Faults listed one by one; the rest are counted. */
  listed: 20_000,
} as const;
