// The one place that meets d3. The reference makes its types known to every program that reads
// this room's source; an import can't, because the types describe other packages.
// eslint-disable-next-line @typescript-eslint/triple-slash-reference
/// <reference path="./d3-modules.d.ts" />
export { ticks, tickStep } from 'd3-array';
export { type ScaleLinear, scaleLinear } from 'd3-scale';
export { area, line } from 'd3-shape';
