import { useId, type ReactNode } from 'react';
import { litTreatment, toggled, useLit } from './lit';

/** A wide table scrolls inside its own frame, by finger or by keyboard; the page does not. */
export function Table({
  caption,
  head,
  children,
}: {
  readonly caption: ReactNode;
  readonly head: readonly ReactNode[];
  readonly children: ReactNode;
}) {
  const id = useId();
  return (
    <div className="table-frame" role="region" aria-labelledby={id} tabIndex={0}>
      <table>
        <caption>
          <span id={id} className="caption">
            {caption}
          </span>
        </caption>
        <thead>
          <tr>
            {head.map((cell, i) => (
              <th key={i} scope="col">
                {cell}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>{children}</tbody>
      </table>
    </div>
  );
}

/** A row that lights with its treatment; its heading is the button that picks it. */
export function TreatmentRow({
  name,
  mark,
  children,
}: {
  readonly name: string;
  readonly mark: ReactNode;
  readonly children: ReactNode;
}) {
  const lighting = useLit();
  const isLit = litTreatment(lighting) === name;
  return (
    <tr data-lit={isLit || undefined}>
      <th scope="row">
        <button
          type="button"
          className="row-pick"
          aria-pressed={isLit}
          onClick={() => lighting.pick(toggled(lighting.lit, { treatment: name }))}
        >
          {mark}
          <span>{name}</span>
        </button>
      </th>
      {children}
    </tr>
  );
}

/** A row that lights with its plot, and with the treatment of it. */
export function PlotRow({
  plot,
  treatment,
  children,
}: {
  readonly plot: string;
  readonly treatment: string;
  readonly children: ReactNode;
}) {
  const { lit, pick } = useLit();
  const isLit = lit?.plot === undefined ? lit?.treatment === treatment : lit.plot === plot;
  return (
    <tr data-lit={isLit || undefined}>
      <th scope="row">
        <button
          type="button"
          className="row-pick"
          aria-pressed={lit?.plot === plot}
          onClick={() => pick(toggled(lit, { plot, treatment }))}
        >
          {plot}
        </button>
      </th>
      {children}
    </tr>
  );
}
