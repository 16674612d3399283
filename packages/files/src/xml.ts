import { DecodeUTF8 } from 'fflate';
import { SaxesParser } from 'saxes';
import { limits } from './limits';
import type { Zip, ZipRefusal } from './zip';

/** Why the XML in a workbook was not read. `stopped` is no fault: enough had been seen. */
export type XmlRefusal =
  | ZipRefusal
  | 'xml-broken'
  | 'xml-doctype'
  | 'xml-deep'
  | 'too-many-rows'
  | 'too-many-columns'
  | 'too-many-cells'
  | 'stopped';

/** Thrown by handlers to end the reading; caught in {@link readXml}. */
export class XmlStop extends Error {
  constructor(readonly refusal: XmlRefusal) {
    super(refusal);
  }
}

export type XmlHandlers = {
  /** Name without its prefix; attributes have no prototype. */
  readonly open?: (name: string, attributes: Readonly<Record<string, string>>) => void;
  readonly close?: (name: string) => void;
  readonly text?: (text: string) => void;
};

const local = (name: string): string => {
  const colon = name.indexOf(':');
  return colon < 0 ? name : name.slice(colon + 1);
};

/**
 * Reads one XML part of a zip as it is inflated. A document type declaration is refused before any
 * entity can be declared, and nesting has a limit. undefined when the part was read to its end.
 */
export function readXml(zip: Zip, part: string, handlers: XmlHandlers): XmlRefusal | undefined {
  const parser = new SaxesParser<{ xmlns: false; position: false }>({
    xmlns: false,
    position: false,
  });
  let depth = 0;
  parser.on('doctype', () => {
    throw new XmlStop('xml-doctype');
  });
  parser.on('error', () => {
    throw new XmlStop('xml-broken');
  });
  parser.on('opentag', (tag) => {
    if (++depth > limits.xmlDepth) throw new XmlStop('xml-deep');
    handlers.open?.(local(tag.name), tag.attributes);
  });
  parser.on('closetag', (tag) => {
    depth--;
    handlers.close?.(local(tag.name));
  });
  if (handlers.text) parser.on('text', handlers.text);
  if (handlers.text) parser.on('cdata', handlers.text);
  const decoder = new DecodeUTF8((text) => {
    parser.write(text);
  });
  try {
    const refusal = zip.stream(part, (piece) => decoder.push(piece, false));
    if (refusal !== undefined) return refusal;
    parser.close();
  } catch (error) {
    return error instanceof XmlStop ? error.refusal : 'xml-broken';
  }
  return undefined;
}
