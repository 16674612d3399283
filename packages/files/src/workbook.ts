import { dayFromNumber } from '@fairbed/field';
import { readXml, type XmlRefusal } from './xml';
import type { Zip } from './zip';

export type Sheet = { readonly name: string; readonly part: string };

export type CellFormat = 'plain' | 'date' | 'percent';

/** What every sheet of a workbook leans on. */
export type Workbook = {
  readonly sheets: readonly Sheet[];
  readonly date1904: boolean;
  readonly strings: readonly string[];
  /** By the style number of a cell. */
  readonly formats: readonly CellFormat[];
};

const optional = (refusal: XmlRefusal | undefined): boolean => refusal === undefined;

/** Reads the list of sheets, the shared strings and the number formats (ECMA-376 part 1, clause 18). */
export function readWorkbook(zip: Zip): Workbook | XmlRefusal {
  const found: { name: string; id: string; hidden: boolean }[] = [];
  let date1904 = false;
  const refusal = readXml(zip, 'xl/workbook.xml', {
    open(name, attributes) {
      if (name === 'workbookPr') {
        date1904 = attributes['date1904'] === '1' || attributes['date1904'] === 'true';
      } else if (name === 'sheet') {
        found.push({
          name: attributes['name'] ?? '',
          id:
            attributes['r:id'] ??
            Object.entries(attributes).find(([k]) => k.endsWith(':id'))?.[1] ??
            '',
          hidden: (attributes['state'] ?? 'visible') !== 'visible',
        });
      }
    },
  });
  if (refusal !== undefined) return refusal;
  const targets = new Map<string, string>();
  const links = readXml(zip, 'xl/_rels/workbook.xml.rels', {
    open(name, attributes) {
      if (name === 'Relationship') targets.set(attributes['Id'] ?? '', attributes['Target'] ?? '');
    },
  });
  if (!optional(links)) return links ?? 'xml-broken';
  const visible = found.filter((s) => !s.hidden);
  const sheets = (visible.length > 0 ? visible : found)
    .map(({ name, id }) => ({ name, part: partName(targets.get(id) ?? '') }))
    .filter(({ part }) => zip.names.includes(part));
  const strings = zip.names.includes('xl/sharedStrings.xml') ? readStrings(zip) : [];
  if (typeof strings === 'string') return strings;
  const formats = zip.names.includes('xl/styles.xml') ? readFormats(zip) : [];
  if (typeof formats === 'string') return formats;
  return { sheets, date1904, strings, formats };
}

const partName = (target: string): string =>
  target.startsWith('/') ? target.slice(1) : `xl/${target.replace(/^\.\//, '')}`;

function readStrings(zip: Zip): string[] | XmlRefusal {
  const strings: string[] = [];
  let text = '';
  let inText = false;
  let phonetic = 0;
  const refusal = readXml(zip, 'xl/sharedStrings.xml', {
    open(name) {
      if (name === 'si') text = '';
      else if (name === 'rPh') phonetic++;
      else if (name === 't') inText = phonetic === 0;
    },
    text(piece) {
      if (inText) text += piece;
    },
    close(name) {
      if (name === 't') inText = false;
      else if (name === 'rPh') phonetic--;
      else if (name === 'si') strings.push(text);
    },
  });
  return refusal ?? strings;
}

function readFormats(zip: Zip): CellFormat[] | XmlRefusal {
  const codes = new Map<number, string>();
  const formats: CellFormat[] = [];
  let inCells = false;
  const refusal = readXml(zip, 'xl/styles.xml', {
    open(name, attributes) {
      if (name === 'numFmt')
        codes.set(Number(attributes['numFmtId']), attributes['formatCode'] ?? '');
      else if (name === 'cellXfs') inCells = true;
      else if (name === 'xf' && inCells) {
        const id = Number(attributes['numFmtId'] ?? 0);
        formats.push(formatOf(id, codes.get(id)));
      }
    },
    close(name) {
      if (name === 'cellXfs') inCells = false;
    },
  });
  return refusal ?? formats;
}

/** Built-in formats of ECMA-376 part 1, clause 18.8.30: dates 14 to 17 and 22, percent 9 and 10. */
function formatOf(id: number, code: string | undefined): CellFormat {
  if (code !== undefined) return formatOfCode(code);
  if ((id >= 14 && id <= 17) || id === 22 || (id >= 27 && id <= 36) || (id >= 50 && id <= 58)) {
    return 'date';
  }
  return id === 9 || id === 10 ? 'percent' : 'plain';
}

/** A format is a date's where it shows a year, a day, or a month that can't be minutes. */
export function formatOfCode(code: string): CellFormat {
  const bare = code.replace(/"[^"]*"|\\.|\[[^\]]*\]|[_*]./g, '').toLowerCase();
  if (/[yd]/.test(bare) || (bare.includes('m') && !/[hs]/.test(bare))) return 'date';
  return bare.includes('%') ? 'percent' : 'plain';
}

/**
 * The ISO day of a spreadsheet's serial number. In the 1900 system serial 1 is 1 January 1900 and
 * serial 60 the 29 February that never was; in the 1904 system serial 0 is 1 January 1904.
 * undefined for a time of day alone, for serial 60 and for numbers that are no day.
 */
export function serialDay(serial: number, date1904: boolean): string | undefined {
  const whole = Math.floor(serial);
  if (date1904) return whole >= 0 && serial < 3e6 ? dayFromNumber(whole - 24_107) : undefined;
  if (whole < 1 || whole === 60 || serial > 3e6) return undefined;
  return dayFromNumber(whole - (whole > 60 ? 25_569 : 25_568));
}
