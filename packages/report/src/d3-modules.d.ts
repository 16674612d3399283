// The parts of d3 that the charts use. The packages ship no types of their own.
declare module 'd3-array' {
  export function ticks(start: number, stop: number, count: number): number[];
  export function tickStep(start: number, stop: number, count: number): number;
}

declare module 'd3-scale' {
  export type ScaleLinear = {
    (value: number): number;
    domain(): number[];
    domain(domain: readonly number[]): ScaleLinear;
    range(range: readonly number[]): ScaleLinear;
    nice(count?: number): ScaleLinear;
  };
  export function scaleLinear(): ScaleLinear;
}

declare module 'd3-shape' {
  type Get<D, R> = (datum: D, index: number) => R;
  export type Line<D> = {
    (data: readonly D[]): string | null;
    x(get: Get<D, number>): Line<D>;
    y(get: Get<D, number>): Line<D>;
  };
  export type Area<D> = {
    (data: readonly D[]): string | null;
    x(get: Get<D, number>): Area<D>;
    y0(get: Get<D, number>): Area<D>;
    y1(get: Get<D, number>): Area<D>;
  };
  export function line<D>(): Line<D>;
  export function area<D>(): Area<D>;
}
