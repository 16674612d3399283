/** What the tests use of the CSV library that our own reader is held against; it ships no types. */
declare module 'papaparse' {
  const papa: {
    readonly parse: (text: string, options?: object) => { readonly data: string[][] };
    readonly unparse: (rows: readonly (readonly string[])[], options?: object) => string;
  };
  export = papa;
}
