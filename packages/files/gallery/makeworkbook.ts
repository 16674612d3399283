import { strToU8, zipSync } from 'fflate';

/** A cell of a hand-made workbook. */
export type Made =
  | number
  | string
  | null
  | { readonly shared: string }
  | { readonly date: number }
  | { readonly percent: number }
  | { readonly formula: string; readonly value?: number }
  | { readonly error: string };

export type MadeSheet = {
  readonly name: string;
  readonly rows: readonly (readonly Made[])[];
  readonly merges?: readonly string[];
  readonly hidden?: boolean;
};

const escape = (text: string): string =>
  text.replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/>/g, '&gt;').replace(/"/g, '&quot;');

const letter = (c: number): string =>
  (c < 26 ? '' : letter(Math.floor(c / 26) - 1)) + String.fromCharCode(65 + (c % 26));

function cellXml(cell: Made, at: string, shared: string[]): string {
  if (cell === null) return '';
  if (typeof cell === 'number') return `<c r="${at}"><v>${cell}</v></c>`;
  if (typeof cell === 'string')
    return `<c r="${at}" t="inlineStr"><is><t>${escape(cell)}</t></is></c>`;
  if ('shared' in cell) return `<c r="${at}" t="s"><v>${shared.push(cell.shared) - 1}</v></c>`;
  if ('date' in cell) return `<c r="${at}" s="1"><v>${cell.date}</v></c>`;
  if ('percent' in cell) return `<c r="${at}" s="2"><v>${cell.percent}</v></c>`;
  if ('error' in cell) return `<c r="${at}" t="e"><v>${cell.error}</v></c>`;
  const saved = cell.value === undefined ? '' : `<v>${cell.value}</v>`;
  return `<c r="${at}"><f>${escape(cell.formula)}</f>${saved}</c>`;
}

/** The XML of each part of a workbook, by name: written out by hand after ECMA-376, clause 18. */
export function workbookParts(
  sheets: readonly MadeSheet[],
  date1904 = false,
): Record<string, string> {
  const shared: string[] = [];
  const head = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>';
  const main = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"';
  const links = 'xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"';
  const parts: Record<string, string> = {};
  sheets.forEach((sheet, i) => {
    const rows = sheet.rows
      .map((row, r) => ({ row, r }))
      .filter(({ row }) => row.some((cell) => cell !== null))
      .map(
        ({ row, r }) =>
          `<row r="${r + 1}">${row.map((cell, c) => cellXml(cell, `${letter(c)}${r + 1}`, shared)).join('')}</row>`,
      )
      .join('');
    const merges = sheet.merges
      ? `<mergeCells>${sheet.merges.map((m) => `<mergeCell ref="${m}"/>`).join('')}</mergeCells>`
      : '';
    parts[`xl/worksheets/sheet${i + 1}.xml`] =
      `${head}<worksheet ${main}><sheetData>${rows}</sheetData>${merges}</worksheet>`;
  });
  parts['xl/workbook.xml'] =
    `${head}<workbook ${main} ${links}><workbookPr${date1904 ? ' date1904="1"' : ''}/><sheets>` +
    sheets
      .map(
        (s, i) =>
          `<sheet name="${escape(s.name)}" sheetId="${i + 1}" r:id="rId${i + 1}"${s.hidden ? ' state="hidden"' : ''}/>`,
      )
      .join('') +
    '</sheets></workbook>';
  parts['xl/_rels/workbook.xml.rels'] =
    `${head}<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">` +
    sheets
      .map(
        (_, i) =>
          `<Relationship Id="rId${i + 1}" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet${i + 1}.xml"/>`,
      )
      .join('') +
    '</Relationships>';
  parts['xl/styles.xml'] =
    `${head}<styleSheet ${main}><numFmts count="1"><numFmt numFmtId="164" formatCode="dd\\.mm\\.yyyy;@"/></numFmts>` +
    '<cellStyleXfs count="1"><xf numFmtId="14"/></cellStyleXfs><cellXfs count="3"><xf numFmtId="0"/><xf numFmtId="164"/><xf numFmtId="9"/></cellXfs></styleSheet>';
  parts['xl/sharedStrings.xml'] =
    `${head}<sst ${main}>` +
    shared
      .map((s) => `<si><r><t>${escape(s)}</t></r><rPh sb="0" eb="1"><t>phonetic</t></rPh></si>`)
      .join('') +
    '</sst>';
  parts['[Content_Types].xml'] =
    `${head}<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/>` +
    sheets
      .map(
        (_, i) =>
          `<Override PartName="/xl/worksheets/sheet${i + 1}.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/>`,
      )
      .join('') +
    '<Override PartName="/xl/styles.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"/><Override PartName="/xl/sharedStrings.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"/></Types>';
  parts['_rels/.rels'] =
    `${head}<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>`;
  return parts;
}

export const zipParts = (parts: Readonly<Record<string, string>>): Uint8Array =>
  zipSync(
    Object.fromEntries(
      Object.entries(parts).map(([name, xml]) => [
        name,
        [strToU8(xml), { mtime: new Date(2026, 0, 1) }],
      ]),
    ),
  );

export const makeWorkbook = (sheets: readonly MadeSheet[], date1904 = false): Uint8Array =>
  zipParts(workbookParts(sheets, date1904));
