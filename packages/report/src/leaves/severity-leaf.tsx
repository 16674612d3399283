import { type ReactElement, useId } from 'react';
import { type LeafPoint, leafBox, outline, veins } from './leaf-shape';
import { type Pustule, pustulesFor } from './pustules';

/** Steps of severity that are offered as pictures, percent of the leaf area. */
export const severitySteps: readonly number[] = [0, 1, 3, 5, 10, 20, 35, 50, 75];

/** Beyond this a leaf is drawn as this: nothing of it is left to tell apart. */
const most = 99;

export type SeverityLeaf = {
  /** Percent of the blade that is covered. */
  readonly percent: number;
  /** Text alternative of the picture. */
  readonly alt: string;
  readonly pustules: readonly Pustule[];
};

const leaves = new Map<number, SeverityLeaf>();

/**
 * A drawn leaf with white pustules on so many percent of its area (0 to 99, to a hundredth of a
 * percentage point). The same percent gives the same leaf everywhere; a higher one keeps the
 * pustules of a lower one and adds to them. The drawing is our own, after no scale of others.
 */
export function severityLeaf(percent: number): SeverityLeaf {
  const drawn = Math.min(most, Math.max(0, percent));
  const known = leaves.get(drawn);
  if (known) return known;
  const leaf = { percent: drawn, alt: altOf(drawn), pustules: pustulesFor(drawn) };
  leaves.set(drawn, leaf);
  return leaf;
}

const altOf = (percent: number): string =>
  percent === 0
    ? 'Leaf without pustules'
    : `Leaf with white pustules on ${percent}\u00a0% of its area`;

/** The leaves to choose a severity by, from healthy to three quarters covered. */
export const severityLeaves = (): readonly SeverityLeaf[] => severitySteps.map(severityLeaf);

// The same colours in every theme: what a leaf is compared with must not change with the screen.
const colours = {
  blade: '#5a8a48',
  vein: '#416b36',
  edge: '#1f3a19',
  pustule: '#fffdf2',
  crest: '#e6dfc4',
};

const short = (value: number): number => Math.round(value * 100) / 100;
const pathOf = (points: readonly LeafPoint[]): string =>
  points.map(([x, y]) => `${short(x)} ${short(y)}`).join('L');
const bladePath = `M${pathOf(outline)}Z`;
const veinPath = veins.map((vein) => `M${pathOf(vein)}`).join('');
const stalk = 'M48.4 108H51.6L51.9 139H48.1Z';

export type SeverityLeafPictureProps = {
  readonly percent: number;
  /** Pixels; it is 1.4 times as high. */
  readonly width: number;
  /** True where the choice beside it already says the percent: hidden from a screen reader. */
  readonly isDecoration?: boolean | undefined;
};

/**
 * The leaf as a picture. Veins lie under the pustules, and the line round the blade outside it, so
 * that what is seen is the stated share.
 */
export function SeverityLeafPicture(props: SeverityLeafPictureProps): ReactElement {
  const { percent, width, isDecoration = false } = props;
  const { alt, pustules } = severityLeaf(percent);
  const id = `${useId()}blade`;
  const said = isDecoration
    ? ({ 'aria-hidden': true } as const)
    : ({ role: 'img', 'aria-label': alt } as const);
  const { width: wide, height } = leafBox;
  return (
    <svg width={width} height={(width * height) / wide} viewBox={`0 0 ${wide} ${height}`} {...said}>
      <clipPath id={id}>
        <path d={bladePath} />
      </clipPath>
      <path d={stalk} fill={colours.vein} />
      <path d={bladePath} stroke={colours.edge} strokeWidth={1} strokeLinejoin="round" />
      <path d={bladePath} fill={colours.blade} data-part="blade" />
      <path d={veinPath} fill="none" stroke={colours.vein} strokeWidth={0.9} />
      <g clipPath={`url(#${id})`} fill={colours.pustule} data-part="pustules">
        {pustules.map(({ x, y, r }, i) => (
          <circle key={i} cx={short(x)} cy={short(y)} r={short(r)} />
        ))}
      </g>
      <g clipPath={`url(#${id})`} fill={colours.crest}>
        {pustules.map(({ x, y, r }, i) =>
          r < 1 ? null : <circle key={i} cx={short(x)} cy={short(y)} r={short(r * 0.42)} />,
        )}
      </g>
    </svg>
  );
}
