import { type KeyboardEvent, type ReactElement, type ReactNode, useId } from 'react';
import type { TreatmentStyles } from './marks';
import { fontStack, tone } from './theme';

/** What is picked: a treatment, a plot, or nothing. Treatments by the name the judgement uses. */
export type Pick = { readonly treatment?: string; readonly plot?: string };
export type OnPick = (pick: Pick | undefined) => void;

/** What every chart takes: its width, what is lit, and what to do when something is picked. */
export type ChartProps = {
  /** Pixels; less than 320 is drawn as 320. */
  readonly width: number;
  /** Colours and shapes of the whole trial, so that every chart shows the same. */
  readonly styles: TreatmentStyles;
  readonly lit?: Pick | undefined;
  /** Without it the chart is a still picture with a text alternative. */
  readonly onPick?: OnPick | undefined;
};

export const smallestWidth = 320;
/** Smallest side of anything to be hit by a thumb, pixels. */
export const thumb = 44;
export const type = { label: 14, tick: 13 } as const;

export type FrameProps = {
  readonly title: string;
  /** Text alternative, made from the data. */
  readonly description: string;
  readonly width: number;
  readonly height: number;
  readonly onPick?: OnPick | undefined;
  readonly children: ReactNode;
};

/** The sheet a chart is drawn on. Interactive: a group of buttons; still: one picture. */
export function Frame(props: FrameProps): ReactElement {
  const { title, description, width, height, onPick, children } = props;
  const id = useId();
  const clear = (event: KeyboardEvent): void => {
    if (event.key !== 'Escape') return;
    onPick?.(undefined);
  };
  return (
    <svg
      xmlns="http://www.w3.org/2000/svg"
      width={width}
      height={Math.ceil(height)}
      viewBox={`0 0 ${width} ${Math.ceil(height)}`}
      role={onPick ? 'group' : 'img'}
      aria-labelledby={`${id}t`}
      aria-describedby={`${id}d`}
      fontFamily={fontStack}
      fontSize={type.label}
      fill={tone('ink')}
      {...(onPick ? { onKeyDown: clear } : {})}
    >
      <title id={`${id}t`}>{title}</title>
      <desc id={`${id}d`}>{description}</desc>
      {children}
    </svg>
  );
}

/** Is this one lit, dimmed by another that is, or neither? */
export function lightOf(own: Pick, lit: Pick | undefined): 'lit' | 'dimmed' | 'plain' {
  if (!lit || (lit.treatment === undefined && lit.plot === undefined)) return 'plain';
  if (lit.plot !== undefined && own.plot !== undefined) {
    return lit.plot === own.plot ? 'lit' : 'dimmed';
  }
  if (lit.treatment !== undefined) return lit.treatment === own.treatment ? 'lit' : 'dimmed';
  return 'plain';
}

/** Dimmed things stay visible. */
const dimmed = 0.5;

export type PickableProps = {
  readonly pick: Pick;
  /** Read out by a screen reader. */
  readonly label: string;
  readonly lit: Pick | undefined;
  readonly onPick: OnPick | undefined;
  /** Where a finger or pointer may hit, pixels. */
  readonly hit: Box;
  /** Drawn under the rest and never dimmed. */
  readonly ground?: ReactNode;
  readonly children?: ReactNode;
};

export type Box = {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
};

/** Part of a chart that can be picked by pointer or key; a plain group in a still picture. */
export function Pickable({ pick, label, lit, onPick, hit, ground, children }: PickableProps) {
  const light = lightOf(pick, lit);
  const opacity = light === 'dimmed' ? dimmed : 1;
  const drawn = (
    <>
      {ground}
      <g opacity={opacity === 1 ? undefined : opacity} aria-hidden={onPick ? true : undefined}>
        {children}
      </g>
    </>
  );
  if (!onPick) return drawn;
  // Picking what is lit already clears it, so that one thumb can undo.
  const choose = (): void => onPick(light === 'lit' ? undefined : pick);
  const press = (event: KeyboardEvent): void => {
    if (event.key !== 'Enter' && event.key !== ' ') return;
    event.preventDefault();
    choose();
  };
  // The button is the target itself, beside what is drawn, not around it: its name is its label
  // alone, and the mark of focus is as large as what a thumb may hit.
  return (
    <g onClick={choose} style={{ cursor: 'pointer' }}>
      {drawn}
      <rect
        role="button"
        tabIndex={0}
        aria-label={label}
        aria-pressed={light === 'lit'}
        onKeyDown={press}
        {...hit}
        fill="transparent"
      />
    </g>
  );
}

/** Lines of text one under another; `y` is the middle of the first. */
export function TextLines(props: {
  readonly lines: readonly string[];
  readonly x: number;
  readonly y: number;
  readonly size?: number;
  readonly anchor?: 'start' | 'middle' | 'end';
  readonly soft?: boolean;
  readonly bold?: boolean;
}): ReactElement {
  const { lines, x, y, size = type.label, anchor = 'start', soft = false, bold = false } = props;
  return (
    <text
      fontSize={size}
      textAnchor={anchor}
      fill={tone(soft ? 'ink-soft' : 'ink')}
      fontWeight={bold ? 600 : undefined}
      style={{ fontVariantNumeric: 'tabular-nums' }}
    >
      {lines.map((line, i) => (
        <tspan key={i} x={x} y={round(y + size * 0.35 + i * lineHeight(size))}>
          {line}
        </tspan>
      ))}
    </text>
  );
}

export const lineHeight = (size: number): number => Math.round(size * 1.3);

/** Hundredths of a pixel: enough for the eye, and files stay small and comparable. */
export const round = (value: number): number => Math.round(value * 100) / 100;
