import { writeFileSync } from 'node:fs';
import { EffectsChart, PlotValuesChart, renderSvg, treatmentStyles } from '@fairbed/report';
import type { Judgement } from '@fairbed/verdict';
import { createElement } from 'react';

/** Width of a picture, in the pixels of its SVG. */
const width = 900;

/**
 * The main outcome as an SVG picture: differences from the control where the trial has them, else
 * the plots by treatment. Undefined when there is nothing to draw.
 */
export function pictureOf({ outcomes, control, verdict }: Judgement): string | undefined {
  const outcome = outcomes[0];
  if (outcome === undefined) return undefined;
  const styles = treatmentStyles(
    outcome.treatments.map(({ name }) => name),
    control,
  );
  const shared = { width, styles, outcome };
  const chart = outcome.versusControl
    ? createElement(EffectsChart, {
        ...shared,
        control,
        worthHavingPercent: verdict.worthHavingPercent,
      })
    : createElement(PlotValuesChart, shared);
  return renderSvg(chart, { theme: 'light' });
}

/** Writes the picture; a sentence for standard error. */
export function writePicture(judgement: Judgement, path: string): string {
  const svg = pictureOf(judgement);
  if (svg === undefined) return 'There is nothing to draw yet, so no picture was written.\n';
  writeFileSync(path, `${svg}\n`);
  return `The picture is in ${path}.\n`;
}
